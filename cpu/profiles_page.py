"""Generated page docs/reference/profiles.md: every profile, its options, and the table of differences with evidence."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from minisim.catalogue.model import BoardEntry, FlagValue, Profile, ProfileRow
from minisim.catalogue.reader import Catalogue
from minisim.catalogue.words import OPTIONS
from minisim.cpu.profile import ASSUMED_NS
from minisim.cpu.table import Decoder
from minisim.cpu.unobservable import unobservable
from minisim.known import Evidence, Figure, Known, NotApplicable, Unknown

HEAD = """# Processor profiles

A profile is the documented behaviour of one group of processors. This page is written from the catalogue and the
decode tables of the core (`make docs`).

Every value carries a mark that tells how well it is known:

| Mark | Meaning |
|---|---|
{marks}
| `?` | not known; the word behind it is what the emulator does there, and never counts as documented |
| `-` | the row makes no sense for this profile |
"""
MARKS = {
    Evidence.SEEN: ("s", "seen in a document; its key stands with the row below"),
    Evidence.DERIVED: ("d", "follows from other values"),
    Evidence.COMMON_PRACTICE: ("p", "common practice"),
    Evidence.FIRM: ("f", "recalled from the handbooks, firmly; not seen"),
    Evidence.SEEN_SECONDARY: ("t", "seen in a second-hand source"),
    Evidence.UNCONFIRMED: ("u", "recalled, unconfirmed"),
    Evidence.DISPUTED: ("x", "sources differ"),
}
FINER = {
    "D24": (
        ("red_zone", "no", "One trap below the limit, no red zone"),
        ("user_stack_limit", "yes", "A fixed limit in user mode too"),
    ),
    "D30": (("mov_reads_first", "byte", "The byte form of MOV alone reads first"),),
}
"""Row -> keys of the profile that say more, the word worth saying, and what it means."""
ACROSS = 6  # profiles side by side in the matrix
WORDS = """
## Words owned

How many of the 65,536 (decimal) first words are instructions with every option that the profile can have, as far as
built; all others are reserved and trap to 10.
"""
OPTIONS_HEAD = """
## Options

EIS: multiply, divide, shifts by a count. FIS: four floating instructions on memory. FPP: floating-point processor.
CIS: commercial instructions. MMU: memory management. Map: bus map between the 18-bit bus and 22-bit memory.
FPP unit: a parallel one runs beside the processor, so its exceptions trap at the next floating instruction and it has
maintenance codes; serial ones and microcode trap at once.
"""
FITS = """
### Where an option fits

By the processor boards of the catalogue. An option on a board of its own is there when that board stands beside the
processor; naming it is not enough, and `minisim check` says so (rules OPT-001 to OPT-005).
"""
TIME = f"""
## Time

Time of an instruction in ns (decimal): a base, and so much for each memory cycle beyond the fetch of its first word,
where such a table is printed; else the average of a published mix of instructions; else {ASSUMED_NS} ns, assumed.
Where [times of single instructions](instruction-times.md) are printed, this is the time of the others.
"""
MATRIX = """
## The table of differences

One row for each flag of the core. What the words mean stands below, row by row.
"""
ROWS = """
## Row by row

