"""An owner's own entries: asked for, written, found beside a loadout or list; gaps and what is shown of a thing."""

from __future__ import annotations

import io
import json
import re
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import minisim
from minisim.catalogue import Catalogue
from minisim.catalogue.asking import HOW_KNOWN, Talk, file_text
from minisim.catalogue.figures import figures_of
from minisim.catalogue.gaps import KINDS, everything, gaps
from minisim.catalogue.owners import new_entry
from minisim.catalogue.questions import QUESTIONS
from minisim.catalogue.questions_contents import product
from minisim.catalogue.reader import read_entry, read_entry_bytes, tree
from minisim.cli import main
from minisim.known import Evidence, Known, Unknown
from minisim.problems import InputError
from minisim.yamltext import parse

LOADOUTS = Path(__file__).parents[2] / "loadouts" / "kittiwake"

MEMORY = """MOS memory, the club's own
mux
dual
measured

K-100
measured 2026-03-01 AB

+5 1.4
measured at 5.02 V

2
guess
1
printed in module-comparison-memory, the page itself
no
guess
18

no

yes

no

32, 64
measured
no

yes
guess



no


bought at a fair
"""


FIRST = {
    "boards": "a board\nmux\n", "backplanes": "a backplane\nsep\n\nABCD\n", "drives": "a drive\nserial-line\n",
    "cables": "a cable\nhere\nthere\n",
}  # fmt: skip
"""Answers to what can't be unknown."""


def answers(text: str, *, again: bool = False, said: list[str] | None = None) -> Talk:
    return Talk(io.StringIO(text), (said if said is not None else []).append, again=again)


def test_a_board_is_asked_for_and_written(tmp_path: Path) -> None:
    path = new_entry("boards", "club-memory", tmp_path / "catalogue", answers(MEMORY))
    assert path == tmp_path / "catalogue" / "boards" / "club-memory.yaml"
    board = Catalogue(extra=[tmp_path / "catalogue"]).board("club-memory")
    assert board.kind == "MOS memory, the club's own"
    assert board.markings == Known(("K-100",), Evidence.OWNER, (), "2026-03-01 AB", board.markings.name)  # type: ignore[union-attr]
    evidence = {name: figure.evidence for name in ("height", "ac", "dc", "dma", "passes_grant")
                if isinstance(figure := getattr(board, name), Known)}  # fmt: skip
    assert evidence == {
        "height": Evidence.OWNER, "ac": Evidence.ASSUMED, "dc": Evidence.SEEN, "dma": Evidence.ASSUMED,
        "passes_grant": Evidence.OWNER,
    }  # fmt: skip
    assert isinstance(board.dc, Known)
    assert board.dc.sources == ("module-comparison-memory",)
    assert board.memory is not None
    assert {"start", "kb"} <= set(board.settings)


@pytest.mark.parametrize("kind", sorted(QUESTIONS))
def test_an_owner_who_knows_nothing_can_still_write_every_kind(kind: str, tmp_path: Path) -> None:
    path = new_entry(kind, "mine", tmp_path, answers(FIRST.get(kind, "a thing\n") + "\n" * 60))
    assert Catalogue(extra=[tmp_path]).has(kind, "mine")
    entry = read_entry(path, kind, own=True)
    assert isinstance(getattr(entry, "kind", None), str)


def test_nothing_is_written_where_the_answers_end_too_early(tmp_path: Path) -> None:
    with pytest.raises(InputError, match='the answers end before "height'):
        new_entry("boards", "mine", tmp_path, answers("a board\nmux\n"))
    assert list(tmp_path.rglob("*")) == []


def test_a_wrong_answer_ends_a_pipe_and_is_asked_again_at_a_terminal(tmp_path: Path) -> None:
    with pytest.raises(InputError, match='"much" is no whole decimal number'):
        own("boards", "mine", {"what it is": "a board", "bus": "mux", "KB of memory": "64, much"}, tmp_path)
    with pytest.raises(InputError, match=r'answers:2:1: .*"both" is none of mux, sep'):
        new_entry("boards", "mine", tmp_path, answers("a board\nboth\n"))
    said: list[str] = []
    new_entry("boards", "mine", tmp_path, answers("a board\nboth\nmux\n" + "\n" * 60, again=True, said=said))
    assert any('"both" is none of mux, sep' in line for line in said)


