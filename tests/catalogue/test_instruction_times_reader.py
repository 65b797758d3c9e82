"""The block of printed instruction times in a profile: what is read, and what is refused with its place."""

from __future__ import annotations

import shutil
from pathlib import Path

import jsonschema
import pytest
import yaml

from minisim.catalogue import Catalogue
from minisim.catalogue.reader import HERE
from minisim.catalogue.schema import schema
from minisim.catalogue.times import InstructionTimes
from minisim.problems import InputError

PROFILE = "one-board-ttl-basic"
SEEN = "evidence: seen, sources: [handbook-1969]"
LINE = f"    - {{instructions: MOV, us: 2.3, {SEEN}}}\n"
MODEL = 'us: unknown, model-us: 1, model-because: "a reason"'
LESS = f"  read-only-less: {{us: 0.4, {SEEN}}}\n"


def profile_with(folder: Path, text: str) -> Path:
    """A catalogue with one profile that has these instruction times."""
    shutil.copytree(HERE / "profiles", folder / "profiles")
    path = folder / "profiles" / f"{PROFILE}.yaml"
    path.write_text(path.read_text("utf-8").replace("flags:\n", f"instruction-times:\n{text}flags:\n"), "utf-8")
    return path


def read(folder: Path, text: str) -> InstructionTimes:
    """What the reader makes of them."""
    profile_with(folder, text)
    times = Catalogue(folder).profile(PROFILE).times
    assert times is not None
    return times


def test_a_line_has_its_time_in_nanoseconds_with_evidence_and_source(tmp_path: Path) -> None:
    line = read(tmp_path, f"  lines:\n    - {{instructions: [MOV, ADD], modes: [0, 1], us: 2.35, {SEEN}}}\n").lines[0]
    assert (line.instructions, line.modes, line.time.ns, line.time.evidence) == (("MOV", "ADD"), (0, 1), 2350, "seen")
    assert line.time.printed.sources == ("handbook-1969",)  # type: ignore[union-attr]


def test_a_time_nobody_printed_is_never_marked_as_printed(tmp_path: Path) -> None:
    time = read(tmp_path, f"  lines:\n    - {{instructions: MOV, {MODEL}}}\n").lines[0].time
    assert (time.ns, time.evidence, time.because) == (1000, "model", "a reason")


def test_a_range_and_an_upper_bound_say_how_they_are_read(tmp_path: Path) -> None:
    middle = f"    - {{instructions: MUL, us-range: [24, 64], {SEEN}}}\n"
    bound = f"    - {{instructions: DIV, us-at-most: 78, {SEEN}}}\n"
    times = [line.time for line in read(tmp_path, "  lines:\n" + middle + bound).lines]
    assert [(time.ns, time.reading) for time in times] == [(44000, "middle"), (78000, "at most")]


def test_operands_by_mode_and_the_single_times_are_read(tmp_path: Path) -> None:
    text = f"  lines:\n{LINE}  source:\n    - {{modes: [1, 2], us: 1.5, {SEEN}}}\n  odd-byte: {{us: 0.6, {SEEN}}}\n"
    times = read(tmp_path, text + f"  trap: {{{MODEL}}}\n")
    assert {mode: time.ns for mode, time in times.source.items()} == {1: 1500, 2: 1500}
    assert times.odd_byte is not None
    assert times.trap is not None
    assert (times.odd_byte.ns, times.trap.ns, times.rest) == (600, 1000, None)
    assert times.strength() == {"seen": 3, "model": 1}


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (f"    - {{instructions: MOV, {SEEN}}}\n", "one of us, us-range, us-at-most is expected"),
        (f"    - {{instructions: MOV, us: 1, us-at-most: 2, {SEEN}}}\n", "one of us, us-range, us-at-most is expected"),
        ("    - {instructions: MOV, us: 1}\n", "evidence is missing"),
        ("    - {instructions: MOV, us: unknown}\n", 'what is not printed needs "model-us" and "model-because"'),
        (f"    - {{instructions: MOV, {MODEL}, {SEEN}}}\n", 'unknown key "evidence"'),
        (f"    - {{instructions: MOV, us: 1, model-us: 2, {SEEN}}}\n", "what is printed needs no model-us"),
        (f"    - {{instructions: MOV, us: 0, {SEEN}}}\n", "an instruction takes some time"),
        (f"    - {{instructions: MOV, us: 1000000, {SEEN}}}\n", "a time is 0 to 10000 microseconds"),
        (f"    - {{instructions: MOV, us: fast, {SEEN}}}\n", '"fast" is no decimal number'),
        (f"    - {{instructions: MOV, modes: [8, 0], us: 1, {SEEN}}}\n", "addressing modes are 0 to 7"),
        (f"    - {{instructions: MOV, us-range: [3, 2], {SEEN}}}\n", "the lower time comes first"),
        (f"    - {{instructions: MOV, us-range: 3, {SEEN}}}\n", "two times are expected"),
        (f"    - {{instructions: BR, us: 1, not-taken-us: 2, {SEEN}}}\n", "can't take longer than one that is"),
        (
            f"    - {{instructions: BEQ, us: 2, not-taken-us: 1, {SEEN}}}\n"
            f"    - {{instructions: BNE, us: 3, not-taken-us: 1, {SEEN}}}\n",
            "must differ by the same",
        ),
        (f"{LINE}  source:\n    - {{modes: 0, us: 1, {SEEN}}}\n", "mode 0 adds nothing"),
        (f"{LINE}  source:\n    - {{modes: [1, 1], us: 1, {SEEN}}}\n", "mode 1 has a time already"),
        (f"{LINE}  destination:\n    - {{modes: 1, us: 1, {SEEN}}}\n{LESS}", "each of the modes 1 to 7 needs a time"),
        (f"{LINE}  destination:\n    - {{modes: 1, us: 0.1, {SEEN}}}\n{LESS}", "more than a destination takes at all"),
        (f"{LINE}  even-byte: {{us: 1, {SEEN}}}\n", 'unknown key "even-byte"'),
    ],
)
def test_what_can_not_be_is_told(tmp_path: Path, text: str, problem: str) -> None:
    path = profile_with(tmp_path, "  lines:\n" + text)
    with pytest.raises(InputError) as caught:
        Catalogue(tmp_path).profile(PROFILE)
    said = [str(each) for each in caught.value.problems]
    assert any(problem in line for line in said), said
    assert all(str(path.name) in line for line in said), said


@pytest.mark.parametrize(
    "line",
    [
        {"instructions": "MOV", "us": 1},
        {"instructions": "MOV", "evidence": "seen"},
        {"instructions": "MOV", "us": "unknown", "model-us": 1},
        {"instructions": "MOV", "us": "unknown", "model-us": 1, "model-because": "x", "evidence": "seen"},
        {"instructions": "MOV", "us": 1, "us-at-most": 2, "evidence": "seen"},
        {"instructions": "MOV", "us": 1, "evidence": "seen", "modes": 8},
        {"instructions": "MOV", "us": 1, "evidence": "seen", "quick": "yes"},
    ],
)
def test_a_wrong_line_does_not_fit_the_schema(line: dict[str, object]) -> None:
    entry = yaml.safe_load((HERE / "profiles" / f"{PROFILE}.yaml").read_text("utf-8"))
    checker = jsonschema.Draft202012Validator(schema("profiles"))
    good = {"instructions": "MOV", "us": 1, "evidence": "seen", "sources": ["handbook-1969"]}
    assert not list(checker.iter_errors({**entry, "instruction-times": {"lines": [good]}}))
    assert list(checker.iter_errors({**entry, "instruction-times": {"lines": [line]}}))