Under each word stand the profiles by their evidence: `seen` with the keys of the sources ([sources](../sources.md)),
`firm`, `unconfirmed`; `not known, chosen as likely`: the emulator takes what is recalled, doubtfully; `not known,
chosen`: not even that. A profile that is missing: the row makes no sense there.
"""


def pages() -> dict[Path, str]:
    """Path under docs/ -> text."""
    return {Path("reference/profiles.md"): "\n".join(profiles_page(Catalogue())) + "\n"}


def profiles_page(catalogue: Catalogue) -> Iterator[str]:
    """The whole page, by paragraphs."""
    profiles = [catalogue.profile(name) for name in catalogue.ids("profiles")]
    rows, hidden = catalogue.rows(), unobservable()
    yield HEAD.format(marks="\n".join(f"| `{mark}` | {what} |" for mark, what in MARKS.values()))
    yield from _kinds(profiles)
    yield from _options(profiles)
    yield from _fitting([catalogue.board(name) for name in catalogue.ids("boards")])
    yield from _times(profiles)
    yield from _words_owned(profiles)
    yield MATRIX
    for start in range(0, len(profiles), ACROSS):
        yield from _matrix(rows, profiles[start : start + ACROSS])
    yield ROWS
    for row in rows:
        yield from _row_section(row, profiles, hidden.get(row.id, ""))


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """A table whose columns line up as text too."""
    lines = [[cell.replace("|", " ") for cell in line] for line in [head, *rows]]
    widths = [max(len(line[column]) for line in lines) for column in range(len(head))]
    for number, line in enumerate(lines):
        cells = (cell.ljust(width) for cell, width in zip(line, widths, strict=True))
        yield f"| {' | '.join(cells)} |"
        if not number:
            yield f"|{'|'.join('-' * (width + 2) for width in widths)}|"
    yield ""


def marked(figure: Figure[Any], model: str = "") -> str:
    """A value with its mark: `18 u`; `? after` where it is not known and the emulator takes `after`; `-`."""
    if isinstance(figure, Known):
        value = figure.peek
        text = ", ".join(map(str, value)) if isinstance(value, tuple) else str(value)
        return f"{text} {MARKS[figure.evidence][0]}"
    return f"? {model}".strip() if isinstance(figure, Unknown) else "-"


# ---- the profiles


def _kinds(profiles: Sequence[Profile]) -> Iterator[str]:
    head = ("Profile", "Buses", "Boards", "Modes", "Register sets", "Address bits", "Type word", "Console")
    yield "## The profiles\n"
    yield from _table(head, [_kind(profile) for profile in profiles])
    for profile in profiles:
        yield _item(f"**{profile.id}**: {' '.join([profile.description, *profile.notes])}")


def _kind(profile: Profile) -> tuple[str, ...]:
    figures: tuple[Figure[Any], ...] = (
        profile.buses,
        profile.boards,
        profile.modes,
        profile.register_sets,
        profile.address_bits,
        profile.processor_type,
        profile.console,
    )
    return (profile.id, *map(marked, figures))


def _options(profiles: Sequence[Profile]) -> Iterator[str]:
    yield OPTIONS_HEAD
    rows = [
        (
            profile.id,
            *(marked(profile.options[name]) for name in OPTIONS),
            cell(profile.flags["stack_limit"]),
            marked(profile.fpp_unit, "serial"),
        )
        for profile in profiles
    ]
    yield from _table(("Profile", *OPTIONS, "stack limit (D24)", "FPP unit"), rows)


def _fitting(boards: Sequence[BoardEntry]) -> Iterator[str]:
    yield FITS
    rows = []
    for board in boards:
        if board.processor is not None:
            profile, options = board.processor.profile, board.processor.options
            where = [(name, how, _adding(boards, profile, name)) for name, how in options.items() if how != "never"]
            cells = [f"{name}: {how}{adding if how == 'board' else ''}" for name, how, adding in where]
            rows.append((board.id, profile, ", ".join(cells) or "none"))
    yield from _table(("Processor board", "Profile", "Options"), rows)


def _adding(boards: Sequence[BoardEntry], profile: str, option: str) -> str:
    found = [board.id for board in boards if profile in board.option_to and option in board.option_adds]
    return f" ({' or '.join(found)})" if found else ""


def _times(profiles: Sequence[Profile]) -> Iterator[str]:
    yield TIME
    yield from _table(
        ("Profile", "An instruction", "Comes from", "Bus reset lasts"), [_time(profile) for profile in profiles]
    )


def _time(profile: Profile) -> tuple[str, ...]:
    table, average, reset = profile.cycle_table, profile.average_ns, profile.reset
    pause = f"{reset.peek / 1000:g} us {MARKS[reset.evidence][0]}" if isinstance(reset, Known) else "?"
    if profile.times and profile.times.rest:
        cycle = f" + {profile.times.rest_cycle.ns} a cycle" if profile.times.rest_cycle else ""
        return profile.id, f"{profile.times.rest.ns}{cycle}", "?", pause
    if table is not None:
        spent, figure = f"{table.base_ns} + {table.cycle_ns} a cycle", "cycle table " + _source(profile.cycles)
        return profile.id, spent, figure, pause
    if average is not None:
        return profile.id, str(average), "average " + _source(profile.average), pause
    return profile.id, str(ASSUMED_NS), "assumed", pause


def _source(figure: Figure[Any]) -> str:
    return f"({_evidence(figure)})"


def _words_owned(profiles: Sequence[Profile]) -> Iterator[str]:
    yield WORDS
    decoders = [(profile.id, Decoder(profile)) for profile in profiles]
    rows = [(name, str(decoder.owned), str(decoder.reserved)) for name, decoder in decoders]
    yield from _table(("Profile", "Owned", "Reserved"), rows)


# ---- the differences


def _matrix(rows: Iterable[ProfileRow], profiles: Sequence[Profile]) -> Iterator[str]:
    lines = [(f"{row.id} {row.flag}", *(cell(profile.flags[row.flag]) for profile in profiles)) for row in rows]
    yield from _table(("Row", *(profile.id for profile in profiles)), lines)


def cell(flag: FlagValue) -> str:
    """One flag of one profile; a row of several facts gives the facts by their common value: `yes f: sob mark`."""
    if not isinstance(flag.value, Mapping):
        return marked(flag.value, str(flag.model))
    model = flag.model if isinstance(flag.model, Mapping) else {}
    found: dict[str, list[str]] = {}
    for fact, figure in flag.value.items():
        found.setdefault(marked(figure, model.get(fact, "")), []).append(fact)
    return "; ".join(f"{value}: {' '.join(facts)}" for value, facts in found.items())


def _row_section(row: ProfileRow, profiles: Sequence[Profile], hidden: str) -> Iterator[str]:
    yield f"\n### {row.id} {row.flag}\n\n{row.what}\n"
    if row.note:
        yield f"{row.note}\n"
    if hidden:
        yield f"No trial case tells the words of this row apart. {hidden}\n"
    yield from _words_of_row(row, profiles)
    yield from _finer(row, profiles)
    reasons = {profile.id: profile.flags[row.flag].because for profile in profiles if profile.flags[row.flag].because}
    yield from (_item(f"Why the emulator's choice for {name}: {why}.") for name, why in reasons.items())


def _words_of_row(row: ProfileRow, profiles: Sequence[Profile]) -> Iterator[str]:
    """Each word of the row, what it means, and under it the profiles by evidence."""
    found: dict[str, dict[str, list[str]]] = {}
    for profile in profiles:
        for word, evidence in _words(profile.flags[row.flag]):
            found.setdefault(word, {}).setdefault(evidence, []).append(profile.id)
    for word, by_evidence in found.items():
        yield _item(f"`{word}`: {row.values[_value_of(word)]}.")
        yield from (_item(f"{evidence}: {', '.join(names)}", "  ") for evidence, names in by_evidence.items())
    unused = [word for word in row.values if not any(_value_of(one) == word for one in found)]
    yield from (_item(f"`{word}`: {row.values[word]}. No profile.") for word in unused)
    yield ""


def _item(text: str, indent: str = "") -> str:
    """One item of a list, broken at the usual width."""
    return textwrap.fill(text, 118, initial_indent=f"{indent}- ", subsequent_indent=f"{indent}  ",
                         break_on_hyphens=False, break_long_words=False)  # fmt: skip


def _finer(row: ProfileRow, profiles: Sequence[Profile]) -> Iterator[str]:
    """What single profiles have beside the word of the row."""
    for key, word, meaning in FINER.get(row.id, ()):
        figures = ((profile.id, getattr(profile, key)) for profile in profiles)
        said = [f"{name} ({_evidence(one)})" for name, one in figures if isinstance(one, Known) and one.peek == word]
        yield f"{meaning}: {', '.join(said)}.\n"


def _value_of(word: str) -> str:
    """The value in `fact: value`."""
    return word.rpartition(": ")[2]


def _words(flag: FlagValue) -> Iterator[tuple[str, str]]:
    """The words of one profile, each with its evidence; several where the row holds several facts."""
    if isinstance(flag.model, Mapping):
        values = flag.value if isinstance(flag.value, Mapping) else {}
        for fact, word in flag.model.items():
            likely = flag.likely.get(fact, "") if isinstance(flag.likely, Mapping) else flag.likely
            yield f"{fact}: {word}", _evidence(values.get(fact, NotApplicable()), likely)
    elif flag.model != "not_applicable":
        assert not isinstance(flag.value, Mapping)
        yield flag.model, _evidence(flag.value, str(flag.likely))


def _evidence(figure: Figure[Any], likely: str = "") -> str:
    """`seen [key]`, `firm`; of an unknown value, what the choice of the emulator rests on."""
    if isinstance(figure, Known):
        return " ".join((figure.evidence.value, *(f"[{source}]" for source in figure.sources)))
    return "not known, chosen as likely" if likely else "not known, chosen"
