"""Where the machine of a test comes from, that each test has a fresh one, and what is said where there is none."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from plugin_rig import KITTIWAKE, ROOT, copy_kittiwake, outcome_of

BOOTS = """
    def test_it(machine, console):
        console.expect("End of the table")
        assert machine.name == "{name}"
"""


def sums(folder: Path) -> dict[str, str]:
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in sorted(folder.iterdir())}


def test_the_loadout_of_the_command_line_is_found_from_where_it_is_called(pytester: pytest.Pytester) -> None:
    copy_kittiwake(pytester.mkdir("machines"), "gauge.yaml")
    result = outcome_of(
        pytester, BOOTS.format(name="Tide gauge logger"), "--minisim-loadout", "machines/gauge.yaml"
    )  # fmt: skip
    result.assert_outcomes(passed=1)
    assert any(line.startswith("minisim: ") and "gauge.yaml" in line for line in result.outlines)


def test_the_loadout_of_the_ini_file_is_found_from_its_folder(pytester: pytest.Pytester) -> None:
    copy_kittiwake(pytester.mkdir("machines"), "gauge.yaml")
    pytester.makeini("[pytest]\nminisim_loadout = machines/gauge.yaml")
    inner = pytester.mkdir("inner")
    (inner / "test_inner.py").write_text("def test_it(machine): assert machine.name == 'Tide gauge logger'")
    pytester.chdir()
    pytester.runpytest_inprocess("-p", "no:cacheprovider", str(inner)).assert_outcomes(passed=1)


def test_the_nearest_marker_gives_the_machine(pytester: pytest.Pytester) -> None:
    copy_kittiwake(pytester.path, "gauge.yaml", "desk.yaml")
    source = """
        import pytest
        pytestmark = pytest.mark.loadout("desk.yaml")

        def test_of_the_module(machine):
            assert machine.name == "Desktop tide table"

        @pytest.mark.bare(profile="chipset-one-level", options=[], memory=0o40000)
        class TestBare:
            def test_of_the_class(self, machine):
                assert (machine.profile, len(machine.memory)) == ("chipset-one-level", 0o40000)

            @pytest.mark.loadout("gauge.yaml")
            def test_of_the_test(self, machine):
                assert machine.name == "Tide gauge logger"
    """
    outcome_of(pytester, source, "--strict-markers").assert_outcomes(passed=3)


def test_each_test_has_a_machine_just_switched_on(pytester: pytest.Pytester) -> None:
    copy_kittiwake(pytester.path, "gauge.yaml")
    source = """
        import pytest
        seen = []

        @pytest.mark.loadout("gauge.yaml")
        @pytest.mark.parametrize("turn", [1, 2])
        def test_it(machine, console, turn):
            assert console.text == "" and machine.instructions == 0 and machine.memory.word(0o1000) == 0
            seen.append(machine.state_hash())
            machine.memory.put(0o1000, 5)
            console.expect("End of the table")
            assert len(set(seen)) == 1
    """
    outcome_of(pytester, source).assert_outcomes(passed=2)


def test_what_a_test_writes_stays_in_memory(pytester: pytest.Pytester) -> None:
    """The resident program keeps a file on the floppy; the image and its folder are as they were."""
    copy_kittiwake(pytester.path, "visitor.yaml")
    before = sums(pytester.path / "media")
    source = """
        import pytest
        pytestmark = pytest.mark.loadout("visitor.yaml")

        @pytest.mark.parametrize("turn", [1, 2])
        def test_it(machine, turn):
            (place,) = [place for place, drive in machine.drives.items() if drive.medium is not None]
            medium = machine.drives[place].medium
            assert medium.read(3) != bytes(range(128)) * (len(medium.read(3)) // 128)
            medium.write(3, bytes(range(128)) * (len(medium.read(3)) // 128))
            machine.drives.put_in(place, "media/visitor.floppy")
            machine.drives[place].medium.write(5, bytes(len(medium.read(5))))
            with pytest.raises(ValueError, match="copy"):
                machine.drives.put_in(place, "media/visitor.floppy", write_through=True)
    """
    outcome_of(pytester, source).assert_outcomes(passed=2)
    assert sums(pytester.path / "media") == before


def test_changes_kept_apart_are_not_seen_by_tests(pytester: pytest.Pytester) -> None:
    from minisim.catalogue import Catalogue
    from minisim.media import open_medium

    copy_kittiwake(pytester.path, "visitor.yaml")
    with open_medium(pytester.path / "media" / "visitor.floppy", Catalogue()) as medium:
        medium.write(3, b"\252" * len(medium.read(3)))
    image = (pytester.path / "media" / "visitor.floppy").read_bytes()
    source = """
        import pytest

        @pytest.mark.loadout("visitor.yaml")
        def test_it(machine):
            (drive,) = [drive for drive in machine.drives.values() if drive.medium is not None]
            with open("media/visitor.floppy", "rb") as image:
                assert drive.medium.read(0, drive.medium.geometry.sectors) == image.read()
    """
    outcome_of(pytester, source).assert_outcomes(passed=1)
    assert (pytester.path / "media" / "visitor.floppy").read_bytes() == image


def test_a_write_through_that_was_cut_off_is_seen_whole(pytester: pytest.Pytester) -> None:
    """Killed between overlay and image, the sectors belong to the image already."""
    from minisim.catalogue import Catalogue
    from minisim.machine.media import copied
    from minisim.media import open_medium
    from minisim.media.overlay import Overlay, overlay_path

    copy_kittiwake(pytester.path, "visitor.yaml")
    path = pytester.path / "media" / "visitor.floppy"
    with open_medium(path, Catalogue()) as medium:
        kind, each = medium.geometry.kind, medium.geometry.bytes_each
    state = path.stat()
    facts = {"through": "yes", "mtime": str(state.st_mtime_ns), "size": str(state.st_size)}
    overlay = Overlay(overlay_path(path), facts)
    overlay.write({3: b"\125" * each})
    overlay.close()
    held = copied(path, [kind], Catalogue(), mark=None)
    assert held.read(3) == b"\125" * each
    assert held.read(4) == path.read_bytes()[4 * each : 5 * each]


def test_a_loadout_is_read_once_until_its_file_changes(pytester: pytest.Pytester) -> None:
    copy_kittiwake(pytester.path, "gauge.yaml")
    pytester.makeconftest("""
        import minisim.loadout.reader as reader
        import pytest
        reads = []
        real = reader.read_loadout
        reader.read_loadout = lambda *paths, **named: (reads.append(paths), real(*paths, **named))[1]

        @pytest.fixture(scope="session")
        def reads_so_far():
            yield reads
            reader.read_loadout = real
    """)
    source = """
        import pathlib, pytest
        pytestmark = pytest.mark.loadout("gauge.yaml")

        @pytest.mark.parametrize("turn", range(5))
        def test_it(reads_so_far, machine, turn):
            assert len(reads_so_far) == 1

        def test_another_name():
            path = pathlib.Path("gauge.yaml")
            path.write_text(path.read_text().replace("name: Tide gauge logger", "name: Renamed"))

        def test_it_is_seen(reads_so_far, machine):
            assert machine.name == "Renamed" and len(reads_so_far) == 2
    """
    outcome_of(pytester, source).assert_outcomes(passed=7)


def test_without_a_machine_the_test_says_what_to_give(pytester: pytest.Pytester) -> None:
    result = outcome_of(pytester, "def test_it(machine): pass")
    result.assert_outcomes(errors=1)
    text = result.stdout.str()
    assert "this test wants a machine, and none was given" in text
    for way in (
        "--minisim-loadout FILE",
        "minisim_loadout = FILE",
        '@pytest.mark.loadout("FILE")',
        "@pytest.mark.bare(",
    ):
        assert way in text
    assert "Traceback" not in text and "testing/" not in text


def test_a_loadout_that_is_not_there_ends_the_session(pytester: pytest.Pytester) -> None:
    result = outcome_of(pytester, "def test_it(machine): pass", "--minisim-loadout", "nowhere.yaml")
    assert result.ret == pytest.ExitCode.USAGE_ERROR
    assert any("there is no file" in line and "nowhere.yaml" in line for line in result.errlines)


def test_a_loadout_with_mistakes_gives_each_with_its_place(pytester: pytest.Pytester) -> None:
    text = (KITTIWAKE / "desk.yaml").read_text("utf-8").replace("baud: 9600", "baudd: 9600", 1)
    (pytester.path / "desk.yaml").write_text(text.replace("loadout: 1", "loadout: 1\nextra: 2", 1), "utf-8")
    line = next(n for n, one in enumerate(text.splitlines(), 2) if "baudd" in one)
    result = outcome_of(pytester, "def test_it(machine): pass", "--minisim-loadout", "desk.yaml")
    result.assert_outcomes(errors=1)
    told = result.stdout.str()
    assert f"desk.yaml:{line}:" in told and '"baudd"' in told and "desk.yaml:" in told and '"extra"' in told
    assert "Traceback" not in told and "testing/" not in told


def test_a_loadout_that_must_not_be_built_gives_the_findings(pytester: pytest.Pytester) -> None:
    bad = ROOT / "tests" / "rules" / "GRANT-001" / "bad-serpentine.yaml"
    source = f"""
        import pytest

        @pytest.mark.loadout({str(bad)!r})
        def test_refused(machine): pass

        @pytest.mark.loadout({str(bad)!r}, allow=["fault"])
        def test_allowed(machine):
            assert any("built in spite of fault GRANT-001" in note for note in machine.notes)
    """
    result = outcome_of(pytester, source)
    result.assert_outcomes(errors=1, passed=1)
    told = result.stdout.str()
    assert "bad-serpentine.yaml:" in told and "fault GRANT-001 bus-grant-gap" in told and "Put right:" in told
    assert "Traceback" not in told and "testing/" not in told


@pytest.mark.parametrize(
    ("marker", "said"),
    [
        ('loadout("nowhere.yaml")', "can't read the file"),
        ("loadout()", 'the marker is loadout("FILE")'),
        ('loadout("desk.yaml", allow=["damage"])', 'the marker is loadout("FILE")'),
        ('bare(profile="chipset-one-levl")', 'did you mean "chipset-one-level"?'),
        ('bare(options=["fppp"])', "can't have option 'fppp'"),
        ("bare(memory=3)", "memory is an even number of bytes"),
        ("bare(speed=3)", "bare(profile=..., options=[...], memory=...)"),
    ],
)
def test_a_wrong_marker_says_what_is_right(pytester: pytest.Pytester, marker: str, said: str) -> None:
    source = f"import pytest\n@pytest.mark.{marker}\ndef test_it(machine): pass"
    result = outcome_of(pytester, source)
    result.assert_outcomes(errors=1)
    assert said in result.stdout.str()
    assert "testing/" not in result.stdout.str()


def test_a_rom_that_is_gone_is_told_with_its_line(pytester: pytest.Pytester) -> None:
    copy_kittiwake(pytester.path, "desk.yaml")
    (pytester.path / "media" / "boot-terminal.rom").unlink()
    line = next(
        number
        for number, text in enumerate((pytester.path / "desk.yaml").read_text("utf-8").splitlines(), 1)
        if "boot-terminal.rom" in text
    )
    result = outcome_of(pytester, "def test_it(machine): pass", "--minisim-loadout", "desk.yaml")
    result.assert_outcomes(errors=1)
    assert f"desk.yaml:{line}:" in result.stdout.str() and "boot-terminal.rom" in result.stdout.str()
    assert "Traceback" not in result.stdout.str() and "testing/" not in result.stdout.str()


def test_a_rom_that_was_made_anew_is_in_the_next_machine(pytester: pytest.Pytester) -> None:
    """The loadout is kept for the session, but not where a ROM with its description is another one."""
    copy_kittiwake(pytester.path, "desk.yaml")
    source = """
        import pathlib, pytest
        from minisim.cli import main
        pytestmark = pytest.mark.loadout("desk.yaml")

        @pytest.mark.parametrize("word", [0o240, 0o241, 0o242])
        def test_it(word, request):
            pathlib.Path("rom.s").write_text(f" . = 173000\\nstart: .word {word:o}\\n")
            assert main("asm rom.s -o media/boot-terminal.rom --boots serial-line --expects 777560".split()) == 0
            machine = request.getfixturevalue("machine")
            assert machine.read(0o173000) == word
    """
    outcome_of(pytester, source).assert_outcomes(passed=3)


def test_a_rom_that_is_changed_behind_its_description_is_refused(pytester: pytest.Pytester) -> None:
    """As `minisim boot` would refuse it, although the loadout was read before."""
    copy_kittiwake(pytester.path, "desk.yaml")
    source = """
        import pathlib, pytest
        pytestmark = pytest.mark.loadout("desk.yaml")

        def test_first(machine):
            pathlib.Path("media/boot-terminal.rom").write_bytes(bytes(132))

        def test_second(machine):
            pass
    """
    result = outcome_of(pytester, source)
    result.assert_outcomes(passed=1, errors=1)
    assert "this description belongs to another image" in result.stdout.str()


def test_a_limit_that_is_no_number_is_told(pytester: pytest.Pytester) -> None:
    source = "import pytest\n@pytest.mark.bare()\ndef test_it(machine): pass"
    result = outcome_of(pytester, source, "-o", "minisim_limit=soon")
    result.assert_outcomes(errors=1)
    assert 'minisim_limit is a decimal count of instructions, not "soon"' in result.stdout.str()


def test_both_cores_can_be_asked_for(pytester: pytest.Pytester) -> None:
    source = "import pytest\n@pytest.mark.bare()\ndef test_it(machine): assert machine.core == 'reference'"
    outcome_of(pytester, source, "--minisim-core", "reference").assert_outcomes(passed=1)
    outcome_of(pytester, source).assert_outcomes(failed=1)


def test_a_machine_without_a_console_says_so(pytester: pytest.Pytester) -> None:
    result = outcome_of(pytester, "import pytest\n@pytest.mark.bare()\ndef test_it(console): pass")
    result.assert_outcomes(errors=1)
    assert "this machine has no console line" in result.stdout.str()


def test_media_are_free_when_the_test_has_ended(pytester: pytest.Pytester) -> None:
    from minisim.catalogue import Catalogue
    from minisim.media import open_medium

    copy_kittiwake(pytester.path, "visitor.yaml")
    source = "import pytest\n@pytest.mark.loadout('visitor.yaml')\ndef test_it(machine): assert 0"
    outcome_of(pytester, source).assert_outcomes(failed=1)
    open_medium(pytester.path / "media" / "visitor.floppy", Catalogue()).close()
