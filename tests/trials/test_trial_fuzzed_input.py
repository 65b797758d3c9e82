"""Whatever stands in an image or in the sheet beside it: the reader takes it or tells its mistakes, nothing else."""

from __future__ import annotations

import contextlib
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from minisim.problems import InputError
from minisim.trials.running.images import read_image, tidied
from minisim.trials.running.sheet_page import EXAMPLE
from minisim.trials.running.sheets import read_sheets

CALM = settings(
    max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture], derandomize=True
)
LINES = EXAMPLE.splitlines()
VALUES = st.sampled_from(["", "null", "8", "-1", "[]", "{}", "[1, 2]", "{a: b}", '"\\u00e9"', "yes", "x" * 300, "- a"])


@CALM
@given(st.integers(0, len(LINES) - 1), VALUES, st.booleans())
def test_a_spoiled_sheet_is_read_or_told(tmp_path: Path, number: int, value: str, drops: bool) -> None:
    key = LINES[number].partition(":")[0]
    spoiled = [*LINES[:number], *([] if drops else [f"{key}: {value}"]), *LINES[number + 1 :]]
    path = tmp_path / "a.words.trial.yaml"
    path.write_text("\n".join(spoiled) + "\n", "utf-8")
    with contextlib.suppress(InputError):
        assert read_sheets(path).versions


@CALM
@given(st.text("01278 :/,;\nastr.", max_size=60))
def test_any_listing_is_read_or_told(tmp_path: Path, text: str) -> None:
    path = tmp_path / "a.words"
    path.write_text(text, "utf-8")
    assert len(tidied(text).splitlines()) <= len(text.splitlines())
    with contextlib.suppress(InputError):
        assert read_image(path).blocks


@CALM
@given(st.binary(max_size=60))
def test_any_tape_is_read_or_told(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "a.papertape"
    path.write_bytes(data)
    with contextlib.suppress(InputError):
        assert read_image(path).blocks
