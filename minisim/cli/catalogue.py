"""`minisim catalogue`: what is known of a thing and how well, what is not, and an owner's own entries."""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.catalogue import Catalogue
    from minisim.catalogue.figures import Stated
    from minisim.catalogue.gaps import Gap, Thing
    from minisim.findings import Report

HELP = "what is known of a thing and what is not; add things of your own"
WORDS = ("show", "gaps", "new")
FOLDER = "your own entries (else the folder catalogue/ {})"
ONE = {
    "board": "boards", "backplane": "backplanes", "supply": "supplies", "chassis": "chassis", "drive": "drives",
    "cable": "cables", "medium": "media", "rom": "roms",
}  # fmt: skip
KINDS = ("boards", "backplanes", "supplies", "chassis", "drives", "cables", "media", "roms")
ORDER = (
    "Order: what leaves most outcomes unchecked in the machines named with --in; then what decides most, by the "
    "gravest rule that uses the figure (damage, fault, doubt, note, no rule); then unknown before assumed, disputed "
    "and unconfirmed; then how many there are in what --in names; then how many entries of the catalogue name it."
)
"""How gaps are sorted (`minisim.catalogue.gaps.Thing.rank`), for people."""
LONGEST = 40  # characters of a value in a list of gaps; minisim catalogue show has the rest
LONGEST_NAME = 200  # characters of what is asked for
FIRST = 15  # things of a list of gaps; --all shows the others


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Second words: show, gaps, new."""
    parser.epilog = "minisim catalogue show --help, and so on, tells the rest."
    words = parser.add_subparsers(dest="word", required=True, metavar="|".join(WORDS))
    _show_arguments(words.add_parser("show", help="every figure of a thing, with how it is known"))
    _gaps_arguments(words.add_parser("gaps", help="what is unknown or unconfirmed, and how to find it out"))
    _new_arguments(words.add_parser("new", help="add an entry of your own: you are asked for its figures"))


def _show_arguments(parser: argparse.ArgumentParser) -> None:
    parser.epilog = "Exit code: 0 shown, 1 several things bear the number (all shown), 2 nothing has that name."
    parser.add_argument("name", metavar="ID", help="an id of the catalogue, or a number as it stands on a handle")
    parser.add_argument("--folder", metavar="FOLDER", help=FOLDER.format("here"))
    parser.add_argument("--json", action="store_true", help="as JSON")


def _gaps_arguments(parser: argparse.ArgumentParser) -> None:
    parser.epilog = f"{ORDER} Exit code: 0 nothing is open, 1 something is, 2 a name or file can't be used."
    parser.add_argument("--kind", choices=KINDS, metavar="KIND", help=f"only one folder: {', '.join(KINDS)}")
    parser.add_argument("--board", metavar="ID", help="only one thing, by its id or its number (any kind of thing)")
    parser.add_argument(
        "--in", dest="inside", metavar="FILE", action="append", default=[],
        help="only what a loadout or a list of stock names; a loadout tells what the gaps hold up in it",
    )  # fmt: skip
    parser.add_argument("--unknown", action="store_true", help="only what is unknown, not what is unconfirmed")
    parser.add_argument("--all", action="store_true", help=f"every thing, not the first {FIRST}")
    parser.add_argument("--folder", metavar="FOLDER", help=FOLDER.format("here"))
    parser.add_argument("--json", action="store_true", help="as JSON")


def _new_arguments(parser: argparse.ArgumentParser) -> None:
    parser.epilog = """Questions come one by one; answers may come from a pipe, one a line. An empty answer means
