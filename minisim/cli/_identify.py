"""`minisim stock identify`: what a piece is, by the number on it or by what can be seen."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.stock.model import Candidate, Identified

HELP = "say what a piece is, by the number on it or by what can be seen"
EXIT = """A number may be misread, incomplete, or stand among other words. Exit code: 0 certain, 1 not certain or
unknown, 2 the question can't be used."""
HEIGHTS = ("single", "dual", "quad", "hex")
LONGEST = 80  # characters of the question in an answer
DOCUMENTS = 3  # so many are named as places to look
PACKAGES = ("processor", "memory", "rom", "serial", "resistors")
GRANTS = ("loop", "end")
_LEGAL = (
    "Unknown is a legal state: a list and a loadout can carry it; describe it or add an entry of your own with "
    "minisim catalogue new."
)
_NO_NUMBER = (
    "A number on a board or frame is a letter and three to five digits, as in M8043. A board without one is looked for "
    "by what can be seen: minisim stock identify --height dual --packages serial; --help lists what to look at."
)
_NO_FIGURE = "No entry of the catalogue says how many connectors a board has; say more of it."
FEATURES = ("height", "rows", "connectors", "packages", "grants", "dma_grant", "bus")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The text, or features instead of it."""
    parser.epilog = EXIT
    parser.add_argument("text", nargs="*", metavar="TEXT", help="what stands on the handle or in a list, as typed")
    parser.add_argument("--height", choices=HEIGHTS, metavar="H", help=f"of a board without a number: {_or(HEIGHTS)}")
    parser.add_argument("--rows", type=_rows, metavar="R", help="rows with fingers: AB, CDEF, or how many")
    parser.add_argument("--connectors", type=_count, metavar="N", help="connectors for cables")
    parser.add_argument(
        "--packages", action="append", choices=PACKAGES, metavar="P",
        help=f"what can be made out on it: {_or(PACKAGES)}; several times for several",
    )  # fmt: skip
    parser.add_argument(
        "--grants", choices=GRANTS, metavar="G", help="the fingers of the grant are joined (loop) or not (end)"
    )
    parser.add_argument("--dma-grant", choices=GRANTS, metavar="G", help="the same for a DMA grant of its own")
    parser.add_argument("--bus", choices=("mux", "sep"), metavar="B", help="mux (multiplexed) or sep (separate lines)")
    parser.add_argument("--folder", metavar="FOLDER", help="your own entries (else the folder catalogue/ here)")
    parser.add_argument("--json", action="store_true", help="as JSON")


def _or(words: tuple[str, ...]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}"


def _rows(text: str) -> str:
    rows = text.upper()
    if rows.isascii() and ((rows.isdigit() and 1 <= int(rows) <= 6) or (rows and rows in "ABCDEF")):
        return rows
    raise argparse.ArgumentTypeError(f'"{text}" are no rows: letters from A to F that follow each other, or 1 to 6')


def _count(text: str) -> int:
    if not text.isascii() or not text.isdigit() or int(text) > 20:
        raise argparse.ArgumentTypeError(f'"{text}" is no count from 0 to 20')
    return int(text)


def run(arguments: argparse.Namespace) -> int:
    """Print what it may be; 0 certain, 1 not."""
    from minisim.catalogue.owners import catalogue_here

    text = " ".join(arguments.text).strip().encode("utf-8", "replace").decode()  # bytes that are no text become ?
    features = [name for name in FEATURES if getattr(arguments, name) not in (None, [])]
    if bool(text) == bool(features):
        what = "not both" if text else "one of them"
        print(f"minisim stock identify: give what stands on the piece, or features of it; {what}", file=sys.stderr)
        return 2
    catalogue = catalogue_here(arguments.folder)
    found = _by_features(arguments, catalogue) if features else _by_text(text, catalogue)
    if arguments.json:
        from minisim.stock.as_json import identified_as_json

        print(identified_as_json(found, lambda one: _in_words(one, catalogue)), end="")
    else:
        from minisim.cli._help import width

        _print(found, catalogue, width(), features=bool(features))
    return 0 if found.sure else 1


def _by_text(text: str, catalogue: Catalogue) -> Identified:
    from minisim.stock.identify import identify

    return identify(text, catalogue=catalogue)


def _by_features(arguments: argparse.Namespace, catalogue: Catalogue) -> Identified:
    from minisim.stock.identify_features import identify_features

    def loops(word: str | None) -> bool | None:
        return None if word is None else word == GRANTS[0]

    return identify_features(
        height=arguments.height or "",
        rows=arguments.rows or "",
        connectors=arguments.connectors,
        packages=arguments.packages or (),
        loops_through=loops(arguments.grants),
        dma_grant_through=loops(arguments.dma_grant),
        bus=arguments.bus or "",
        catalogue=catalogue,
    )


# ---- the answer in words


def _print(found: Identified, catalogue: Catalogue, columns: int, *, features: bool) -> None:
    import textwrap

    from minisim.problems import printable

    for indent, line in _lines(found, catalogue, features):
        print(textwrap.fill(
            printable(line), columns, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2),
            break_on_hyphens=False,
        ))  # fmt: skip


def _lines(found: Identified, catalogue: Catalogue, features: bool) -> Iterator[tuple[int, str]]:
    """Indentation and text."""
    if features:
        yield from _fitting(found, catalogue)
    elif found.entry is not None:
        yield 0, f"{_named(found.entry, catalogue)}."
        yield from _details(found.entry, catalogue, ", and the reading is certain")
    else:
        yield from _doubtful(found, catalogue)


def _doubtful(found: Identified, catalogue: Catalogue) -> Iterator[tuple[int, str]]:
    """What it may be, or what is near, and what to do where nothing is."""
    from minisim.stock.identify import LIKELY

    likely = [one for one in found.candidates if one.score >= LIKELY]
    if likely:
        yield 0, "Not certain. It may be:"
        for one in likely:
            yield 0, f"- {_named(one, catalogue)}"
            yield from _details(one, catalogue)
        return
    if found.candidates:
        yield 0, f'Unknown: "{_cut(found.text)}" is no number of the catalogue. Nearest numbers, if it was misread:'
        for one in found.candidates:
            yield 0, f"- {one.score:.2f} {_named(one, catalogue)}: {one.how}"
    else:
        yield 0, f'Unknown: nothing in the catalogue bears a number like "{_cut(found.text)}".'
        yield 0, _NO_NUMBER
    yield 0, _LEGAL


def _cut(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[:LONGEST]} ..."


def _fitting(found: Identified, catalogue: Catalogue) -> Iterator[tuple[int, str]]:
    """Boards that have what was seen; behind them those of which an unconfirmed figure differs."""
    from minisim.stock.identify_features import AGREES

    if not found.candidates:
        yield 0, f'Unknown: nothing in the catalogue has "{_cut(found.text)}".'
        yield 0, _NO_FIGURE if found.text.endswith(" connectors") else _LEGAL
        return
    agreeing = sum(one.score >= AGREES for one in found.candidates)
    others = len(found.candidates) - agreeing
    fit = "one board fits" if agreeing == 1 else f"{agreeing or 'no'} boards fit"
    which = f"{fit}, of {len(catalogue.ids('boards'))} in the catalogue"
    more = f"; {others} more would fit if a figure that nobody confirmed is wrong" if others else ""
    yield 0, f"{found.text}: {which}{more}. Not certain: there are boards it does not hold."
    for one in found.candidates:
        yield 0, f"- {one.score:.2f} {_named(one, catalogue)}"
        yield 4, f"{one.how}" + (f" [{'] ['.join(one.sources)}]" if one.sources else "")


def _named(one: Candidate, catalogue: Catalogue) -> str:
    """The number first, then what it is, then its id."""
    marking = "" if not one.marking or one.marking == one.entry else f"{one.marking}, "
    return f"{marking}{what_it_is(one, catalogue)} ({one.kind}/{one.entry})"


def what_it_is(one: Candidate, catalogue: Catalogue) -> str:
    """The line of the catalogue; one card of a set says that."""
    entry = catalogue.entry(one.kind, one.entry)
    pieces = getattr(getattr(entry, "boards", None), "peek", 1)
    part = f"one of {pieces} cards: " if isinstance(pieces, int) and pieces > 1 else ""
    return f"{part}{getattr(entry, 'kind', one.entry)}"


def _details(one: Candidate, catalogue: Catalogue, certainty: str = "") -> Iterator[tuple[int, str]]:
    yield 2, f"How: {one.how} (score {one.score:.2f}{certainty})"
    if one.marking != one.entry:
        yield 2, f"Published: {_published(one, catalogue)}"


def _published(one: Candidate, catalogue: Catalogue) -> str:
    """Where the number is published, or honestly that nobody here has read it."""
    from minisim.catalogue.words_out import EVIDENCE_WORDS

    word = EVIDENCE_WORDS.get(one.evidence, one.evidence)
    if one.sources:
        return f"[{'] ['.join(one.sources)}] ({word}); minisim sources {' '.join(one.sources)} names the document"
    if one.evidence == "owner":
        return f"your own entry ({word})"
    others = look_in(one, catalogue)
    keys = "] [".join(others)
    more = f"; documents to look in, for other figures of this entry: [{keys}]" if others else ""
    return f"in no document that was read for the catalogue; the number is {word}{more}"


def look_in(one: Candidate, catalogue: Catalogue) -> tuple[str, ...]:
    """Where no document is known that prints the number: those from which other figures of the entry come."""
    from minisim.catalogue.words_out import sources_of_entry

    return () if one.sources else sources_of_entry(catalogue.path(one.kind, one.entry))[:DOCUMENTS]


def _in_words(one: Candidate, catalogue: Catalogue) -> dict[str, Any]:
    """What the JSON form says beside the candidate itself."""
    return {"what": what_it_is(one, catalogue), "look_in": list(look_in(one, catalogue))}