def test_what_is_not_known_of_memory_rom_and_processor_is_unknown_and_not_none(tmp_path: Path) -> None:
    path = own("boards", "mine", {"what it is": "a board", "bus": "mux", "carry a processor": "unknown"}, tmp_path)
    found = {figure.path[0] for figure in figures_of(tree(path)) if figure.unknown}
    assert {"memory", "rom", "processor"} <= found
    said = {"what it is": "a board", "bus": "mux", "KB of memory": "none", "sockets for ROM": "no"}
    found = {figure.path[0] for figure in figures_of(tree(own("boards", "other", said, tmp_path)))}
    assert not {"memory", "rom", "processor"} & found


def test_nothing_that_is_there_is_replaced(tmp_path: Path) -> None:
    path = new_entry("supplies", "mine", tmp_path, answers("a supply\n" + "\n" * 60))
    before = path.read_bytes()
    with pytest.raises(InputError, match='there is a supply "mine" already'):
        new_entry("supplies", "mine", tmp_path, answers("another\n" + "\n" * 60))
    assert path.read_bytes() == before
    taken = Catalogue().ids("supplies")[0]
    with pytest.raises(InputError, match="nothing is replaced"):
        new_entry("supplies", taken, tmp_path, answers("another\n" + "\n" * 60))


@pytest.mark.parametrize("name", ["", "Mine", "../mine", "mine/yours", "7up", "a" * 61, "m\u00e4in", "a b"])
def test_an_id_that_is_no_id_is_refused(name: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is no id"):
        new_entry("boards", name, tmp_path, answers("a\n"))


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=80), st.text(max_size=40))
def test_any_words_an_owner_types_come_back_as_they_were(kind: str, note: str) -> None:
    entry = {"id": "mine", "kind": kind, "notes": {"deep": [note, "yes", "12", "-"]}}
    data = file_text("# head", entry)  # type: ignore[arg-type]
    node, problems = parse(data.encode("utf-8", "surrogatepass"), "mine.yaml")
    if problems:  # only what can't stand in a file at all
        assert any(ord(char) in range(0xD800, 0xE000) or ord(char) > 0xFFFF or ord(char) < 0xA0 or ord(char) > 0xFFFD
                   for char in kind + note)  # fmt: skip
        return
    assert str(node.get("kind").text) == kind  # type: ignore[union-attr]
    assert node.get("notes").get("deep").items[0].text == note  # type: ignore[union-attr]


ANSWER = st.one_of(
    st.text(max_size=30),
    st.sampled_from(
        ["", "mux", "sep", "dual", "quad", "yes", "no", "none", "unknown", "measured", "guess", "printed in a book",
         "+5 1.5", "K-1", "ABCD", "1-4 AB=twin-bus CD=twin-bus", "1AB 1CD", "18", "2", "serial-line", "777560", "60",
         "4", "full", "a: b", "small-peripheral", "chipset-one-level", "microcoded-mid", "socket", "board", "eis fis",
         "773000", "042130", "cylinders 200, heads 2, sectors 12, bytes 512", "blocks 1", ".disk", "DX", "fpp"]
    ),
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(QUESTIONS)), st.lists(ANSWER, max_size=60), st.booleans())
def test_whatever_is_answered_a_file_is_whole_or_not_there(kind: str, lines: list[str], again: bool) -> None:
    _answered(kind, lines, again)


@pytest.mark.slow
@settings(max_examples=1000, deadline=None)
@given(st.sampled_from(sorted(QUESTIONS)), st.lists(ANSWER, max_size=60), st.booleans())
def test_whatever_of_much_is_answered_a_file_is_whole_or_not_there(kind: str, lines: list[str], again: bool) -> None:
    _answered(kind, lines, again)


