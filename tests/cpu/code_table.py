"""The published list of instruction codes (tests/data/instruction-codes.yaml), expanded independently of the core."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from itertools import product
from pathlib import Path

import yaml

from minisim.catalogue.model import Profile

FILE = Path(__file__).parents[1] / "data" / "instruction-codes.yaml"
ROW_OF = {"sob": "D08", "mark": "D08", "sxt": "D08", "xor": "D08"}


@dataclass(frozen=True)
class Code:
    """One line of the list with all its first words."""

    codes: str
    name: str | None
    module: str
    words: frozenset[int]


@cache
def _document() -> dict[str, object]:
    return yaml.load(FILE.read_text("utf-8"), yaml.CBaseLoader)


@cache
def table() -> tuple[Code, ...]:
    """Every line."""
    return tuple(
        Code(
            row["codes"],
            None if row["name"] == "null" else row["name"],
            row["module"],
            frozenset(words(row["codes"])),
        )
        for row in _document()["codes"]
    )


def words(codes: str) -> set[int]:
    """All first words of one line, digit by digit."""
    if "-" in codes:
        first, last = (int(end, 8) for end in codes.split("-"))
        return set(range(first, last + 1))
    base, plus, _ = codes.partition("+XX")
    if plus:
        return {int(base, 8) + low for low in range(256)}
    digits = re.findall(r"\(ac\)|\(ac\+4\)|.", codes)
    choices = [_digit(digit) for digit in digits]
    return {int("".join(chosen), 8) for chosen in product(*choices)}


def _digit(text: str) -> str:
    if text == "*":
        return "01"
    if text == "(ac)":
        return "0123"
    if text == "(ac+4)":
        return "4567"
    return text if text.isdigit() else "01234567"


def has(profile: Profile, module: str) -> bool:
    """Whether the profile, with every option it can have, has a module: by its rows, not by what the core thinks."""
    only = _document()["only"]
    if module in only:
        return profile.id in only[module]
    if module == "base":
        return True
    if module in ("sob", "mark", "sxt", "xor"):
        facts = profile.model("later_base_instructions")
        return facts[module] == "yes"
    if module == "csm":
        facts = profile.model("mmr3")
        return facts != "not_applicable" and facts["csm"] == "yes"
    rows = {"rtt": ("rtt", {"yes"}), "spl": ("spl", {"yes"}), "ps": ("ps_access", {"instructions", "both"})}
    if module in rows:
        flag, wanted = rows[module]
        return profile.model(flag) in wanted
    return module in profile.options and profile.options[module].peek != "never"


def owned(profile: Profile, modules: set[str]) -> set[int]:
    """Words that have an owner on this profile, counting only these modules; a code that is illegal has none."""
    chosen = (code for code in table() if is_owned(code) and code.module in modules and has(profile, code.module))
    return set().union(*(code.words for code in chosen))


def is_owned(code: Code) -> bool:
    """Does an instruction own the words?  Illegal floating codes trap through 244 instead of 10, but own no name."""
    return not (code.name or "").startswith("illegal")
