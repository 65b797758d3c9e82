"""Generated reference pages of the processor: the instruction table, and the profiles with their differences."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from minisim.catalogue.model import FlagValue, Profile, ProfileRow
from minisim.catalogue.reader import Catalogue
from minisim.cpu.profile import available, named, timing
from minisim.cpu.table import Decoder, Record, aliases, records
from minisim.known import Figure, Known, NotApplicable

INSTRUCTIONS = """# Instructions

This page is written from the instruction table of the core (`make docs`); the records stand beside their
bodies in `cpu/insns/`. Codes are octal.

Pattern: six places, the first is bit 15, the others three bits each. `SS` and `DD` are operands of six bits
(mode, register), `R` a register, `N` a number; `+XX` is a field of eight bits, `+C` one of four. Written: `S`
`D` operands, `R` register, `B` branch target, `L` loop target, `N` `X` numbers, `C` choice of condition
codes. N Z V C: the effect on the codes, `*` by the result, `-` none. Traps: vectors beside those of the
operands (4: odd address, nobody answers). Source: the document where the code was seen; the handbooks of
1972-81 and 1983 were not read, they name where to look it up (the fact itself is recalled, firmly).
"""

PROFILES = """# Processor profiles

This page is written from the catalogue and the decode tables of the core (`make docs`).

Owned: how many of the 65,536 (decimal) first words are instructions with every option that the profile can
have, as far as built; all others are reserved and trap to 10. Time: of an instruction in ns (decimal); `+ n a
cycle` where a table with memory cycles is printed; `assumed` where no figure is known.
"""

DIFFERENCES = """
## The table of differences

Each row is a flag of the core. A profile stands beside the word that the emulator follows, with its evidence
in brackets: seen, firm (recalled, standard), unconfirmed (recalled), or *model* where the value is not known
and the emulator had to choose. Comparison never counts a *model* value as documented. A profile that is
missing: the row makes no sense there.
"""


def pages() -> dict[Path, str]:
    """Path under docs/ -> text."""
    return {
        Path("reference/instructions.md"): "\n".join(_instructions()) + "\n",
        Path("reference/profiles.md"): "\n".join(_profiles()) + "\n",
    }


def _table(*head: str) -> Iterator[str]:
    yield "| " + " | ".join(head) + " |"
    yield "|" + "---|" * len(head)


def _row(*cells: object) -> str:
    return "| " + " | ".join(str(cell) for cell in cells) + " |"


def _instructions() -> Iterator[str]:
    yield INSTRUCTIONS
    yield from _table("Mnemonic", "Pattern", "Written", "Form", "N Z V C", "Module", "Traps", "Source")
    for record in sorted(records(), key=lambda each: (each.value, each.mnemonic)):
        yield _instruction(record)
    yield "\n## Second names\n"
    yield from _table("Mnemonic", "Code", "Is a word of")
    for alias in sorted(aliases(), key=lambda each: each.value):
        yield _row(alias.mnemonic, f"`{alias.pattern}`", alias.of)


def _instruction(record: Record) -> str:
    traps = " ".join(f"{vector:o}" for vector in record.traps)
    codes = f"`{' '.join(record.codes)}`"
    form = record.form.name.lower().replace("_", " ")
    return _row(
        record.mnemonic, f"`{record.pattern}`", record.operands, form, codes, record.module, traps, f"[{record.source}]"
    )


def _profiles() -> Iterator[str]:
    catalogue = Catalogue()
    profiles = [named(name) for name in catalogue.ids("profiles")]
    yield PROFILES
    yield from _table("Profile", "Owned", "Reserved", "Modes", "Sets", "Address bits", "Options", "Type word", "Time")
    yield from map(_profile, profiles)
    yield DIFFERENCES
    for row in catalogue.rows():
        yield from _difference(row, profiles)


def _profile(profile: Profile) -> str:
    decoder, time = Decoder(profile), timing(profile)
    spent = f"{time.base_ns}" + (f" + {time.cycle_ns} a cycle" if time.cycle_ns else "")
    options = ", ".join(f"{name} ({word})" if word == "standard" else name for name, word in available(profile).items())
    return _row(
        profile.id,
        decoder.owned,
        decoder.reserved,
        _figure(profile.modes),
        _figure(profile.register_sets),
        _figure(profile.address_bits),
        options or "none",
        str(profile.processor_type.peek) if isinstance(profile.processor_type, Known) else "",
        spent + (" assumed" if time.assumed else ""),
    )


def _difference(row: ProfileRow, profiles: Iterable[Profile]) -> Iterator[str]:
    yield f"\n### {row.id} {row.flag}\n\n{row.what}\n"
    if row.note:
        yield f"{row.note}\n"
    found: dict[str, list[str]] = {}
    for profile in profiles:
        for word, evidence in _words(profile.flags[row.flag]):
            found.setdefault(word, []).append(f"{profile.id} ({evidence})")
    yield from _table("Word", "Meaning", "Profiles")
    for word, names in found.items():
        yield _row(word, row.values.get(word.rpartition(" ")[2], ""), ", ".join(names))


def _words(flag: FlagValue) -> Iterator[tuple[str, str]]:
    """The words of one profile, each with its evidence; several where the row holds several facts."""
    if isinstance(flag.model, Mapping):
        values = flag.value if isinstance(flag.value, Mapping) else {}
        for fact, word in flag.model.items():
            yield f"{fact}: {word}", _evidence(values.get(fact, NotApplicable()))
    elif flag.model != "not_applicable":
        assert not isinstance(flag.value, Mapping)
        yield flag.model, _evidence(flag.value)


def _evidence(figure: Figure[str]) -> str:
    if not isinstance(figure, Known):
        return "model"
    return ", ".join((figure.evidence.value, *(f"[{source}]" for source in figure.sources)))


def _figure(figure: Figure[int]) -> str:
    return str(figure.peek) if isinstance(figure, Known) else "not known"