def _answered(kind: str, lines: list[str], again: bool) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        try:
            path = new_entry(
                kind,
                "mine",
                folder,
                answers(FIRST.get(kind, "a thing\n") + "\n".join([*lines, *[""] * 60]), again=again),
            )
        except InputError:
            assert list(folder.rglob("*.yaml")) == []
        else:
            assert read_entry(path, kind, own=True)


# ---- found beside a loadout


@pytest.fixture
def desk(tmp_path: Path) -> Path:
    """The desk machine with the club's memory in it, and the club's entries beside it."""
    shutil.copytree(LOADOUTS / "media", tmp_path / "media")
    text = (LOADOUTS / "desk.yaml").read_text("utf-8")
    old = next(name for name in Catalogue().ids("boards") if f"board: {name}\n" in text and "mos-memory" in name)
    (tmp_path / "desk.yaml").write_text(text.replace(f"board: {old}\n", "board: club-memory\n"), "utf-8")
    new_entry("boards", "club-memory", tmp_path / "catalogue", answers(MEMORY))
    return tmp_path / "desk.yaml"


def test_a_loadout_finds_the_entries_beside_it(desk: Path) -> None:
    loadout = minisim.read_loadout(desk)
    report = minisim.check(loadout)
    assert not [one for one in report.findings if one.severity in ("damage", "fault")]
    assert minisim.build(loadout).run(limit=100).instructions == 100


@pytest.mark.parametrize("command", [["check"], ["map"], ["boot", "--limit", "100"], ["loadout", "write-text"]])
def test_the_commands_find_the_entries_beside_a_loadout(
    desk: Path, command: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*command, str(desk)]) in (0, 1)
    assert "club-memory" not in capsys.readouterr().err


STATION = """weather station interface|mux|dual|measured||W-7|measured||+5 0.4|measured||||no|measured|none|measured|
yes|measured|yes|measured|no|weather-station|766000|300|4|4|measured|measured||none|measured||||no|
measured|rate: of samples||"""
FRAME = """bench frame|mux|none|measured|ABCD|1-4 AB=twin-bus CD=twin-bus||measured|1AB 1CD 2CD 2AB 3AB 3CD 4CD 4AB|
measured|18|measured|none|measured||"""
LAB = "lab supply|any|none|guess|+5 30|measured|+12 5|measured||+5 1|guess||200|measured|no|measured||"


def test_a_machine_of_own_things_is_checked_mapped_and_booted(tmp_path: Path) -> None:
    for kind, name, said in (("boards", "weather", STATION), ("backplanes", "frame", FRAME), ("supplies", "lab", LAB)):
        talk = answers(said.replace("\n", "").replace("|", "\n") + "\n\n")
        new_entry(kind, name, tmp_path / "catalogue", talk)
    shutil.copytree(LOADOUTS / "media", tmp_path / "media")
    text = (LOADOUTS / "desk.yaml").read_text("utf-8")
    text = re.sub(r"supply: .*", "supply: lab", re.sub(r"\bbackplane: [a-z].*", "backplane: frame", text))
    own = "2AB: {board: weather, settings: {address: 766000, vector: 300, rate: fast}}"
    (tmp_path / "desk.yaml").write_text(text.replace("      2CD:", f"      {own}\n      2CD:"), "utf-8")
    loadout = minisim.read_loadout(tmp_path / "desk.yaml")
    assert not [one for one in minisim.check(loadout).findings if one.severity in ("damage", "fault")]
    machine = minisim.build(loadout)
    assert any("weather-station is not modelled" in note for note in machine.notes)


class Person(io.StringIO):
    """Answers each question by a piece of it, once; asked how they know, what stands behind a bar; else nothing."""

    def __init__(self, said: dict[str, str]) -> None:
        super().__init__()
        self.left = said
        self.how = self.asked = ""
        self.told: list[str] = []

    def say(self, line: str) -> None:
        self.told.append(line)
        self.asked = line

    def readline(self, _size: int | None = -1, /) -> str:
        if self.asked == HOW_KNOWN:
            return f"{self.how}\n"
        key = next((key for key in self.left if key in self.asked), "")
        answer, _, self.how = self.left.pop(key, "").partition("|")
        return f"{answer}\n"


