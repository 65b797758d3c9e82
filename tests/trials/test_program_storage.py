"""The programs for disks, floppies and block tape: they pass, write what they say, and fail where something is wrong.

Numbers of cases are those of the sources; what must be told where a model is spoiled is in the models' documents.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest
from few import few
from storage_programs import LOOP, STANDS, STOP, WRITES, content, expected, noise, ran, said, stand, used

import minisim
from minisim.catalogue.reader import Catalogue
from minisim.devices import _floppy, cartridge_disk_2mb, cartridge_disk_10mb, floppy_double, floppy_single
from minisim.devices import serial_block_tape as block_tape
from minisim.machine.controllers import DevicePorts
from minisim.machine.records import Reason
from minisim.media.held import HeldMedium
from minisim.trials.own import Verdict, Where, run_program
from minisim.trials.places import where_of
from minisim.trials.programs import program

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tools"))

import boot_all

CASES = {"2mb": 129, "5mb": 91, "10mb": 91, "single": 29, "double": 37, "double, single density": 34, "tape": 34}
WRITING = {"2mb": 221, "5mb": 305, "10mb": 305, "single": 117, "double": 127, "double, single density": 124, "tape": 48}
MEDIA = {"single": "diskette", "double": "diskette", "double, single density": "diskette"}
QUICK = ("2mb", "10mb")
FAST = ("chipset-one-level", "first-hardwired", "late-single-chip-22bit")


def many_profiles() -> list[Any]:
    """Each device on each processor; the quick ones on some are fast tests."""
    every = [(name, profile) for name in STANDS for profile in Catalogue().ids("profiles")]
    return [
        pytest.param(*one, marks=() if one[0] in QUICK and one[1] in FAST else pytest.mark.slow, id=" ".join(one))
        for one in every
    ]


def off(name: str) -> str:
    """What a program says that does not write."""
    what = f"the {MEDIA.get(name, 'cartridge')} may be overwritten, and it is off"
    return f"{STANDS[name].program}: nothing is written: switch 10 (octal) says that {what}"


def ended(name: str, number: int, cases: int, faults: int = 0) -> str:
    """The line at the end of a pass."""
    return f"{STANDS[name].program}: end of pass {number}, {cases} cases, {faults} failures"


# --- good devices -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "profile"), many_profiles())
def test_it_passes_on_every_processor_and_writes_nothing(name: str, profile: str) -> None:
    medium = used(STANDS[name].medium)
    run = ran(name, medium, profile=profile, passes=2)
    # where HALT traps, the run is stopped before the last characters have left the line
    whole = said(name, off(name), ended(name, 1, CASES[name]), ended(name, 2, CASES[name]))
    assert run.said in (whole, whole[:-1], whole[:-2])
    assert run.verdict is Verdict.PASS
    assert not medium.apart


@pytest.mark.parametrize("name", [pytest.param(n, marks=pytest.mark.slow if n == "tape" else ()) for n in STANDS])
def test_what_it_writes_is_on_the_medium_and_nothing_else(name: str) -> None:
    medium = used(STANDS[name].medium)
    run = ran(name, medium, profile="chipset-one-level", passes=2, switches=WRITES)
    assert run.said == said(name, ended(name, 1, WRITING[name]), ended(name, 2, WRITING[name]))
    assert run.verdict is Verdict.PASS
    assert content(medium) == expected(name, 2)


@pytest.mark.slow
@pytest.mark.parametrize("profile", Catalogue().ids("profiles"))
@pytest.mark.parametrize("name", STANDS)
def test_it_writes_on_every_processor(name: str, profile: str) -> None:
    medium = used(STANDS[name].medium)
    assert ran(name, medium, profile=profile, passes=2, switches=WRITES).verdict is Verdict.PASS
    assert content(medium) == expected(name, 2)


@pytest.mark.parametrize("name", [pytest.param(n, marks=() if n in QUICK else pytest.mark.slow) for n in STANDS])
def test_the_reference_core_runs_it_alike(name: str) -> None:
    slowly = ran(name, profile="chipset-one-level", switches=WRITES, core="reference")
    assert slowly == ran(name, profile="chipset-one-level", switches=WRITES)
    assert slowly.verdict is Verdict.PASS


@pytest.mark.parametrize("name", [pytest.param(n, marks=() if n != "tape" else pytest.mark.slow) for n in STANDS])
@pytest.mark.parametrize("unit", [0, 1])
def test_a_protected_drive_is_found_out_and_its_refusal_tested(name: str, unit: int) -> None:
    medium = used(STANDS[name].medium)
    run = ran(name, medium, switches=WRITES | STOP, protected=True, unit=unit)
    assert (run.verdict, run.cases) == (Verdict.PASS, CASES[name] + 1)
    assert "tested instead of writing\r\n" in run.said
    assert content(medium) == noise(STANDS[name].medium)


@pytest.mark.parametrize(("name", "more"), [("2mb", 2), ("10mb", 2), ("double", 2)])
def test_memory_above_64_kb_is_tested_where_there_is_some(name: str, more: int) -> None:
    assert ran(name, profile="late-single-chip-22bit", kb=124, level=4).cases == CASES[name] + more


def test_the_board_with_22_address_lines_has_a_register_more() -> None:
    run = ran("10mb", profile="late-single-chip-22bit", kb=1024, dma_bits=22)
    # six bits of the register and two cases of memory above; an address without memory there is none to be sure of
    assert (run.verdict, run.cases) == (Verdict.PASS, CASES["10mb"] + 6 + 2 - 1)


@pytest.mark.parametrize("name", sorted({one.program for one in STANDS.values()}))
def test_a_program_fits_the_memory_it_asks_for(name: str) -> None:
    test = program(name)
    assert test.at("rear") <= test.memory_kb * 1024
    assert test.scratch
    assert test.device in {one.device for one in STANDS.values()}


# --- what is missing --------------------------------------------------------------------------------------------------


NOT_READY = "the drive is not ready: is it there, is a cartridge in it, "
NO_DISKETTE = "the drive is not ready: is it there, is a diskette in it, is its door closed?"
NOT_LOADED = (
    ("2mb", 61, "status of the drive: it is ready", NOT_READY + "does it turn?"),
    ("10mb", 42, "get status: the drive is ready and has no error", NOT_READY + "has it loaded its heads?"),
    ("single", 6, "read status: the drive is ready", NO_DISKETTE),
    ("double", 6, "read status: the drive is ready", NO_DISKETTE),
    ("tape", 6, "the drive has a cartridge and finds block 0", "no cartridge is in the drive"),
)


@pytest.mark.parametrize(("name", "case", "text", "reason"), NOT_LOADED)
def test_an_empty_drive_is_told_in_plain_words(name: str, case: int, text: str, reason: str) -> None:
    run = ran(name, empty=True, switches=WRITES)
    failure = f"{STANDS[name].program}: failed, case {case}: {text}"
    assert run.said == said(name, failure, f" {reason}", ended(name, 1, case, 1))
    assert run.verdict is Verdict.FAIL


@pytest.mark.parametrize("name", ["2mb", "10mb"])
def test_a_controller_without_drives_is_told(name: str) -> None:
    run = ran(name, empty=True, units=0)
    assert NOT_READY in run.said
    assert run.verdict is Verdict.FAIL


def test_a_floppy_controller_without_its_drive_box_is_told() -> None:
    run = ran("single", empty=True, units=0)
    failure = "floppy-single: failed, case 2: bus initialise: done after a while, and says so"
    reason = " DONE did not come: are the drives on the cable, and have they power?"
    assert run.said == said("single", failure, reason, ended("single", 1, 2, 1))


@pytest.mark.parametrize("name", ["2mb", "10mb", "single", "double", "tape"])
def test_a_place_where_nobody_answers_is_told(name: str) -> None:
    machine = stand(name, used(STANDS[name].medium))
    where = Where(0o164000, STANDS[name].vector)
    run = run_program(machine, program(STANDS[name].program), switches=0, where=where)
    assert run.failures[0].startswith(f"{STANDS[name].program}: failed, case 1: the registers ")
    assert run.said.endswith(f"{ended(name, 1, 1, 1)}\r\n")
    assert " nobody answers there, at 00764000\r\n" in run.said


def test_a_line_without_a_tape_drive_is_told() -> None:
    from program_rig import placement, rig

    machine = rig("two-board-ttl-mmu", None, placement("serial-line", 0o16500, (0o300, 4), (0o304, 4)))
    run = run_program(machine, program("block-tape"), switches=0, where=where_of(machine, "serial-line"))
    failure = "block-tape: failed, case 3: break, INIT, INIT: the drive answers"
    reason = " the drive does not answer: is it on, is the cable in, do both sides have the same speed?"
    assert run.said == said("tape", failure, reason, ended("tape", 1, 3, 1))


@pytest.mark.parametrize("name", ["2mb", "10mb", "double"])
def test_a_board_that_never_gets_the_bus_is_told(name: str) -> None:
    run = ran(name, switches=STOP, dma_granted=False)
    told = {
        "2mb": "error register is 001000, not 000000",  # data late [small-cartridge-pages]
        "10mb": "control is 110000, not 000000",  # any error, data late [cartridge-disk-wiki]
        "double": "DONE did not come: are the drives on the cable, and have they power?",
    }
    assert run.said.rstrip().endswith(told[name])
    assert run.verdict is Verdict.FAIL


# --- what is wrong ----------------------------------------------------------------------------------------------------


class Flipping(HeldMedium):
    """A medium that changes bit 3 of word 7 of each sector that is written."""

    bit = 0o10

    def write(self, first: int, data: bytes) -> None:
        each, changed = self.geometry.bytes_each, bytearray(data)
        for place in range(14, len(data), each):
            changed[place] ^= self.bit
        super().write(first, bytes(changed))

    def put_right(self) -> None:
        """As if it had always kept what was written."""
        before = dict(self.apart)
        for number, data in before.items():
            self.write(number, data)
        self.bit = 0


def flipping(name: str) -> Flipping:
    return Flipping(used(STANDS[name].medium).geometry, noise(STANDS[name].medium))


def test_a_wrong_word_is_told_with_its_place() -> None:
    run = ran("10mb", flipping("10mb"), switches=WRITES)
    told = run.said[run.said.index(": read back cylinder 377, head 1, sector 16\r\n") :].splitlines()
    # the seed is the disk address, cylinder 377 in bits 15-7, head in 6; the word is seven steps further, modulo 2^16
    right = (0o377 << 7 | 1 << 6 | 0o16) + 7 * 0o30715 & 0o177777
    assert told[1] == " control is 104000, not 000000"  # the check of the controller: data check
    assert told[3] == f" word 007 is {right ^ 0o10:06o}, not {right:06o}, xor 000010"


@pytest.mark.parametrize("name", ["2mb", "10mb", "single", "double"])
def test_a_medium_that_keeps_wrong_words_is_found(name: str) -> None:
    run = ran(name, flipping(name), switches=WRITES)
    assert run.verdict is Verdict.FAIL
    assert " word 007 is " in run.said


@pytest.mark.parametrize(
    ("name", "bad", "told"),
    [
        ("2mb", (12 * 2 * 202,), "error register is 000002, not 000000"),  # checksum [small-cartridge-pages]
        ("10mb", (1,), "control is 104000, not 000000"),  # data check [cartridge-disk-wiki]
        ("single", (25,), "error and status word, bits of faults is 000001, not 000000"),  # data check [floppy-wiki]
        ("double", (25,), "error and status word, bits of faults is 000001, not 000000"),
        ("tape", (0o776,), "success code is 000357, not 000000"),  # -17 [block-tape-driver-header]
    ],
)
def test_a_bad_sector_is_found(name: str, bad: tuple[int, ...], told: str) -> None:
    run = ran(name, used(STANDS[name].medium, bad=bad))
    assert run.verdict is Verdict.FAIL
    assert f" {told}\r\n" in run.said


@pytest.mark.parametrize("name", ["2mb", "10mb", "single", "double"])
def test_a_request_at_another_level_is_found(name: str) -> None:
    run = ran(name, level=7)
    assert " number of interrupts is 000001, not 000000\r\n" in run.said
    assert run.verdict is Verdict.FAIL


@pytest.mark.parametrize("name", ["2mb", "10mb", "single", "double", "tape"])
def test_another_vector_than_the_one_told_is_found(name: str) -> None:
    one = STANDS[name]
    machine = stand(name, used(one.medium))
    where = Where(0o160000 | one.base, one.vector + 0o20)
    run = run_program(machine, program(one.program), switches=0, where=where)
    # the tape line's transmitter is the first to interrupt, through its second vector
    vector = one.vector + (4 if name == "tape" else 0)
    assert run.failures[-1].startswith(f"{one.program}: unexpected trap through {vector:06o}, ")


@pytest.mark.parametrize("name", ["2mb", "10mb", "double"])
def test_a_transfer_that_goes_on_too_long_is_found(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = DevicePorts.to_memory

    def longer(self: DevicePorts, address: int, words: Any) -> int:
        return min(whole(self, address, [*words, 0o13]), len(words))

    monkeypatch.setattr(DevicePorts, "to_memory", longer)
    run = ran(name)
    assert run.verdict is Verdict.FAIL
    assert " expected 165432, found 000013, " in run.said


def nothing(*_: object) -> None:
    """Does nothing."""


SPOILED: list[tuple[str, Any, str, Any, str]] = [
    ("2mb", cartridge_disk_2mb.SmallCartridges, "show_place", nothing, "disk address is "),
    ("2mb", cartridge_disk_2mb.SmallCartridges, "step", nothing, "bus address is "),
    ("2mb", cartridge_disk_2mb.SmallCartridges, "tell_arrival", nothing, "search complete did not come"),
    ("2mb", cartridge_disk_2mb.SmallCartridges, "compare", lambda s, w: s.count(len(w)) or 0, "write check finds"),
    ("2mb", cartridge_disk_2mb.SmallCartridges, "is_protected", lambda *_: True, "tested instead of writing"),
    ("2mb", cartridge_disk_2mb.SmallCartridges, "is_moving", lambda *_: False, "a long seek"),
    ("10mb", cartridge_disk_10mb.Cartridges, "is_under_head", lambda s, d, w: w & 0o77 < 40, "is not on this track"),
    ("10mb", cartridge_disk_10mb.Cartridges, "go_on", nothing, "control is 112000, not 000000"),
    ("10mb", cartridge_disk_10mb.Cartridges, "wait_of", lambda *_: 0, "drive ready is 000001, not 000000"),
    ("10mb", cartridge_disk_10mb.Cartridges, "seek", lambda s, d: s.end_after(10_000), "cylinder and head of the"),
    ("single", floppy_single.SingleDensity, "BUFFER", 127, "number of bytes asked for is 000177, not 000200"),
    ("single", _floppy.Floppies, "mark", lambda *_: 0, "deleted data is 000000, not 000100"),
    ("double", floppy_double.DoubleDensity, "unreadable", lambda *_: (0, 0), "a function of the other density"),
    ("double", floppy_double.DoubleDensity, "unit_bit", 0o400, "the density of the diskette and the drive"),
    ("double", floppy_double.DoubleDensity, "is_overflow", False, "more words than a sector has"),
    ("tape", block_tape, "check_word", lambda data: sum(data) & 0o177777, "the drive "),
    ("tape", block_tape.BlockTape, "flow", nothing, "XOFF and CONTINUE within a packet"),
    ("tape", block_tape.BlockTape, "refused", lambda s: 0 if s.drive else -8, "success code is "),
    ("tape", block_tape.BlockTape, "give_block", lambda s: s.send(bytes(512)), "bootstrap gives the plain bytes"),
]


@pytest.mark.parametrize(("name", "owner", "what", "instead", "told"), few(SPOILED, 2))
def test_a_device_that_does_something_else_is_found(
    name: str, owner: Any, what: str, instead: Any, told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(owner, what, instead)
    run = ran(name, switches=STOP | WRITES)
    assert told in run.said
    assert run.verdict is Verdict.FAIL or "is_protected" in what


@pytest.mark.parametrize(("label", "told"), [("step", "same")])
def test_the_pattern_is_written_word_for_word(label: str, told: str) -> None:
    """The step from word to word stands in the source once; Python has its own."""
    assert program("cartridge-disk-2mb").at(label) == 0o30715
    assert program("cartridge-disk-2mb").at(told)


def test_a_case_in_a_subroutine_that_failed_is_repeated_until_it_is_right() -> None:
    medium = flipping("2mb")
    machine = stand("2mb", medium)
    test = program("cartridge-disk-2mb")
    run = run_program(
        machine, test, switches=WRITES | LOOP, where=where_of(machine, "cartridge-disk-2mb"), limit=6_000_000
    )
    assert run.stop is not None
    assert run.stop.reason is Reason.LIMIT
    assert set(run.failures[:-1]) == {
        "cartridge-disk-2mb: failed, case 133: read back cylinder 000, surface 0, sector 00"
    }
    assert len(run.failures) > 2
    medium.put_right()
    assert machine.run(limit=50_000_000).reason is Reason.HALTED
    told = bytes(machine.console.take()).decode("ascii")
    assert "end of pass 1, 221 cases, " in told
    assert "case 134" not in told
    assert content(medium) == expected("2mb", 1)


def test_it_starts_again_at_1000_and_says_the_same() -> None:
    one = STANDS["2mb"]
    machine = stand("2mb", used(one.medium))
    first = run_program(machine, program(one.program), where=where_of(machine, one.device))
    machine.cpu.pc = 0o1000
    assert machine.run(limit=50_000_000).reason is Reason.HALTED
    assert bytes(machine.console.take()).decode("ascii") == first.said


# --- machines from loadouts -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path", [pytest.param(p, id=p.stem, marks=pytest.mark.slow) for p in sorted(boot_all.LOADOUTS.glob("*.yaml"))]
)
def test_it_passes_on_the_boards_of_both_buses(path: Path, tmp_path: Path) -> None:
    where, kind = boot_all.laid_out(path, tmp_path)
    name = next(key for key, one in STANDS.items() if one.medium == kind and ("double" in key) == ("double" in kind))
    one = STANDS[name]
    with minisim.build(minisim.read_loadout(where)) as machine:
        place = next(place for place in machine.drives if machine.drives[place].medium is not None)
        medium = used(kind)
        machine.drives.put(place, medium)
        found = where_of(machine, one.device)
        run = run_program(machine, program(one.program), passes=2, switches=WRITES | STOP, where=found, limit=10**9)
        assert run.verdict is Verdict.PASS, run.said
        assert content(medium) == expected(name, 2)


@pytest.mark.parametrize(
    ("file", "name"), [("visitor", "double"), pytest.param("gauge", "tape", marks=pytest.mark.slow)]
)
def test_it_passes_on_the_demo_machines_and_leaves_nothing_behind(file: str, name: str, tmp_path: Path) -> None:
    import shutil

    shutil.copytree(boot_all.KITTIWAKE, tmp_path / "kittiwake")
    before = sorted(path.name for path in (tmp_path / "kittiwake" / "media").iterdir())
    with minisim.build(minisim.read_loadout(tmp_path / "kittiwake" / f"{file}.yaml")) as machine:
        where = where_of(machine, STANDS[name].device)
        run = run_program(machine, program(STANDS[name].program), switches=STOP, where=where)
    assert run.verdict is Verdict.PASS, run.said
    assert "nothing is written" in run.said
    assert sorted(path.name for path in (tmp_path / "kittiwake" / "media").iterdir()) == before
