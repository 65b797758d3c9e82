"""Pages of labels as one HTML page or as PDF, at their true size."""

from __future__ import annotations

import json
from importlib.resources import files

from minisim.sheet.labels.drawing import Pages
from minisim.sheet.messages import say

_FOLDER = files("minisim.sheet.forms")


def labels_html(pages: Pages, name: str) -> str:
    """One page that stands alone; a printer that is told not to scale prints it at its true size."""
    from jinja2 import Environment
    from markupsafe import Markup

    from minisim.sheet.messages import SOURCE_LANGUAGE

    template = Environment(autoescape=True).from_string((_FOLDER / "labels.html.jinja").read_text("utf-8"))
    wide, high = (f"{length:g}" for length in pages.size)
    title = say("label-title", name=name)
    svgs = [Markup(page) for page in pages.svgs]
    return template.render(pages=svgs, title=title, wide=wide, high=high, language=SOURCE_LANGUAGE)


def labels_pdf(pages: Pages, name: str) -> bytes:
    """One page of the right size for each.  InputError: the library is not installed."""
    from minisim.sheet.forms.pdf_form import compiled

    wide, high = (f"{length:g}" for length in pages.size)
    inputs = {"pages": json.dumps(pages.svgs), "title": say("label-title", name=name), "wide": wide, "high": high}
    return compiled((_FOLDER / "labels.typ").read_bytes(), inputs)
