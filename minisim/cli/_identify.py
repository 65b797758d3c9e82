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
        import json

        print(json.dumps(_record(found, catalogue), indent=2, ensure_ascii=False))
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
    if found.entry is not None:
        yield 0, f"{_named(found.entry, catalogue)}."
        yield from _details(found.candidates, catalogue)
    elif not found.candidates:
        what = "has" if features else "bears a number like"
        yield 0, f'Unknown: nothing in the catalogue {what} "{_cut(found.text)}".'
        yield 0, _LEGAL
    elif features:
        yield from _fitting(found, catalogue)
    else:
        from minisim.stock.identify import LIKELY

        likely = [one for one in found.candidates if one.score >= LIKELY]
        yield 0, "Not certain. It may be:" if likely else (
            f'Unknown: "{_cut(found.text)}" is no number of the catalogue. Nearest numbers, if it was misread:'
        )  # fmt: skip
        for one in likely:
            yield 0, f"- {_named(one, catalogue)}"
            yield from _details((one,), catalogue)
        for one in found.candidates if not likely else ():
            yield 0, f"- {one.score:.2f} {_named(one, catalogue)}: {one.how}"


def _cut(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[:LONGEST]} ..."


def _fitting(found: Identified, catalogue: Catalogue) -> Iterator[tuple[int, str]]:
    boards = len(catalogue.ids("boards"))
    count = len(found.candidates)
    which = "one board fits" if count == 1 else f"{count} boards fit"
    yield 0, f"{found.text}: {which}, of {boards} in the catalogue. Not certain: there are boards it does not hold."
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


def _details(candidates: tuple[Candidate, ...], catalogue: Catalogue) -> Iterator[tuple[int, str]]:
    one = candidates[0]
    yield 2, f"How: {one.how} (score {one.score:.2f})"
    if one.marking != one.entry:
        yield 2, f"Published: {_published(one, catalogue)}"


def _published(one: Candidate, catalogue: Catalogue) -> str:
    """Where the number is published, or honestly that nobody here has read it."""
    from minisim.catalogue.words_out import EVIDENCE_WORDS, sources_of_entry

    word = EVIDENCE_WORDS.get(one.evidence, one.evidence)
    if one.sources:
        return f"[{'] ['.join(one.sources)}] ({word}); minisim sources {' '.join(one.sources)} names the document"
    if one.evidence == "owner":
        return f"your own entry ({word})"
    others = sources_of_entry(catalogue.path(one.kind, one.entry))[:DOCUMENTS]
    more = f"; other figures of this entry come from [{'] ['.join(others)}]: look there first" if others else ""
    return f"in no document that was read for the catalogue; the number is {word}{more}"


# ---- JSON


def _record(found: Identified, catalogue: Catalogue) -> dict[str, Any]:
    return {
        "text": found.text,
        "sure": found.sure,
        "candidates": [
            {
                "kind": one.kind,
                "entry": one.entry,
                "marking": one.marking,
                "what": what_it_is(one, catalogue),
                "score": one.score,
                "how": one.how,
                "evidence": one.evidence,
                "sources": list(one.sources),
            }
            for one in found.candidates
        ],
    }
