"""The published differences between groups of processors, as parameters of the specification.

`tests/data/profiles-published.yaml` is an untouched copy of the facts.  Where it has no value (null), nothing is
documented: the specification then takes what the project's own profile says under `model`, so that such a bit is
compared for consistency and never called documented.  `Profile.assumed` names these rows.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

DATA = Path(__file__).parents[1] / "data"
PUBLISHED = DATA / "profiles-published.yaml"
CATALOGUE = Path(__file__).parents[2] / "minisim" / "catalogue" / "profiles"

# Processor type of MFPT; elsewhere the code is reserved.  From memory, firm (processor facts, 2.1).
PROCESSOR_TYPE = {
    "late-ttl-commercial": 1,
    "chipset-four-level": 3,
    "chipset-four-level-quad": 3,
    "chipset-four-level-sep": 3,
    "small-single-chip": 4,
    "late-single-chip-22bit": 5,
    "late-single-chip-quad": 5,
    "late-single-chip-sep": 5,
}
LATE_SINGLE_CHIP = ("late-single-chip-22bit", "late-single-chip-quad", "late-single-chip-sep")
SECOND_CHIP_SET = ("chipset-four-level", "chipset-four-level-quad", "chipset-four-level-sep")
CALL_TO_SUPERVISOR = ("late-ttl-commercial", *LATE_SINGLE_CHIP)
LATER_BASE = ("sob", "mark", "sxt", "xor", "rtt")


@dataclass(frozen=True)
class Profile:
    """What the specification needs to know of a processor: `flags` by row, rows of several fields as D08.sob ..."""

    id: str
    modes: int
    register_sets: int
    flags: Mapping[str, str | None]
    options: Mapping[str, str]
    assumed: frozenset[str]

    def __getitem__(self, row: str) -> str | None:
        return self.flags[row]

    def modules(self) -> frozenset[str]:
        """Modules of the table of codes that this specification executes on the profile."""
        found = {"base"}
        found |= {name for name in LATER_BASE if self.flags[f"D08.{name}"] == "yes"}
        found.discard("rtt")
        if self.flags["D14"] == "yes":  # the same fact as D08.rtt; test_profiles.py holds the two together
            found.add("rtt")
        if self.flags["D12"] == "yes":
            found.add("spl")
        if self.flags["D22"] in ("instructions", "both"):
            found.add("ps")
        if self.id in PROCESSOR_TYPE:
            found.add("mfpt")
        if self.id in LATE_SINGLE_CHIP:
            found.add("multiprocessor")
        if self.options["eis"] != "never":
            found.add("eis")  # the machines that are compared have every option
        return frozenset(found)

    def optional_modules(self) -> frozenset[str]:
        """Modules that the profile can have and this specification does not execute."""
        found = {name for name, value in self.options.items() if value != "never" and name != "eis"}
        if self.id in CALL_TO_SUPERVISOR:
            found.add("csm")
        return frozenset(found)


@cache
def published() -> dict[str, Any]:
    """The published copy, each profile by its id."""
    text = yaml.load(PUBLISHED.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
    return {profile["id"]: profile for profile in text["profiles"]}


def profile_ids() -> list[str]:
    """All profiles, in the order of the facts."""
    return list(published())


@cache
def modelled(profile_id: str) -> dict[str, Any]:
    """What the project's profile says for rows without a published value, by row; empty if there is no such file."""
    path = CATALOGUE / f"{profile_id}.yaml"
    if not path.exists():
        return {}
    text = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
    return {flag["id"]: flag.get("model", flag.get("likely")) for flag in text["flags"]}


def _settle(profile_id: str, flag: Mapping[str, Any]) -> dict[str, tuple[str | None, bool]]:
    """Row name -> (value, is it assumed).  The rows with several fields give one entry a field."""
    row, value = flag["id"], flag["value"]
    model = modelled(profile_id).get(row, flag.get("likely"))
    if isinstance(value, dict):
        fields = model if isinstance(model, dict) else {}
        return {
            f"{row}.{name}": (part if part is not None else fields.get(name), part is None)
            for name, part in value.items()
        }
    return {row: (value if value is not None else model, value is None)}


@cache
def profile(profile_id: str) -> Profile:
    """The profile with every null filled from the project's model value."""
    entry = published()[profile_id]
    settled: dict[str, tuple[str | None, bool]] = {}
    for flag in entry["flags"]:
        settled |= _settle(profile_id, flag)
    return Profile(
        id=profile_id,
        modes=entry["modes"]["value"],
        register_sets=entry["register_sets"]["value"],
        flags={row: value for row, (value, _) in settled.items()},
        options={name: option["value"] for name, option in entry["options"].items()},
        assumed=frozenset(row for row, (_, is_assumed) in settled.items() if is_assumed),
    )
