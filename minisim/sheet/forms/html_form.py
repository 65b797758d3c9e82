"""A document as one HTML page that stands alone: no network, no script; good on a tablet and on paper."""

from __future__ import annotations

from importlib.resources import files

from minisim.sheet.blocks import BLANK, Document
from minisim.sheet.messages import say


def html_of(document: Document, paper: str = "") -> str:
    """The whole page.  `paper`: a4 or letter, else what the printer holds."""
    from jinja2 import Environment, StrictUndefined
    from markupsafe import Markup

    folder = files("minisim.sheet.forms")
    engine = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    template = engine.from_string((folder / "sheet.html.jinja").read_text("utf-8"))
    style = (folder / "sheet.css").read_text("utf-8").replace("%PAPER%", paper or "auto")
    style = style.replace("%FOOT%", _css_text(document.foot)).replace("%PAGE%", _css_text(say("form-page")))
    kind = {"kind": lambda block: type(block).__name__.lower(), "svg": Markup}
    return template.render(document=document, style=Markup(style), say=say, BLANK=BLANK, **kind)


def _css_text(text: str) -> str:
    """A text as the inside of a string of CSS, safe inside a style element."""
    return "".join(letter if letter.isalnum() or letter in " ,.:-" else f"\\{ord(letter):06x}" for letter in text)