PROCESSOR = {
    "what it is": "the workshop's own processor", "bus": "mux", "height": "dual", "numbers": "K-1",
    "does it do DMA": "no", "current": "+5 2",
    "sockets for ROM": "yes", "each window, octal": "773000, 765000", "words in each": "256|printed in the book, p. 12",
    "carry a processor": "yes", "which profile": "chipset-one-level", "option eis": "socket", "option fis": "socket",
    "one chip": "eis fis", "console line": "no", "a boot ROM": "yes", "line clock: yes": "no",
    "one request line": "yes|printed in its guide, p. 3", "pulses": "yes|measured", "terminate the bus": "weak",
}  # fmt: skip
ROM_CONTENT = {
    "what it is": "loads the tape of the workshop", "first word": "042130|measured", "it starts": "floppy-single|guess",
    "boards it fits": "processor", "may begin": "773000", "how many words": "64", "device at": "777170",
}  # fmt: skip
MEDIUM = {
    "what it is": "cartridge of the workshop", "ending": ".disk",
    "counts": "cylinders 203, heads 2, sectors 12, bytes 512|printed in the drive's book, p. 2",
}  # fmt: skip
DISK_DRIVE = {"what it is": "a drive", "hangs on": "cartridge-disk-2mb", "media it takes": "workshop-cartridge"}


def own(kind: str, name: str, said: dict[str, str], folder: Path) -> Path:
    person = Person({**said})
    path = new_entry(kind, name, folder, Talk(person, person.say, again=False))
    assert person.left == {}, "every answer was asked for"
    return path


def test_a_processor_board_is_asked_for_with_its_options_and_its_rom(tmp_path: Path) -> None:
    own("boards", "processor", PROCESSOR, tmp_path)
    board = Catalogue(extra=[tmp_path]).board("processor")
    block, rom = board.processor, board.rom
    assert block is not None
    assert rom is not None
    assert block.profile == "chipset-one-level"
    assert {**block.options} == {
        "eis": "socket", "fis": "socket", "fpp": "never", "cis": "never", "mmu": "never", "map": "never",
        "stack-limit": "never",
    }  # fmt: skip
    assert block.one_chip == ("eis", "fis")
    assert (block.console_line, block.boot_rom, block.line_clock) == ("no", "yes", "no")
    assert {**block.extra} == {"memory-link": "unknown", "one-request-level": "yes"}
    assert block.figure == Known(
        "chipset-one-level", Evidence.SEEN, (), "printed in its guide, p. 3", block.figure.name
    )  # type: ignore[union-attr]
    assert rom.windows == (0o13000, 0o5000)
    assert isinstance(rom.words_each, Known)
    assert (rom.words_each.value, rom.words_each.evidence) == (256, Evidence.SEEN)
    assert [(one.device, one.vector_at.fixed) for one in board.registers] == [("event-line", 0o100)]
    assert {"power-up"} == {name for name in board.settings if name not in ("grant-jumpers",)}


def test_a_processor_of_a_profile_nobody_knows_is_a_gap_and_no_processor(tmp_path: Path) -> None:
    known = {key: PROCESSOR[key] for key in ("what it is", "bus", "carry a processor")}
    person = Person({**known, "which profile": "unknown"})
    new_entry("boards", "processor", tmp_path, Talk(person, person.say, again=False))
    said = person.told
    catalogue = Catalogue(extra=[tmp_path])
    assert catalogue.board("processor").processor is None
    (thing,) = gaps(catalogue, [("boards", "processor")])
    assert "processor" in {gap.figure.label for gap in thing.gaps if gap.state == "unknown"}
    assert any("without a profile no rule can take it for a processor" in line for line in said)
    shown = [line.split(":")[0].strip() for line in said if line.startswith("    ")]
    on_this_bus = {name for name in catalogue.ids("profiles") if "mux" in str(catalogue.profile(name).buses)}
    assert set(shown) == on_this_bus


