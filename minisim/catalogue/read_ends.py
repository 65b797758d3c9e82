"""Drive, cable, medium and ROM files: what hangs on the boards and what is put in."""

from __future__ import annotations

from collections.abc import Mapping

from minisim.catalogue.fields import (
    Fields,
    decimal,
    io_offset,
    listed,
    octal_word,
    one_of,
    text,
    texts,
    whole,
    words_of,
)
from minisim.catalogue.model import CableEntry, DriveEntry, MediumEntry, RomEntry
from minisim.catalogue.words import LOOPS, NONE, RAILS, UNKNOWN, YES_NO
from minisim.known import Figure, Known, NotApplicable, Unknown
from minisim.yamltext import Mapping as MappingNode
from minisim.yamltext import Scalar

_NOTHING = NotApplicable()
_SIZE = ("inches", "pounds")


def read_drive(fields: Fields, name: str) -> DriveEntry:
    """One drive or terminal."""
    line = fields.figures("line", text, ("baud", "loop", "stop-bits"), "line ")
    power = fields.figures("power", decimal, ("watts", "start-va", "start-amps", "phases"), "power: ")
    for size in ("height-mm", "width-mm", "depth-mm", "rack-units"):
        fields.maybe_figure(size, decimal, _NOTHING, extra=_SIZE)
    fields.maybe_figure("place", text, _NOTHING)
    fields.maybe_figure("termination", text, _NOTHING)
    line_device = _needs_device(fields)
    return DriveEntry(
        id=name,
        kind=fields.read("kind", text, ""),
        controller=fields.read("controller", text, ""),
        media=_named(fields, "media"),
        cables=_named(fields, "cable"),
        line={key: figure.peek for key, figure in line.items() if isinstance(figure, Known)},
        notes=fields.maybe("notes", text, ""),
        capacity=fields.figure("capacity", text),
        units=fields.figure("units-per-controller", whole),
        boards=fields.maybe_figure("boards", words_of, _NOTHING),
        rails=fields.figures("rails", decimal, RAILS, "amperes at "),
        watts=power.get("watts", Unknown(f"power of {fields.what}")),
        kg=fields.figure("kg", decimal, extra=_SIZE),
        people=fields.maybe_figure("people", text, _NOTHING),
        line_device=line_device,
        chain=fields.maybe("chain", listed(words_of), ()),
        together=fields.maybe("drives-in-box", whole, 1),
    )


def _needs_device(fields: Fields) -> str:
    """The device of `needs:`; the rest of that block is for people."""
    node = fields.take("needs")
    device = node.get("device") if isinstance(node, MappingNode) else None
    return device.text if isinstance(device, Scalar) else ""


def _named(fields: Fields, key: str) -> tuple[str, ...]:
    """A list of ids; [none] and [unknown] give nothing."""
    nothing: tuple[str, ...] = ()
    return tuple(word for word in fields.read(key, words_of, nothing) if word not in (NONE, UNKNOWN))


def read_cable(fields: Fields, name: str) -> CableEntry:
    """One cable kind."""
    kind = fields.read("kind", text, "")
    return CableEntry(
        id=name,
        kind=kind,
        starts=fields.read("from", text, ""),
        ends=fields.read("to", text, ""),
        lengths_m=fields.figure("lengths-m", words_of),
        pins=_pins(fields),
        interlock=fields.maybe_figure("interlock", text, _NOTHING),
        rules=fields.figures("rules", text, label="rule "),
        figure=_cable_evidence(fields, kind),
        notes=fields.maybe("notes", text, ""),
        address_bits=fields.maybe_figure("address-bits", whole, _NOTHING),
        loop=fields.maybe_figure("loop", one_of(LOOPS), _NOTHING),
    )


def _pins(fields: Fields) -> Mapping[str, str]:
    """Pin -> wire; one sentence stands under the empty pin; empty where unknown."""
    node = fields.need("pins")
    if isinstance(node, Scalar):
        return {} if node.text == UNKNOWN else {"": node.text}
    return fields.read("pins", texts, {})


def _cable_evidence(fields: Fields, kind: str) -> Figure[str]:
    """That such a cable joins these two ends."""
    block = fields.block("evidence")
    if block is None:
        return Unknown(f"evidence for {fields.what}")
    inner = block.inside("kind", block.need("kind") or MappingNode({}, block.file, 1, 1))
    figure: Figure[str] = inner.evidence_figure("kind", kind)
    inner.finish()
    block.finish()
    return figure


def read_medium(fields: Fields, name: str) -> MediumEntry:
    """One kind of medium."""
    image = fields.inside("image", fields.need("image") or MappingNode({}, fields.file, 1, 1))
    logical = fields.block("logical-image")
    ending = image.read("ending", text, "")
    entry = MediumEntry(
        id=name,
        kind=fields.read("kind", text, ""),
        geometry=fields.figure("geometry", texts),
        bytes=image.figure("bytes", text),
        ending="" if ending == UNKNOWN else ending,
        order=image.read("order", text, ""),
        removable=fields.word("removable", YES_NO),
        also_bytes=fields.maybe_figure("also-accept-bytes", listed(whole), _NOTHING),
        logical_bytes=logical.figure("bytes", whole) if logical else _NOTHING,
        notes=fields.maybe("notes", text, ""),
    )
    if logical:
        logical.finish("order")
    image.finish()
    fields.maybe_figure("raw-order", text, _NOTHING)
    return entry


def read_rom(fields: Fields, name: str) -> RomEntry:
    """One ROM content."""
    fields.maybe_figure("start", io_offset, _NOTHING)
    fields.maybe_figure("entry", texts, _NOTHING)
    return RomEntry(
        id=name,
        kind=fields.read("kind", text, ""),
        first_word=fields.figure("first-word", octal_word),
        letters=fields.figure("letters", text),
        boots=fields.figure("boots", words_of),
        boards=fields.read("boards", words_of, ()),
        also_fits=fields.maybe_figure("also-fits", words_of, _NOTHING),
        at=fields.figure("at", words_of),
        words=fields.figure("words", text),
        expects_csr=fields.maybe_figure("expects-csr", io_offset, _NOTHING),
        notes=fields.maybe("notes", text, ""),
    )