unknown, and that is a legal answer: a wrong figure is worse than none. Nothing is written before the last answer, and
nothing that is there is replaced. Exit code: 0 written, 2 not."""
    parser.add_argument("kind", choices=tuple(ONE), metavar="KIND", help=", ".join(ONE))
    parser.add_argument("id", metavar="ID", help="a name of your own: small letters, digits and dashes")
    parser.add_argument("--folder", metavar="FOLDER", help="where it goes (else the folder catalogue/ here)")


def run(arguments: argparse.Namespace) -> int:
    """Do what the second word says."""
    return {"show": _show, "gaps": _gaps, "new": _new}[arguments.word](arguments)


# ---- which thing


def _named(name: str, catalogue: Catalogue) -> list[tuple[str, str]]:
    """Folder and id of everything that bears an id or a number; InputError where nothing does."""
    from minisim.catalogue.words import KINDS as FOLDERS
    from minisim.findings import Mark
    from minisim.problems import InputError, Problem, nearest
    from minisim.stock.identify import LIKELY, identify

    name = name[:LONGEST_NAME]
    by_id = [(kind, name) for kind in FOLDERS if catalogue.has(kind, name)]
    if by_id:
        return by_id
    found = [one for one in identify(name, catalogue=catalogue).candidates if one.score >= LIKELY]
    if not found:
        ids = [each for kind in FOLDERS for each in catalogue.ids(kind)]
        message = f'nothing in the catalogue has the id or number "{name}"{nearest(name, ids)}'
        raise InputError([Problem(Mark("catalogue", 1, 1), message)])
    return list(dict.fromkeys((one.kind, one.entry) for one in found))


# ---- show


def _show(arguments: argparse.Namespace) -> int:
    from minisim.catalogue.owners import catalogue_here

    catalogue = catalogue_here(arguments.folder)
    things = _named(arguments.name, catalogue)
    if arguments.json:
        from minisim.catalogue.as_json import shown_as_json

        print(shown_as_json(catalogue, things), end="")
    else:
        from minisim.cli._help import width

        print("\n\n".join("\n".join(_thing_lines(catalogue, *thing, width())) for thing in things))
    return int(len(things) > 1)


def _thing_lines(catalogue: Catalogue, kind: str, name: str, columns: int) -> Iterator[str]:
    """What it is, then each figure: label, value, and how it is known."""
    from minisim.catalogue.figures import notes_of, stated, what_it_is
    from minisim.catalogue.words import ONE_OF

    entry = catalogue.entry(kind, name)
    figures = stated(catalogue, kind, name)
    own = ", your own entry" if catalogue.is_own(kind, name) else ""
    yield from _wrapped(f"{name}: {what_it_is(entry) or name} ({ONE_OF[kind]}{own})", columns, 0)
    for figure in figures:
        yield from _wrapped(f"{figure.label}: {figure.value}", columns, 2)
        if said := _how_known(figure):
            yield from _wrapped(said, columns, 6)
    for note in notes_of(entry):
        yield from _wrapped(f"note: {note}", columns, 2)
    used = sorted({source for figure in figures for source in figure.sources})
    if used:
        yield from _wrapped(f"Documents: minisim sources {' '.join(used)}", columns, 0)


def _how_known(figure: Stated) -> str:
    from minisim.catalogue.words_out import EVIDENCE_WORDS

    if figure.unknown:
        return figure.note
    parts = [EVIDENCE_WORDS.get(figure.evidence, figure.evidence) if figure.evidence else "", figure.note]
    parts.append(f"[{'] ['.join(figure.sources)}]" if figure.sources else "")
    return "; ".join(filter(None, parts))


def _wrapped(text: str, columns: int, indent: int) -> Iterable[str]:
    import textwrap

    from minisim.problems import printable

    return textwrap.wrap(
        printable(text), columns, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2),
        break_on_hyphens=False,
    )  # fmt: skip


# ---- gaps


def _gaps(arguments: argparse.Namespace) -> int:
    from minisim.catalogue.owners import catalogue_here

    catalogue = catalogue_here(arguments.folder)
    things = _things(arguments, catalogue)
    if arguments.json:
        from minisim.catalogue.as_json import gaps_as_json

        print(gaps_as_json(things), end="")
    else:
        from minisim.cli._help import width

        print("\n".join(_gaps_lines(things, width(), whole=arguments.all)))
    return int(bool(things))


def _things(arguments: argparse.Namespace, catalogue: Catalogue) -> list[Thing]:
    """The gaps of what was asked for."""
    from dataclasses import replace

    from minisim.catalogue.gaps import everything, gaps

    reports: list[Report] = []
    yours: Counter[tuple[str, str]] = Counter()
    names: Iterable[tuple[str, str]] = everything(catalogue)
    if arguments.inside:
        yours, reports, catalogue = _inside(arguments.inside, catalogue)
        names = yours
    if arguments.board:
        names = _named(arguments.board, catalogue)
    if arguments.kind:
        names = [(kind, name) for kind, name in names if kind == arguments.kind]
    things = gaps(catalogue, names, reports, yours=yours)
    if not arguments.unknown:
        return list(things)
    only = (replace(one, gaps=tuple(gap for gap in one.gaps if gap.state == "unknown")) for one in things)
    return [one for one in only if one.gaps]


def _inside(files: list[str], catalogue: Catalogue) -> tuple[Counter[tuple[str, str]], list[Report], Catalogue]:
    """What loadouts and lists name and how often, and the reports of the loadouts."""
    from minisim.catalogue.gaps import of_loadout, of_stock
    from minisim.checking import check
    from minisim.loadout.reader import read_loadout

    names: Counter[tuple[str, str]] = Counter()
    reports: list[Report] = []
    for file in files:
        catalogue = catalogue.beside(file)
        if Path(file).suffix.lower() in (".yaml", ".yml"):
            loadout = read_loadout(file, catalogue=catalogue)
            names += of_loadout(loadout, catalogue)
            reports.append(check(loadout, catalogue))
        else:
            names += of_stock(file, catalogue)
    return names, reports, catalogue


def _gaps_lines(things: list[Thing], columns: int, *, whole: bool) -> Iterator[str]:
    """A heading for each thing, its gaps, and at the end how each sort of figure is found out."""
    if not things:
        yield "Nothing is unknown or unconfirmed."
        return
    shown = things if whole else things[:FIRST]
    for thing in shown:
        yield from _wrapped(f"{thing.title} ({thing.kind}/{thing.entry}){_weight(thing)}", columns, 0)
        groups: dict[tuple[str, str], list[str]] = {}
        for gap in thing.gaps:
            groups.setdefault((gap.decides, gap.state), []).append(_short(gap))
        for (decides, state), found in groups.items():
            yield from _wrapped(f"{decides}, {state}: {', '.join(found)}", columns, 2)
    if len(things) > len(shown):
        yield f"... and {len(things) - len(shown)} more things; --all shows them"
    yield ""
    yield from _wrapped(ORDER, columns, 0)
    yield from _how_lines(shown, columns)


def _weight(thing: Thing) -> str:
    """What hangs on it."""
    from minisim.cli._inputs import counted

    parts = (
        f"leaves {counted(thing.holds_up, 'outcome')} not checked" if thing.holds_up else "",
        f"{thing.yours} in what --in names" if thing.yours else "",
        f"named by {thing.named_by} {'entry' if thing.named_by == 1 else 'entries'}" if thing.named_by else "",
    )
    return "".join(f"; {part}" for part in parts if part)


def _short(gap: Gap) -> str:
    value = gap.figure.value
    if gap.state == "unknown":
        return gap.figure.label
    return f"{gap.figure.label} ({value if len(value) <= LONGEST else f'{value[:LONGEST].rsplit(maxsplit=1)[0]} ...'})"


def _how_lines(things: list[Thing], columns: int) -> Iterator[str]:
    """Advice once for each sort of figure, with the cautions where a hand goes into a machine."""
    from minisim.rules._cautions import CAUTION

    advice: dict[str, list[str]] = {}
    for gap in (gap for thing in things for gap in thing.gaps):
        labels = advice.setdefault(gap.advice.how, [])
        if gap.figure.label not in labels:
            labels.append(gap.figure.label)
    yield ""
    yield "How to find out:"
    for how, labels in advice.items():
        several = ", ".join(labels[:4]) + (" ..." if len(labels) > 4 else "")
        yield from _wrapped(f"- {several}: {how}.", columns, 0)
    yield ""
    yield from _wrapped(CAUTION, columns, 0)
    yield from _wrapped(
        "A figure found out goes into the loadout (a described board or supply) or into an entry of your own "
        "(minisim catalogue new).", columns, 0,
    )  # fmt: skip


# ---- new


def _new(arguments: argparse.Namespace) -> int:
    from minisim.catalogue.asking import Talk
    from minisim.catalogue.owners import new_entry
    from minisim.catalogue.words import OWN_FOLDER

    folder = Path(arguments.folder or OWN_FOLDER)
    terminal = sys.stdin.isatty()
    if terminal:
        print("An empty answer means unknown; Ctrl-C ends without writing anything.")
    talk = Talk(sys.stdin, lambda line: print(line, flush=True), again=terminal)
    path = new_entry(ONE[arguments.kind], arguments.id, folder, talk)
    print(f"written: {path}")
    print(f"Loadouts and lists beside the folder find it by its id or number; minisim catalogue show {arguments.id}")
    return 0
