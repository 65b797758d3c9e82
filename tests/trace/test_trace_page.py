"""The reference page of a trace and the how-to page say what is so."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from tracing import KITTIWAKE

from minisim.cli import main, parser_of
from minisim.trace.page import PAGE, pages
from minisim.trace.schema import trace_schema

DOCS = Path(__file__).resolve().parents[2] / "docs"
HOW_TO = (DOCS / "how-to" / "trace-a-run.md").read_text("utf-8")


def test_the_reference_page_has_every_key_of_the_schema() -> None:
    text = pages()[PAGE]
    shapes = trace_schema()["$defs"]
    keys = {key for shape in shapes.values() for key in shape["properties"]}
    assert len(keys) > 15
    assert all(f"`{key}`" in text for key in keys)


def test_the_options_of_the_page_are_there() -> None:
    known = {word for name in ("boot", "map") for one in parser_of(name)._actions for word in one.option_strings}
    assert set(re.findall(r"--[a-z][a-z-]*", HOW_TO)) <= known


def test_the_example_of_the_page_is_what_comes(capfd: pytest.CaptureFixture[str]) -> None:
    block = re.search(r"```\n(.*?)```", HOW_TO, re.S)
    assert block is not None
    main(["boot", str(KITTIWAKE / "desk.yaml"), "--limit", "4", "--trace-words", "-"])
    came = capfd.readouterr().out.splitlines()
    assert len(came) == 6
    assert [line for line in block[1].splitlines() if line != "..."] == [*came[:2], came[-1]]
