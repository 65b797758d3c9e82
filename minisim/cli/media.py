"""`minisim media`: images of disks, floppies and block tapes: made, looked at, compared, changes kept or dropped."""

from __future__ import annotations

import argparse
import json
import sys
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.cli._media_files import error, must_be_new
from minisim.cli._reels import export_reel, import_reel, inspect_reel, is_reel, new_reel

if TYPE_CHECKING:
    from collections.abc import Callable

    from minisim.catalogue import Catalogue
    from minisim.media import Geometry, Medium, Writing
    from minisim.media.report import Inspection

HELP = "images of disks, floppies, block tapes; what was written to them"
EXIT = """An image holds bare sectors in the order of the medium; IMAGE.yaml beside it says what it is. What a machine
writes is kept apart in IMAGE.overlay until it is kept or dropped. Exit code: 0, 1 two media differ, 2 an image can't be
used."""
ORDERS = ("physical", "logical", "logical-track-0-first", "logical-track-0-last", "by-head")
_MOST_SHOWN = 20  # stretches of sectors

CONSOLE = "console"  # the ROM that boots nothing


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The second words."""
    parser.epilog = EXIT
    named = "make|rom|inspect|compare|keep|drop|import|export"
    words = parser.add_subparsers(dest="word", metavar=named, required=True)
    make = _word(words, "make", "make an empty image (sectors of zeros, sparse)")
    make.add_argument("image", metavar="IMAGE", help="the file to make; nothing is written over")
    make.add_argument("--kind", required=True, metavar="KIND", help="kind of medium: minisim catalogue show KIND")
    make.add_argument("--label", default="", metavar="TEXT", help="what is written on its label")
    make.add_argument("--resident", action="store_true",
                      help="with a boot block and the resident program on it")  # fmt: skip
    make.add_argument("--add", action="append", default=[], metavar="NAME=FILE",
                      help="with --resident: put a file on it; may be given several times")  # fmt: skip
    rom = _word(words, "rom", "write a boot ROM of ours that reads block 0 of a medium and starts it, or a console ROM")
    what = "the device it boots, or console: minisim media rom list names them"
    rom.add_argument("device", metavar="DEVICE", help=what)
    rom.add_argument("-o", "--out", metavar="FILE.rom", help="the image to make; its description comes beside it")
    rom.add_argument("--start", metavar="ADDRESS",
                     help="where its program begins (173000, 173030 with switches; console: 165000)")  # fmt: skip
    inspect = _word(words, "inspect", "what it is, what lies apart, how much of it is used")
    inspect.add_argument("images", nargs="+", metavar="IMAGE", help="images")
    inspect.add_argument("--json", action="store_true", help="as JSON, one object a line")
    compare = _word(words, "compare", "which sectors of two media differ, changes kept apart included")
    compare.add_argument("image", metavar="IMAGE", help="one")
    compare.add_argument("other", metavar="OTHER", help="the other, of the same kind")
    keep = _word(words, "keep", "write what lies apart into the image")
    keep.add_argument("image", metavar="IMAGE", help="the image")
    drop = _word(words, "drop", "forget what lies apart")
    drop.add_argument("image", metavar="IMAGE", help="the image")
    take = _word(words, "import", "make an image from a raw dump, in whatever order it is")
    take.add_argument("dump", metavar="DUMP", help="the dump; it is only read")
    take.add_argument("--kind", required=True, metavar="KIND", help="kind of medium")
    take.add_argument("--order", choices=("found", *ORDERS), default="found",
                      help="found: by its size, and by what runs on from sector to sector")  # fmt: skip
    take.add_argument("--block-bytes", type=int, default=512, metavar="N", help="for a reel: bytes of each block (512)")
    take.add_argument("-o", "--out", required=True, metavar="IMAGE", help="the image to make")
    give = _word(words, "export", "write a raw dump, changes kept apart included")
    give.add_argument("image", metavar="IMAGE", help="the image")
    give.add_argument("--order", choices=ORDERS, default="physical",
                      help="logical: as software counts the blocks of diskettes; by-head: one side first")  # fmt: skip
    give.add_argument("-o", "--out", required=True, metavar="DUMP", help="the dump to make")


def _word(words: argparse._SubParsersAction[argparse.ArgumentParser], name: str, what: str) -> argparse.ArgumentParser:
    return words.add_parser(name, help=what, description=f"{what[:1].upper()}{what[1:]}.")


def run(arguments: argparse.Namespace) -> int:
    """Do what the second word says."""
    from minisim.catalogue import Catalogue
    from minisim.media import MediumFullError

    jobs: dict[str, Callable[[argparse.Namespace, Catalogue], int]] = {
        "make": _make, "rom": _rom, "inspect": _inspect, "compare": _compare, "keep": _keep, "drop": _drop,
        "import": _import, "export": _export,
    }  # fmt: skip
    try:
        return jobs[arguments.word](arguments, Catalogue())
    except MediumFullError as reason:
        print(f"minisim media: no room on the disk: {reason}; nothing is lost", file=sys.stderr)
        return 2


# ---- making


def _make(arguments: argparse.Namespace, catalogue: Catalogue) -> int:
    if is_reel(arguments.image):
        new_reel(arguments.image, b"", 1, marks=0)
        print(f"{arguments.image}: an empty reel")
        return 0
    geometry = _kind(arguments.kind, arguments.image, catalogue)
    if arguments.add and not arguments.resident:
        raise error(arguments.image, "--add puts files on a medium with the resident program: say --resident too")
    data = _resident(arguments, geometry, catalogue) if arguments.resident else None
    _new_image(Path(arguments.image), geometry, arguments.label, data)
    what = f"the resident program and {_files(len(arguments.add))}" if data else "empty"
    print(f"{arguments.image}: {geometry.kind}, {geometry.sectors} sectors of {geometry.bytes_each} bytes, {what}")
    return 0


def _files(count: int) -> str:
    return "1 file" if count == 1 else f"{count} files"


def _resident(arguments: argparse.Namespace, geometry: Geometry, catalogue: Catalogue) -> bytes:
    """An image with the resident program and the files that were named."""
    from minisim.files import read_at_most
    from minisim.resident import ResidentError, image_of
    from minisim.resident.layout import MOST

    files: dict[str, bytes] = {}
    for text in arguments.add:
        name, equals, path = text.partition("=")
        if not equals or name in files:
            raise error(text, "a file is added as NAME=FILE, each name once")
        files[name] = read_at_most(path, MOST, "a file")
    label = "".join(letter if letter.isalnum() else "-" for letter in arguments.label.lower())[:8].strip("-")
    try:
        return image_of(geometry, label or "medium", files, catalogue)
    except ResidentError as reason:
        raise error(arguments.image, str(reason)) from None


def _rom(arguments: argparse.Namespace, catalogue: Catalogue) -> int:
    """A ROM image, or the list of devices."""
    from minisim.problems import nearest
    from minisim.resident import BOOTS, media_of, rom_of
    from minisim.rom_image import write_rom

    if arguments.device == "list":
        for name in BOOTS:
            print(f"{name:<20}boots {', '.join(media_of(name, catalogue))}")
        print(f"{CONSOLE:<20}boots nothing: memory is looked at and changed from the console line")
        return 0
    names = [*BOOTS, CONSOLE]
    if arguments.device not in names:
        raise error(arguments.device, f"there is no boot ROM of ours for it{nearest(arguments.device, names)}")
    if arguments.out is None or Path(arguments.out).suffix != ".rom":
        raise error(arguments.out or arguments.device, "say where to write it: -o FILE.rom")
    must_be_new(arguments.out)
    if arguments.device == CONSOLE:
        return _console_rom(arguments)
    boots, start = BOOTS[arguments.device], _start_of(arguments.start or "173000")
    words = rom_of(boots.device, start)
    write_rom(
        arguments.out, words, start=start, boots=boots.rom_boots(catalogue), expects=_expects(boots.device),
        source=" ".join(boots.rom),
    )  # fmt: skip
    print(f"{arguments.out}: boots {boots.device}, {len(words)} words from {start - start % 0o200:06o} on")
    return 0


def _console_rom(arguments: argparse.Namespace) -> int:
    """The ROM of the window at 765000."""
    from minisim.resident import CONSOLE_ENTRY, console_rom
    from minisim.rom_image import write_rom

    start = _start_of(arguments.start or "165000", 0o165000)
    words = console_rom(start)
    write_rom(arguments.out, words, start=start, boots="", expects=0o17560, source=CONSOLE_ENTRY)
    print(f"{arguments.out}: console entry, {len(words)} words from {start - start % 0o200:06o} on")
    return 0


def _start_of(text: str, window: int = 0o173000) -> int:
    """An address of a window of 256 words, octal."""
    last = window + 0o776
    if not text.isdigit() or set(text) - set("01234567") or not window <= int(text, 8) <= last or int(text, 8) % 2:
        raise error(text, f"where the ROM's program begins: an even octal address from {window:o} to {last:o}")
    return int(text, 8)


def _expects(device: str) -> int:
    """The first register of the device, as rules and sheet know it."""
    from minisim.devices._device import Placement, model_of

    model = model_of(device)
    assert model is not None, device
    return 0o160000 | model.build(Placement(device))[0].base


def _kind(name: str, image: str, catalogue: Catalogue) -> Geometry:
    from minisim.media import geometry_of
    from minisim.problems import nearest

    if not catalogue.has("media", name):
        raise error(image, f'there is no kind of medium "{name}"{nearest(name, catalogue.ids("media"))}')
    geometry = geometry_of(catalogue.medium(name))
    if geometry is None:
        raise error(image, f"{name} has no fixed size: it is no medium of sectors")
    if geometry.ending and Path(image).suffix != geometry.ending:
        raise error(image, f"an image of {name} ends in {geometry.ending}")
    return geometry


def _new_image(path: Path, geometry: Geometry, label: str, data: bytes | None) -> None:
    """Never over a file; the description beside it last, so that a half-made image is not taken for one."""
    from minisim.files import write_atomically
    from minisim.media.description import Description, description_path, description_text

    beside = description_path(path)
    for one in (path, beside):
        must_be_new(one)
    if data is None:
        try:
            with path.open("xb") as stream:
                stream.truncate(geometry.size)
        except OSError as reason:
            raise error(str(path), f"can't be made: {reason.strerror or reason}") from None
    else:
        write_atomically(path, data)
    write_atomically(beside, description_text(Description(geometry.kind, label)).encode())


def _import(arguments: argparse.Namespace, catalogue: Catalogue) -> int:
    from minisim.files import read_at_most
    from minisim.media.orders import to_image
    from minisim.media.raw import to_physical

    if is_reel(arguments.out):
        return import_reel(arguments)
    geometry = _kind(arguments.kind, arguments.out, catalogue)
    dump = read_at_most(arguments.dump, geometry.size, geometry.kind)
    order, why = _order_of(dump, geometry, arguments)
    image = to_physical(dump, geometry) if order == "logical" else to_image(dump, geometry, order)
    _new_image(Path(arguments.out), geometry, "", image)
    print(f"{arguments.out}: {geometry.kind}, from a dump in {order} order ({why})")
    return 0


def _order_of(dump: bytes, geometry: Geometry, arguments: argparse.Namespace) -> tuple[str, str]:
    """The order of a dump, as said or as found, and how that is known."""
    from minisim.media.orders import guess, orders_of
    from minisim.media.raw import has_logical_order

    asked, has_logical = arguments.order, has_logical_order(geometry)
    is_short = has_logical and len(dump) == geometry.logical_bytes
    if len(dump) != geometry.size and not is_short:
        sizes = f"{geometry.size} bytes" + (f", or {geometry.logical_bytes}" if has_logical else "")
        raise error(arguments.dump, f"{len(dump)} bytes; a dump of {geometry.kind} has {sizes}")
    possible = ("logical",) if is_short else tuple(orders_of(geometry))
    if asked not in ("found", *possible):
        raise error(arguments.dump, f"a dump of {geometry.kind} of this size is in one of: {', '.join(possible)}")
    if asked != "found":
        return asked, "as you said"
    if is_short or len(possible) == 1:
        return possible[0], "by its size" if is_short else "it has only this one"
    found = guess(dump, geometry)
    if found.is_clear:
        why = f"by what runs on from sector to sector, ahead by {found.lead:.0f}"
        if found.order.startswith("logical"):
            why += "; a diskette that was written without gaps looks alike: then say --order physical"
        return found.order, why
    return found.order, "taken as it is: nothing in it tells the order; --order says it"


def _export(arguments: argparse.Namespace, catalogue: Catalogue) -> int:
    from minisim.files import write_atomically
    from minisim.media.orders import from_image, orders_of
    from minisim.media.raw import has_logical_order, to_logical

    if is_reel(arguments.image):
        return export_reel(arguments)
    with _open(arguments.image, catalogue, "never") as medium:
        data, geometry = medium.read(0, medium.geometry.sectors), medium.geometry
    if arguments.order == "logical" and has_logical_order(geometry):
        data = to_logical(data, geometry)
    elif arguments.order in orders_of(geometry):
        data = from_image(data, geometry, arguments.order)
    else:
        raise error(arguments.image, f"{geometry.kind} has no {arguments.order} order")
    must_be_new(arguments.out)
    write_atomically(arguments.out, data)
    print(f"{arguments.out}: {len(data)} bytes in {arguments.order} order")
    return 0


# ---- looking


def _inspect(arguments: argparse.Namespace, catalogue: Catalogue) -> int:
    from minisim.media.report import as_json, inspect

    for image in arguments.images:
        if is_reel(image):
            inspect_reel(image, arguments.json)
            continue
        with _open(image, catalogue, "never") as medium:
            found = inspect(medium)
        if arguments.json:
            print(json.dumps(as_json(found), ensure_ascii=False))
        else:
            print("\n".join(_lines(found)))
    return 0


def _lines(one: Inspection) -> list[str]:
    from minisim.problems import printable

    lines = [f"{one.file}: {one.kind}, {one.sectors} sectors of {one.bytes_each} bytes, {one.used} not empty"]
    lines += [printable(f"  label: {one.label}")] if one.label else []
    lines += [printable(f"  note: {one.note}")] if one.note else []
    sums = {None: "", True: ", as described", False: ", NOT the image that is described"}
    lines.append(f"  sha256 {one.sha256}{sums[one.described]}")
    lines.append(f"  first word {one.first_word:06o}")
    if one.bad:
        lines.append(f"  bad sectors: {', '.join(map(str, one.bad))}")
    if one.changed:
        lines.append(f"  {len(one.changed)} sectors changed, kept apart: minisim media keep, or drop")
    return lines


def _compare(arguments: argparse.Namespace, catalogue: Catalogue) -> int:
    from minisim.media.report import differences

    with ExitStack() as both:
        names = (arguments.image, arguments.other)
        one, other = (both.enter_context(_open(name, catalogue, "never")) for name in names)
        if one.geometry.kind != other.geometry.kind:
            raise error(arguments.other, f"it is {other.geometry.kind}, the other one {one.geometry.kind}")
        found = differences(one, other)
    for first, last in found[:_MOST_SHOWN]:
        print(f"sector {first}" if first == last else f"sectors {first} to {last}")
    count = sum(last - first + 1 for first, last in found)
    print(f"{count} of {one.geometry.sectors} sectors differ" if found else "the same")
    return int(bool(found))


# ---- what lies apart


def _keep(arguments: argparse.Namespace, catalogue: Catalogue) -> int:
    with _open(arguments.image, catalogue, "apart") as medium:
        count = medium.keep()
    what = f"{count} sectors written into the image" if count else "nothing lies apart"
    print(f"{arguments.image}: {what}")
    return 0


def _drop(arguments: argparse.Namespace, catalogue: Catalogue) -> int:
    """Also where the overlay belongs to another content, or is damaged."""
    from minisim.media.overlay import overlay_path, remove

    path = Path(arguments.image)
    if not overlay_path(path).exists():
        print(f"{arguments.image}: nothing lies apart")
        return 0
    remove(path)
    print(f"{arguments.image}: what lay apart is gone")
    return 0


def _open(image: str, catalogue: Catalogue, writing: str) -> Medium:
    from minisim.media import Writing, open_medium

    way: Writing = Writing(writing)
    return open_medium(Path(image), catalogue, writing=way)
