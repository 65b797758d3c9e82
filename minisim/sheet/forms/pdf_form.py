"""A document as PDF, set by the typst library (an extra); the template reads the document's JSON."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from importlib.resources import files
from importlib.util import find_spec

from minisim.findings import Mark
from minisim.problems import InputError, Problem
from minisim.sheet.blocks import BLANK, Document, as_json
from minisim.sheet.messages import say

PAPERS = {"a4": "a4", "letter": "us-letter"}


def pdf_of(document: Document, paper: str = "a4") -> bytes:
    """The whole document; the same document gives the same bytes.  InputError: the library is not installed."""
    sheet = {**as_json(document), "paper": PAPERS[paper or "a4"], "blank": BLANK, "page": say("form-page")}
    template = (files("minisim.sheet.forms") / "sheet.typ").read_bytes()
    inputs = {"sheet": json.dumps(sheet), "photo": say("form-photo", caption="%")}
    return compiled(template, inputs, document.facts.get("date", ""))


def compiled(template: bytes, inputs: dict[str, str], made: str = "") -> bytes:
    """Set a template of the typesetting library; only its own fonts are used, so that every machine gives the same."""
    if find_spec("typst") is None:
        message = 'a PDF needs the extra "pdf": pip install "minisim[pdf]"; .html and .txt need nothing more'
        raise InputError([Problem(Mark("--out", 1, 1), message)])
    import typst

    when = datetime.fromisoformat(made).replace(tzinfo=UTC) if made else datetime(1970, 1, 1, tzinfo=UTC)
    pdf = typst.compile(template, sys_inputs=inputs, ignore_system_fonts=True, timestamp=int(when.timestamp()))
    return bytes(pdf)