def test_a_board_that_adds_an_option_names_the_processors_and_what_must_be_there_too(tmp_path: Path) -> None:
    said = {"what it is": "small floating point", "bus": "sep", "an option it adds": "fis",
            "profiles it works": "microcoded-mid", "must be there too": "eis|printed in its book"}  # fmt: skip
    path = own("boards", "float", said, tmp_path)
    board = read_entry(path, "boards", own=True)
    assert (board.option_adds, board.option_to, board.option_needs) == (("fis",), ("microcoded-mid",), ("eis",))  # type: ignore[attr-defined]


def test_what_a_rom_holds_and_a_medium_are_asked_for(tmp_path: Path) -> None:
    own("roms", "workshop-loader", ROM_CONTENT, tmp_path)
    own("media", "workshop-cartridge", MEDIUM, tmp_path)
    catalogue = Catalogue(extra=[tmp_path])
    rom, medium = catalogue.rom("workshop-loader"), catalogue.medium("workshop-cartridge")
    figures = (rom.first_word, rom.letters, rom.boots, rom.at, rom.words, rom.expects_csr)
    # 042130 is D (104) in the high byte and X (130) in the low one, in the code of ASCII
    assert [figure.peek for figure in figures if isinstance(figure, Known)] == [
        0o042130, "DX", ("floppy-single",), ("773000",), "64", 0o17170,
    ]  # fmt: skip
    assert rom.boards == ("processor",)
    assert isinstance(medium.bytes, Known)
    assert (medium.bytes.value, medium.bytes.evidence) == ("2494464", Evidence.DERIVED)
    assert (medium.ending, medium.removable) == (".disk", "yes")
    assert '"042130"' in (tmp_path / "roms" / "workshop-loader.yaml").read_text("utf-8")


def test_what_follows_from_a_guess_is_a_guess(tmp_path: Path) -> None:
    own("roms", "rom", ROM_CONTENT | {"first word": "042130|guess"}, tmp_path)
    own("media", "disk", MEDIUM | {"counts": "blocks 10, bytes 512|guess"}, tmp_path)
    catalogue = Catalogue(extra=[tmp_path])
    figures = (catalogue.rom("rom").letters, catalogue.medium("disk").bytes)
    assert [figure.evidence for figure in figures if isinstance(figure, Known)] == [Evidence.ASSUMED] * 2


def test_the_counts_of_a_medium_tell_its_size() -> None:
    """Against the sizes that the catalogue's sources print."""
    held = 0
    for name in Catalogue().ids("media"):
        medium = Catalogue().medium(name)
        if isinstance(medium.geometry, Known) and isinstance(medium.bytes, Known):
            told = product({"value": dict(medium.geometry.peek)})
            held += bool(told)
            assert told in ("", medium.bytes.peek), name
    assert held > 5


def test_a_machine_around_an_own_processor_is_checked_and_boots(tmp_path: Path) -> None:
    folder = tmp_path / "catalogue"
    own("boards", "processor", PROCESSOR, folder)
    loader = {**ROM_CONTENT, "it starts": "serial-line", "device at": "777560", "how many words": "66"}
    own("roms", "workshop-loader", loader, folder)
    own("media", "workshop-cartridge", MEDIUM, folder)
    own("drives", "workshop-drive", DISK_DRIVE, folder)
    shutil.copytree(LOADOUTS / "media", tmp_path / "media")
    text = (LOADOUTS / "desk.yaml").read_text("utf-8").replace("board: mid-cpu-dual", "board: processor")
    text = re.sub(r" +event-line: on.*\n", "", text).replace("          clock: on ", "          low-window: in ")
    text = re.sub(r"      4:.*?\n\n", "", text, flags=re.DOTALL)
    text = text.replace("        settings:\n          power-up: 2 ", "        roms: {773000: {rom: workshop-loader, "
                        "image: media/boot-terminal.rom}}\n        settings:\n          power-up: 2 ")  # fmt: skip
    (tmp_path / "desk.yaml").write_text(text, "utf-8")
    loadout = minisim.read_loadout(tmp_path / "desk.yaml")
    report = minisim.check(loadout)
    assert not [one for one in report.findings if one.severity in ("damage", "fault")], report.findings
    assert minisim.build(loadout).run(limit=100).instructions == 100


