"""Every text of the sheet, from one catalogue: the folder `en/` with Fluent files (projectfluent.org).

A translation is a folder of the same file names beside `en/`; a text it lacks is taken from `en/`.
"""

from __future__ import annotations

from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fluent.runtime import FluentBundle

SOURCE_LANGUAGE = "en"
_LANGUAGE: ContextVar[str] = ContextVar("language", default=SOURCE_LANGUAGE)


def say(key: str, **values: object) -> str:
    """The text of a key with its `{ $values }` filled in.  KeyError: no such text, or a value is missing."""
    shown = {name: value if isinstance(value, int) else str(value) for name, value in values.items()}
    for language in dict.fromkeys((_LANGUAGE.get(), SOURCE_LANGUAGE)):
        bundle = _bundle(language)
        if bundle.has_message(key):
            pattern = bundle.get_message(key).value
            if pattern is None:
                raise KeyError(f"{key}: a message without a text")
            text, errors = bundle.format_pattern(pattern, shown)
            if errors:
                raise KeyError(f"{key}: {errors[0]}")
            return str(text)
    raise KeyError(key)


def languages() -> tuple[str, ...]:
    """Every language there is a folder for."""
    return tuple(sorted(entry.name for entry in files(__name__).iterdir() if entry.is_dir() and entry.name[0] != "_"))


@contextmanager
def language(name: str) -> Iterator[None]:
    """Inside, `say` speaks this language."""
    token = _LANGUAGE.set(name)
    try:
        yield
    finally:
        _LANGUAGE.reset(token)


@cache
def _bundle(name: str) -> FluentBundle:
    from fluent.runtime import FluentBundle, FluentResource

    bundle = FluentBundle([name], use_isolating=False)
    folder = files(__name__) / name
    for path in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if path.name.endswith(".ftl"):
            bundle.add_resource(FluentResource(path.read_text("utf-8")))
    return bundle
