"""Whatever happens to a good file, reading it gives a Loadout or a LoadoutError, never anything else."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from minisim.catalogue.reader import Catalogue
from minisim.loadout.model import Loadout, LoadoutError
from minisim.loadout.reader import read_loadout

PIECES = [
    *(b"", b"null", b"[]", b"{}", b"888", b"-1", b"yes", b"a: b", b"- x", b"\t", b"'", b'"', b"&a", b"*a", b"!!int 1"),
    *(b"<<: {}", b"[" * 40, b"{a: " * 40, b"---", b"...", b"\xff", b"\x00", b"\xe2\x80\xa8", b"main/a/3CF", b"177560"),
    *(b"~", b"1-2", b"9" * 400, b"mux-twin-4-18bit", b"mid-cpu-dual", b"describe", b"../x", b"%", b"?", b": :", b"|"),
]


def lines_changed(source: bytes, seed: int) -> bytes:
    """Delete, double, swap, indent, or replace some lines or words."""
    chance = random.Random(seed)
    lines = source.split(b"\n")
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(lines))
        what = chance.randrange(6)
        if what == 0:
            del lines[at]
        elif what == 1:
            lines.insert(at, lines[chance.randrange(len(lines))])
        elif what == 2:
            lines[at] = chance.choice(PIECES)
        elif what == 3:
            lines[at] = b"  " * chance.randint(0, 3) + lines[at].strip()
        elif what == 4:
            words = lines[at].split(b" ")
            words[chance.randrange(len(words))] = chance.choice(PIECES)
            lines[at] = b" ".join(words)
        else:
            cut = chance.randint(0, len(lines[at]))
            lines[at] = lines[at][:cut] + chance.choice(PIECES) + lines[at][cut:]
        if not lines:
            break
    return b"\n".join(lines)


def must_read_or_refuse(path: Path, data: bytes, catalogue: Catalogue) -> None:
    path.write_bytes(data)
    try:
        assert isinstance(read_loadout(path, catalogue=catalogue), Loadout)
    except LoadoutError as error:
        assert error.problems
        assert all(
            problem.mark.line >= 1 and problem.message and "\n" not in problem.message for problem in error.problems
        )


@pytest.mark.parametrize("name", ["gauge.yaml", "everything.yaml"])
@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 2**32))
def test_changed_lines_give_a_loadout_or_located_problems(
    name: str, folder: Path, catalogue: Catalogue, seed: int
) -> None:
    must_read_or_refuse(folder / "changed.yaml", lines_changed((folder / name).read_bytes(), seed), catalogue)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(at=st.floats(0, 1), piece=st.binary(max_size=8), gone=st.integers(0, 30))
def test_random_bytes_give_a_loadout_or_located_problems(
    folder: Path, catalogue: Catalogue, at: float, piece: bytes, gone: int
) -> None:
    source = (folder / "everything.yaml").read_bytes()
    cut = int(at * len(source))
    must_read_or_refuse(folder / "changed.yaml", source[:cut] + piece + source[cut + gone :], catalogue)
