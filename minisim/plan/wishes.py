"""The wishes file: machines the owner would like, with needs and preferences and no slots yet.

wishes: 1
machines:
  - id: desk
    name: Desktop tide table
    priority: 1                       # 1 comes first
    needs:
      bus: mux
      memory-kb: 32                   # at least; all counts decimal
      options: [eis]
      serial-lines: 1                 # with the console
      boot: {from: serial-line, rom: rom-ours, image: media/boot.rom, media: media/tides.papertape}
      devices: [paper-tape]           # device models that must be there
      slots: 4                        # at most, in the largest box
          boxes: 1                        # 1 or 2; two need joined-by: <cable id>
      watts: 100                      # at most
      kg: 20                          # at most
    likes:
      - {memory-kb: 64, weight: 2}
      - {line-clock: yes, weight: 1}
    pinned: [K-017]                   # pieces of the stock by the owner's name, or markings
    forbidden: [M0000]
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any

from minisim.catalogue.fields import BadValueError, Fields, decimal, one_of, refuse, text, whole, words_of
from minisim.catalogue.words import BUSES
from minisim.findings import Mark
from minisim.plan.words import Words
from minisim.problems import InputError, Problem
from minisim.yamltext import Node, Scalar, parse, read_bytes

VERSION = 1
MOST_WISHES = 100
COUNTED = ("memory-kb", "serial-lines")
"""Needs that are a least number; more of them can be a preference."""
PRESENT = ("line-clock", "far-terminator")
"""Things that are there or not, and can be a preference."""


@dataclass(frozen=True, slots=True)
class BootWish:
    """What the machine boots from: the device, the ROM content (an id of the catalogue), and files of the owner
    (relative to the wishes): the words of the ROM, the medium."""

    device: str
    rom: str
    image: str
    media: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Like:
    """A preference: `what` is a counted need or a thing that is present; `least` counts (1 for presence)."""

    what: str
    least: int
    weight: int
    mark: Mark


@dataclass(frozen=True, slots=True)
class Wish:
    """One machine the owner would like.  Absent limits are None; `boot` None: any way to boot will do."""

    id: str
    name: str
    priority: int
    mark: Mark
    bus: str = ""
    memory_kb: int = 0
    options: tuple[str, ...] = ()
    serial_lines: int = 1
    boot: BootWish | None = None
    devices: tuple[str, ...] = ()
    slots: int | None = None
    boxes: int = 1
    joined_by: str = ""
    watts: Decimal | None = None
    kg: Decimal | None = None
    likes: tuple[Like, ...] = ()
    pinned: tuple[str, ...] = ()
    forbidden: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Wishes:
    """All wishes of a file, by priority, then as written."""

    file: str
    wishes: tuple[Wish, ...]
    folder: Path = field(default_factory=Path)


def read_wishes(path: str | Path, words: Words) -> Wishes:
    """The wishes in a file; `words` are those it may use.  InputError lists every problem."""
    file = str(path)
    node, problems = parse(read_bytes(path), file)
    if node is None:
        raise InputError(problems)
    fields = Fields(node, file, problems, "wishes")
    if fields.read("wishes", whole, VERSION) != VERSION:
        fields.say(node, f"this program reads version {VERSION}")
    made = [_wish(one, words) for one in fields.blocks("machines")]
    fields.finish()
    _refuse_doubles(made, problems)
    if len(made) > MOST_WISHES:
        fields.say(node, f"{len(made)} machines are more than {MOST_WISHES}")
    refuse(problems)
    return Wishes(file, tuple(sorted(made, key=lambda one: one.priority)), Path(path).parent)


def _refuse_doubles(made: list[Wish], problems: list[Problem]) -> None:
    first: dict[str, Wish] = {}
    for wish in made:
        if wish.id in first:
            problems.append(
                Problem(wish.mark, f'the id "{wish.id}" stands twice, also at line {first[wish.id].mark.line}')
            )
        first.setdefault(wish.id, wish)


def _wish(fields: Fields, words: Words) -> Wish:
    name = fields.read("id", _plain_id, "wish")
    fields.what = f"wish {name}"
    needs = fields.block("needs")
    wish = Wish(
        id=name,
        name=fields.maybe("name", text, name),
        priority=fields.maybe("priority", _positive, 1),
        mark=fields.node.mark,
        likes=tuple(_likes(fields)),
        pinned=fields.maybe("pinned", words_of, ()),
        forbidden=fields.maybe("forbidden", words_of, ()),
        **(_needs(needs, words) if needs else {}),
    )
    fields.finish()
    return wish


def _needs(fields: Fields, words: Words) -> dict[str, Any]:
    def known(allowed: tuple[str, ...]) -> Callable[[Node], tuple[str, ...]]:
        return lambda node: tuple(one_of(allowed)(item) for item in _items(node))

    nothing: tuple[str, ...] = ()
    found: dict[str, Any] = {
        "bus": fields.maybe("bus", one_of(BUSES), ""),
        "memory_kb": fields.maybe("memory-kb", whole, 0),
        "options": fields.maybe("options", known(words.options), nothing),
        "serial_lines": fields.maybe("serial-lines", _positive, 1),
        "boot": _boot(fields, words),
        "devices": fields.maybe("devices", known(words.devices), nothing),
        "slots": fields.maybe("slots", _positive, None),
        "boxes": int(fields.maybe("boxes", one_of(("1", "2")), "1")),
        "joined_by": fields.maybe("joined-by", one_of(words.cables), ""),
        "watts": fields.maybe("watts", decimal, None),
        "kg": fields.maybe("kg", decimal, None),
    }
    if found["boxes"] == 2 and not found["joined_by"]:
        fields.say(fields.node, "two boxes need joined-by: the cable between them, an id of the catalogue")
    fields.finish()
    return found


def _items(node: Node) -> list[Node]:
    return list(getattr(node, "items", None) or [node])


def _boot(fields: Fields, words: Words) -> BootWish | None:
    block = fields.block("boot")
    if block is None:
        return None
    boot = BootWish(
        device=block.read("from", one_of(words.devices), ""),
        rom=block.read("rom", one_of(words.roms), ""),
        image=block.maybe("image", text, ""),
        media=block.maybe("media", text, ""),
        mark=block.node.mark,
    )
    for name, written in (("image", boot.image), ("media", boot.media)):
        if written and not (Path(fields.file).parent / written).is_file():
            block.say(block.node, f'{name}: there is no file "{written}" beside the wishes')
    block.finish()
    return boot


def _likes(fields: Fields) -> list[Like]:
    if "likes" not in fields:
        return []
    return [like for block in fields.blocks("likes") if (like := _like(block)) is not None]


def _like(block: Fields) -> Like | None:
    weight = block.maybe("weight", _positive, 1)
    named = [word for word in (*COUNTED, *PRESENT) if word in block]
    if len(named) != 1:
        block.say(block.node, f"one preference names one of {', '.join((*COUNTED, *PRESENT))}")
        return None
    what = named[0]
    least = block.read(what, _positive, 1) if what in COUNTED else block.read(what, _yes, 1)
    block.finish()
    return Like(what, least, weight, block.node.mark)


def _positive(node: Node) -> int:
    number = whole(node)
    if not 1 <= number <= 1_000_000:
        raise BadValueError(f'"{number}" is not between 1 and 1000000')
    return number


def _yes(node: Node) -> int:
    if text(node) not in ("yes", "true"):
        raise BadValueError("only yes can be liked")
    return 1


def _plain_id(node: Node) -> str:
    word = text(node)
    if not isinstance(node, Scalar) or not word.isascii() or not all(c.isalnum() or c in "-_" for c in word):
        raise BadValueError(f'"{word}" is no id: letters, digits, - and _')
    return word