def test_a_loadout_elsewhere_does_not_find_them(desk: Path, tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    shutil.copytree(tmp_path / "media", tmp_path / "other" / "media")
    shutil.copy(desk, tmp_path / "other" / "desk.yaml")
    with pytest.raises(InputError, match="club-memory"):
        minisim.read_loadout(tmp_path / "other" / "desk.yaml")


def test_a_folder_of_that_name_that_is_no_catalogue_is_not_looked_into(tmp_path: Path) -> None:
    (tmp_path / "catalogue" / "shoes").mkdir(parents=True)
    catalogue = Catalogue()
    assert catalogue.beside(tmp_path / "x.yaml") is catalogue
    (tmp_path / "catalogue" / "boards").mkdir()
    own = catalogue.beside(tmp_path / "x.yaml")
    assert own is not catalogue
    assert catalogue.beside(tmp_path / "y.yaml") is own


def test_only_an_owners_entry_may_say_that_the_owner_measured() -> None:
    data = b"id: mine\nkind: a\nbus: any\nmarkings: {value: [A-1], evidence: owner}\nrails: {}\nminimum: {}\n" \
        b"watts: {value: 100, evidence: owner}\nline-clock: {value: unknown}\nserves: [any]\n"  # fmt: skip
    assert read_entry_bytes(data, Path("mine.yaml"), "supplies", own=True)
    with pytest.raises(InputError, match='"owner" is no evidence'):
        read_entry_bytes(data, Path("mine.yaml"), "supplies")


# ---- show and gaps


@pytest.mark.parametrize("kind", KINDS)
def test_every_figure_of_a_kind_is_shown_with_its_evidence(kind: str) -> None:
    catalogue = Catalogue()
    for name in catalogue.ids(kind):
        figures = list(figures_of(tree(catalogue.path(kind, name)), kind))
        assert all(figure.label and figure.value for figure in figures)
        labels = {figure.path[0] for figure in figures}
        entry = catalogue.entry(kind, name)
        for key, figure in (("ac", getattr(entry, "ac", None)), ("markings", getattr(entry, "markings", None)),
                            ("watts", getattr(entry, "watts", None)), ("kg", getattr(entry, "kg", None))):  # fmt: skip
            if isinstance(figure, Known | Unknown) and key in labels:
                shown = next(one for one in figures if one.path[0] == key)
                assert shown.unknown == isinstance(figure, Unknown)
                assert isinstance(figure, Unknown) or (shown.evidence, shown.sources) == (
                    str(figure.evidence), figure.sources,
                )  # fmt: skip


def test_every_unknown_amount_of_current_is_a_gap() -> None:
    catalogue = Catalogue()
    things = {thing.entry: thing for thing in gaps(catalogue, everything(catalogue, ["boards"]))}
    for name in catalogue.ids("boards"):
        board = catalogue.board(name)
        unknown = {f"current at {rail}" for rail, figure in board.amps.items() if isinstance(figure, Unknown)}
        found = {gap.figure.label for gap in things[name].gaps if gap.state == "unknown"} if name in things else set()
        assert unknown <= found


def test_gaps_of_a_loadout_say_what_they_hold_up(capsys: pytest.CaptureFixture[str]) -> None:
    path = LOADOUTS / "ledger.yaml"
    assert main(["catalogue", "gaps", "--in", str(path), "--json"]) == 1
    found = [gap for thing in json.loads(capsys.readouterr().out)["things"] for gap in thing["gaps"]]
    waiting = [gap for gap in found if gap["holds_up"]]
    report = minisim.check(minisim.read_loadout(path))
    missing = [words for outcome in report.outcomes for words in outcome.missing]
    assert any("AC load of" in words for words in missing)
    assert {"AC loads", "current at +5"} <= {gap["figure"] for gap in waiting}
    assert found[0]["holds_up"]  # the most valuable first
    assert all(gap["how"] for gap in found)


def test_gaps_name_what_to_measure_and_the_cautions(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["catalogue", "gaps", "--board", "M8059"]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "current at +5" in out
    assert "ammeter" in out
    assert "Before a hand goes in: power off" in out


def test_show_says_each_figure_and_how_it_is_known(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["catalogue", "show", "M8O43"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "number on it: M8043 unconfirmed, from memory" in out
    assert "current at +5: 1.0 read in a second-hand source; [module-comparison-serial]" in out
    assert main(["catalogue", "show", "H777", "--json"]) == 1
    assert len(json.loads(capsys.readouterr().out)["things"]) == 2


@pytest.mark.parametrize(
    "words",
    [
        ["catalogue", "show", "nothing-like-it"], ["catalogue", "show", ""],
        ["catalogue", "gaps", "--board", "\x1b[1m"],
        ["catalogue", "gaps", "--in", "/no/such/file.yaml"], ["catalogue", "gaps", "--folder", "/no/such/folder"],
        ["catalogue", "new", "board", "../x"], ["catalogue"], ["catalogue", "gaps", "--in", "/no/such/list.csv"],
    ],
)  # fmt: skip
def test_what_can_not_be_used_is_said_in_words(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(words) == 2
    err = capsys.readouterr().err
    assert err
    assert "\x1b" not in err


# ---- the command that names a piece


def run(words: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    code = main(["stock", "identify", *words])
    return code, " ".join(capsys.readouterr().out.split())


Run = Callable[[list[str]], tuple[int, str]]


def test_a_misread_number_is_named_with_the_repair_and_where_it_is_published(
    capsys: pytest.CaptureFixture[str],
) -> None:
    code, out = run(["M8O43"], capsys)
    assert code == 0
    assert out.startswith("M8043, four serial lines (boards/serial-lines-four).")
    assert "a digit was read as a letter: O for 0" in out
    assert "in no document that was read for the catalogue; the number is unconfirmed, from memory" in out
    assert "documents to look in, for other figures of this entry: [module-comparison-serial]" in out
    assert "and the reading is certain" in out
    code, out = run(["M8O48"], capsys)
    assert "Published: [module-comparison-rom] (read in a second-hand source)" in out


def test_exit_codes_of_identify(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["M8043"], capsys)[0] == 0
    assert run(["H777"], capsys)[0] == 1
    code, out = run(["M8042"], capsys)
    assert code == 1
    assert out.startswith('Unknown: "M8042" is no number of the catalogue. Nearest numbers, if it was')
    code, out = run(["M9999"], capsys)
    assert (code, out.split(".")[0]) == (1, 'Unknown: nothing in the catalogue bears a number like "M9999"')
    assert "minisim stock identify --height dual" in out
    assert run([], capsys)[0] == 2
    assert run(["M8043", "--height", "dual"], capsys)[0] == 2
    assert run(["--rows", "AC"], capsys)[0] == 2


def test_features_are_asked_on_the_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    code, out = run(["--height", "dual", "--rows", "AB", "--grants", "loop"], capsys)
    assert code == 1
    assert "(boards/grant-card)" in out
    assert "Not certain: there are boards it does not hold" in out
    out = run(["--height", "quad", "--packages", "processor"], capsys)[1]
    heights = [
        Catalogue().board(name).height for name in Catalogue().ids("boards") if Catalogue().board(name).processor
    ]
    other = [one for one in heights if isinstance(one, Known) and one.peek != "quad"]
    weak = sum(one.evidence.needs_saying for one in other)
    assert f"{len(heights) - len(other)} boards fit, of " in out
    assert f"; {weak} more would fit if a figure that nobody confirmed is wrong" in out
    assert "No entry of the catalogue says how many connectors" in run(["--connectors", "2"], capsys)[1]
    code = main(["stock", "identify", "--packages", "processor", "--bus", "mux", "--json"])
    found = json.loads(capsys.readouterr().out)
    assert code == 1
    assert all(Catalogue().board(one["entry"]).processor is not None for one in found["candidates"])
