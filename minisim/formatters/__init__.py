"""How a report is shown: one file a form, all of them made from the same records.

A form is imported when it is asked for: a check that prints text pays for nothing else.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from importlib import import_module
from typing import TYPE_CHECKING, Any, cast

if TYPE_CHECKING:
    from minisim.findings import Report
    from minisim.formatters.annotations_form import github
    from minisim.formatters.html_form import html_page
    from minisim.formatters.json_form import JSON_SHAPE, finding_data, json_text
    from minisim.formatters.junit_form import junit
    from minisim.formatters.sarif_form import sarif
    from minisim.formatters.text_form import FIRST_SCREEN, finding_lines, message, summary, text, weakness
    from minisim.problems import Problem

    Formatter = Callable[[Sequence[Report], Sequence[Problem]], str]

__all__ = [
    "FIRST_SCREEN",
    "FORMATTERS",
    "FORMS",
    "JSON_SHAPE",
    "finding_data",
    "finding_lines",
    "github",
    "html_page",
    "json_text",
    "junit",
    "message",
    "sarif",
    "summary",
    "text",
    "weakness",
]

_HOMES = {
    "annotations_form": ("github",),
    "html_form": ("html_page",),
    "json_form": ("JSON_SHAPE", "finding_data", "json_text"),
    "junit_form": ("junit",),
    "sarif_form": ("sarif",),
    "text_form": ("FIRST_SCREEN", "finding_lines", "message", "summary", "text", "weakness"),
}
_HOME = {name: module for module, names in _HOMES.items() for name in names}


def _named(name: str) -> Formatter:
    """The formatter of this name, whose file is imported at the first call."""

    def formatter(reports: Sequence[Report], problems: Sequence[Problem] = ()) -> str:
        return cast("Formatter", _object(name))(reports, problems)

    return formatter


def _object(name: str) -> Any:
    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)


FORMATTERS: dict[str, Formatter] = {
    "json": _named("json_text"),
    "sarif": _named("sarif"),
    "junit": _named("junit"),
    "github": _named("github"),
    "html": _named("html_page"),
}
"""All forms but text, by the word of --format."""

FORMS = ("text", *FORMATTERS)
"""The words of --format."""


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = _object(name)
    globals()[name] = value
    return value
