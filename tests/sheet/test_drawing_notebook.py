"""What a notebook shows of a loadout and of a report (the display protocol of IPython: `_repr_svg_`, `_repr_html_`)."""

from __future__ import annotations

from pathlib import Path

from lxml import html

import minisim
from minisim.sheet.drawing.picture import machine_svg

from .drawings import ENTRIES, GOOD, RULES, SVG, root, wired, with_data

HOLE = RULES / "GRANT-001" / "bad-two-behind.yaml"


def test_a_loadout_shows_the_drawing_of_all_its_backplanes() -> None:
    for path in GOOD:
        loadout = minisim.read_loadout(path)
        assert loadout._repr_svg_() == loadout.svg() == machine_svg(wired(path))
        assert root(loadout.svg()).tag == f"{SVG}svg"
        boards = with_data(root(loadout.svg()), "board")
        assert sorted(int(board.get("data-board")) for board in boards) == list(range(len(wired(path).boards)))


def test_the_drawing_of_a_loadout_knows_the_owners_entries_beside_it(tmp_path: Path) -> None:
    own = (ENTRIES / "boards" / "serial-line-single.yaml").read_text().replace("id: serial-line-single", "id: own-line")
    (tmp_path / "catalogue" / "boards").mkdir(parents=True)
    (tmp_path / "catalogue" / "boards" / "own-line.yaml").write_text(own)
    path = tmp_path / "x.yaml"
    path.write_text(HOLE.read_text().replace("serial-line-single", "own-line"))
    kinds = [board.get("data-kind") for board in with_data(root(minisim.read_loadout(path).svg()), "board")]
    assert kinds.count("own-line") == 2


def test_a_report_shows_its_findings_as_a_part_of_a_page() -> None:
    report = minisim.check(minisim.read_loadout(HOLE))
    shown = html.fragment_fromstring(report._repr_html_())
    assert shown.tag == "div"
    text = " ".join(shown.text_content().split())
    assert report.name in text
    for finding in report.findings:
        assert finding.found in text and finding.place in text and finding.rule in text
    assert "power off" in text and "All cautions" in text
    assert not shown.xpath(".//style | .//script")


def test_a_report_without_findings_is_consistent_on_paper() -> None:
    report = minisim.check(minisim.read_loadout(RULES / "valid" / "late-box-described.yaml"))
    text = html.fragment_fromstring(report._repr_html_()).text_content()
    assert "consistent on paper" in text and "power off" not in text


def test_what_links_point_to_is_in_the_fragment() -> None:
    shown = html.fragment_fromstring(minisim.check(minisim.read_loadout(HOLE))._repr_html_())
    for target in shown.xpath(".//a/@href"):
        assert shown.xpath(f".//*[@id='{target.removeprefix('#')}']"), target
