"""`minisim sheet`: the build sheet of a machine, its labels, and the list of what is given away."""

from __future__ import annotations

import argparse
import json
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.cli._help import MEDIA_ROOT

if TYPE_CHECKING:
    from collections.abc import Callable

    from minisim.sheet.blocks import Document

HELP = "build sheet for the bench, labels, give-away list"
EXIT = """The ending of FILE says what is made: .html (one page that stands alone), .pdf, .txt (72 columns); labels are
.html or .pdf. Without --out the text is printed. With a damage finding that nobody has taken on, only the warning is
made. Exit code: 0, 1 only the warning was made, 2 an input can't be used."""
ENDINGS = (".html", ".pdf", ".txt")
LABEL_ENDINGS = (".html", ".pdf")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.epilog = EXIT
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("loadout", metavar="LOADOUT", nargs="?", help="the loadout file")
    what.add_argument("--surplus", metavar="PLAN", help="the give-away list of a plan (the JSON of minisim plan)")
    parser.add_argument("-o", "--out", metavar="FILE", help="write it into this file: .html, .pdf or .txt")
    parser.add_argument("--after-transport", action="store_true", help="the check list for who has carried the machine")
    parser.add_argument("--labels", metavar="MEDIA", choices=("a4", "roll-62", "tape-12"),
                        help="labels for boards, places, cable ends and boxes: a4, roll-62, tape-12")  # fmt: skip
    parser.add_argument("--skip", metavar="N", type=int, default=0, help="labels already used on the first A4 sheet")
    parser.add_argument("--stock", metavar="STOCK", help="the list of what is there, to say where each item lies")
    parser.add_argument("--region", metavar="TEXT", default="", help="with --surplus: where things can be fetched")
    parser.add_argument("--numbers", action="store_true", help="with --surplus: with the owner's names of the items")
    parser.add_argument("--paper", choices=("a4", "letter"), default="", help="paper of the PDF, and of HTML printed")
    parser.add_argument("--language", metavar="CODE", default="en", help="language of the texts (en)")
    parser.add_argument("--date", metavar="YYYY-MM-DD", default="", help="date on the sheet (today)")
    parser.add_argument("--json", action="store_true", help="print the pages as JSON")
    parser.add_argument("--media-root", metavar="FOLDER", help=MEDIA_ROOT)


class _WrongOptionError(Exception):
    """An option can't be used as given."""


def run(arguments: argparse.Namespace) -> int:
    """Make what is asked for."""
    try:
        return _run(arguments)
    except _WrongOptionError as error:
        print(f"minisim sheet: {error}", file=sys.stderr)
        return 2


def _run(arguments: argparse.Namespace) -> int:
    from minisim.sheet.messages import language, languages

    if arguments.language not in languages():
        raise _WrongOptionError(f'no language "{arguments.language}"; there is {", ".join(languages())}')
    with language(arguments.language):
        if arguments.labels:
            return _labels(arguments)
        if arguments.surplus and arguments.after_transport:
            raise _WrongOptionError("--after-transport needs a loadout, not the list of what is given away")
        document = _surplus(arguments) if arguments.surplus else _sheet(arguments)
        _give(document, arguments)
    return int(any(page.id == "warning" for page in document.pages))


# ---- the documents


def _sheet(arguments: argparse.Namespace) -> Document:
    from minisim.catalogue import Catalogue
    from minisim.loadout.reader import read_loadout
    from minisim.logbook import read_log
    from minisim.sheet.build import sheet_of, transport_list_of

    catalogue = Catalogue()
    loadout = read_loadout(arguments.loadout, catalogue=catalogue, media_root=arguments.media_root)
    if arguments.after_transport:
        return transport_list_of(loadout, catalogue, made=_date(arguments.date))
    log = read_log(loadout.path)
    return sheet_of(loadout, catalogue, made=_date(arguments.date), log=log, where=_shelves(arguments.stock))


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text) if text else date.today()
    except ValueError:
        raise _WrongOptionError(f'--date: "{text}" is no date like 2026-05-30') from None


def _shelves(path: str | None) -> Callable[[str], str]:
    """Where each item of a stock lies."""
    from minisim.catalogue import Catalogue
    from minisim.stock.reader import read_stock

    if path is None:
        return lambda item: ""
    rows = read_stock(path, catalogue=Catalogue().beside(path)).rows
    boxes = {row.item: row.box for row in rows if row.item}
    return lambda item: boxes.get(item, "")


def _surplus(arguments: argparse.Namespace) -> Document:
    from minisim.catalogue import Catalogue
    from minisim.sheet.surplus import surplus_document

    path = Path(arguments.surplus)
    catalogue = Catalogue().beside(path)
    words = {"region": arguments.region, "numbers": arguments.numbers}
    return surplus_document(path, **words, catalogue=catalogue, made=_date(arguments.date))


# ---- the forms


def _give(document: Document, arguments: argparse.Namespace) -> None:
    from minisim.sheet.blocks import as_json
    from minisim.sheet.forms.text_form import text_of

    if arguments.json:
        print(json.dumps(as_json(document), indent=2, ensure_ascii=False))
    if arguments.out is None:
        if not arguments.json:
            print(text_of(document), end="")
        return
    _write(arguments.out, _made(document, Path(arguments.out).suffix, arguments.paper))


def _made(document: Document, ending: str, paper: str) -> bytes:
    from minisim.sheet.forms.html_form import html_of
    from minisim.sheet.forms.pdf_form import pdf_of
    from minisim.sheet.forms.text_form import text_of

    if ending == ".html":
        return html_of(document, paper).encode()
    if ending == ".pdf":
        return pdf_of(document, paper)
    if ending == ".txt":
        return text_of(document).encode()
    raise _WrongOptionError(f'--out: a sheet ends in {", ".join(ENDINGS)}, not "{ending}"')


def _write(out: str, data: bytes) -> None:
    from minisim.files import write_atomically

    write_atomically(out, data)


def _labels(arguments: argparse.Namespace) -> int:
    from minisim.catalogue import Catalogue
    from minisim.loadout.reader import read_loadout
    from minisim.sheet.labels import MEDIA, label_pages, labels_html, labels_of, labels_pdf
    from minisim.wiring.resolve import resolve

    if arguments.out is None or arguments.loadout is None:
        raise _WrongOptionError("--labels needs a loadout and --out FILE.html or .pdf")
    if arguments.skip < 0:
        raise _WrongOptionError("--skip: a number from 0")
    catalogue = Catalogue()
    loadout = read_loadout(arguments.loadout, catalogue=catalogue, media_root=arguments.media_root)
    wired = resolve(loadout, catalogue.beside(loadout.path))
    labels, medium = labels_of(wired), MEDIA[arguments.labels]
    pages = label_pages(labels, medium, skip=arguments.skip)
    ending = Path(arguments.out).suffix
    if ending not in LABEL_ENDINGS:
        raise _WrongOptionError(f'--out: labels end in {" or ".join(LABEL_ENDINGS)}, not "{ending}"')
    made = labels_html(pages, loadout.name).encode() if ending == ".html" else labels_pdf(pages, loadout.name)
    _write(arguments.out, made)
    print(f"{arguments.out}: {len(labels)} labels on {len(pages.svgs)} pages")
    if pages.without_code:
        print(f"minisim sheet: {len(pages.without_code)} labels are too small for a code that can be read")
    if pages.shortened:
        print(f"minisim sheet: {len(pages.shortened)} labels show only their first lines; a4 and roll-62 hold more")
    return 0
