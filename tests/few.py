"""Cases of which the fast tests try a few, always the same ones; `make slow` tries the others too."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest


def few(cases: Iterable[Any], every: int, first: int = 0) -> list[Any]:
    """Arguments of `parametrize`: of so many cases one is quick, the others are slow."""
    return [
        case if number % every == first % every else pytest.param(*_arguments(case), marks=pytest.mark.slow)
        for number, case in enumerate(cases)
    ]


def _arguments(case: Any) -> tuple[Any, ...]:
    """A tuple is a case of several arguments."""
    return case if isinstance(case, tuple) else (case,)
