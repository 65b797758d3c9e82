"""What thousands of tests would read over and over: the same bytes give the same, so each is worked out once.

Only what is never changed afterwards is remembered: entries of the catalogue, files of trial cases, and that a schema
is a schema.  Whatever is refused is refused anew each time.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import lru_cache, wraps
from typing import Any

import jsonschema

from minisim.catalogue import reader as catalogue_reader
from minisim.trials import reader as trials_reader

MANY = 1000


def remember() -> None:
    """From here on in this process."""
    catalogue_reader.read_entry_bytes = lru_cache(MANY)(catalogue_reader.read_entry_bytes)
    trials_reader.read_text = lru_cache(MANY)(trials_reader.read_text)
    for validator in (jsonschema.Draft7Validator, jsonschema.Draft202012Validator):
        validator.check_schema = _once(validator.check_schema)


def _once(check: Callable[..., None]) -> Callable[..., None]:
    """A check of a schema that is not repeated for one that has passed."""
    passed: set[str] = set()

    @wraps(check)
    def check_once(schema: Any, *rest: Any, **more: Any) -> None:
        key = json.dumps([schema, rest, sorted(more)], sort_keys=True, default=repr)
        if key not in passed:
            check(schema, *rest, **more)
            passed.add(key)

    return check_once
