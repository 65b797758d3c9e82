"""`minisim sheet` as its users call it: the page about it, the stock's shelves, everything that can't be done."""

from __future__ import annotations

import json
import re
import shlex
import shutil
from pathlib import Path

import pytest

from minisim.cli import main
from minisim.sheet.messages import languages

from .machines import DEMO

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "how-to" / "print-a-sheet.md").read_text()
DESK = ROOT / "loadouts" / "kittiwake" / "desk.yaml"


def test_every_command_of_the_page_works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shown = re.findall(r"^\$ \.venv/bin/minisim (.+)$", PAGE, re.MULTILINE)
    others = re.findall(r"^    minisim (sheet .+?)(?:   .*)?$", PAGE, re.MULTILINE)
    assert len(shown) == 3 and len(others) >= 4
    shutil.copytree(ROOT / "loadouts", tmp_path / "loadouts")
    monkeypatch.chdir(tmp_path)
    pile = Path("loadouts") / "kittiwake" / "pile"
    for command in (*shown, *others):
        words = [word.replace("/tmp/", "") for word in shlex.split(command)]
        words = [str(Path("loadouts") / "kittiwake" / "gauge.yaml") if word == "LOADOUT" else word for word in words]
        if "--surplus" in words:
            assert _plan(pile, Path("plan.json")) in (0, 1)
        assert main(words) == 0, command


def _plan(pile: Path, out: Path) -> int:
    import contextlib
    import io

    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        code = main(["plan", str(pile / "stock.csv"), str(pile / "wishes.yaml"), "--json"])
    out.write_text(printed.getvalue())
    return code


def test_the_shelf_of_an_item_comes_from_the_stock(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "loadouts" / "kittiwake", tmp_path / "k")
    desk = tmp_path / "k" / "desk.yaml"
    desk.write_text(re.sub(r"( +)board: mos-memory-dual.*\n", r"\g<0>\1item: K-7\n", desk.read_text()))
    assert "K-7" in desk.read_text()
    stock = tmp_path / "stock.csv"
    stock.write_text("item,marking,box\nK-7,M8044,shelf12\n")
    out = tmp_path / "desk.txt"
    assert main(["sheet", str(desk), "--stock", str(stock), "-o", str(out)]) == 0
    assert re.search(r"K-7 +shelf12", out.read_text())


def test_without_a_file_the_text_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", str(DESK), "--date", "2026-05-30"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Build sheet: Desktop tide table\n")
    assert "2026-05-30" in out


def test_the_json_holds_the_pages(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", str(DESK), "--json"]) == 0
    pages = json.loads(capsys.readouterr().out)["pages"]
    assert [page["id"] for page in pages][:3] == ["cautions", "machine", "unit-main-a"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["-o", "x.doc"], "a sheet ends in .html, .pdf, .txt"),
        (["--date", "tomorrow"], "is no date"),
        (["--language", "xx"], f"there is {', '.join(languages())}"),
        (["--surplus", "plan.json"], "not allowed with"),
    ],
)
def test_what_can_not_be_done_is_said(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", str(DESK), *words]) == 2
    assert said in capsys.readouterr().err


def test_a_pdf_of_the_same_loadout_has_the_same_bytes(tmp_path: Path) -> None:
    made = []
    for name in ("a.pdf", "b.pdf"):
        assert main(["sheet", str(DEMO[0]), "--date", "2026-05-30", "-o", str(tmp_path / name)]) == 0
        made.append((tmp_path / name).read_bytes())
    assert made[0] == made[1]
    assert made[0].startswith(b"%PDF-")


def test_without_the_library_a_pdf_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("minisim.sheet.forms.pdf_form.find_spec", lambda name: None)
    assert main(["sheet", str(DESK), "-o", str(tmp_path / "a.pdf")]) == 2
    assert 'pip install "minisim[pdf]"' in capsys.readouterr().err
    assert not (tmp_path / "a.pdf").exists()


def test_a_record_as_found_is_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "found.txt"
    path.write_text("loadout: 1\nname: x\nstate: as-found\n")
    assert main(["sheet", str(DESK), "-o", str(path)]) == 2
    assert path.read_text().endswith("as-found\n")
