"""Reference pages of the device models, written from the models themselves: docs/reference/devices/<id>.md."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from minisim.catalogue.model import BoardEntry
from minisim.catalogue.reader import Catalogue
from minisim.devices._device import (
    Device,
    DeviceModel,
    Field,
    Placement,
    Register,
    RequestLine,
    known_devices,
    model_of,
)
from minisim.known import Figure, Known, NotApplicable

FOLDER = Path("reference/devices")
IO_PAGE = 0o760000
ACCESS = {"R": "read", "W": "write", "RW": "read, write", "R0": "reads as 0"}


def pages() -> dict[Path, str]:
    """One page a device, and the list of them."""
    models = {name: model for name in known_devices() if (model := model_of(name)) is not None}
    catalogue = Catalogue()
    made = {FOLDER / f"{name}.md": page(name, model, catalogue) for name, model in models.items()}
    return made | {FOLDER / "index.md": index(models)}


def index(models: dict[str, DeviceModel]) -> str:
    """The list of all models."""
    rows = [f"| [{name}]({name}.md) | {first_sentence(model)} |" for name, model in models.items()]
    return "\n".join(
        [
            "# Devices",
            "",
            "What `minisim boot` runs. Everything here is written from the models in `devices/`.",
            "",
            "| device | what it is |",
            "|---|---|",
            *rows,
        ]
    )


def first_sentence(model: DeviceModel) -> str:
    """The head of the docstring on one line."""
    return " ".join((model.__doc__ or "").split("\n\n")[0].split()).rstrip(".")


def page(name: str, model: DeviceModel, catalogue: Catalogue) -> str:
    """One device: what it is, its registers at their usual places, its interrupts, what is not modelled."""
    device = model.build(Placement(name))[0]
    body = "\n\n".join((model.__doc__ or "").strip().split("\n\n"))
    lines = [f"# {name}", "", body, *boards(name, catalogue), *registers(device), *interrupts(device.lines)]
    lines += ["", "## Not modelled", "", *(f"- {sentence}" for sentence in model.NOT_MODELLED)]
    return "\n".join(lines)


def boards(name: str, catalogue: Catalogue) -> Iterator[str]:
    """The boards of the catalogue that carry it: bus, request level, address lines for DMA."""
    rows = [
        f"| {board.id} | {board.bus} | {said(registers.level)} | {said(board.dma_bits) if dma(board) else '-'} |"
        for board in map(catalogue.board, catalogue.ids("boards"))
        for registers in board.registers
        if registers.device == name
    ]
    if rows:
        yield from ("", "## Boards", "", "| board | bus | request level | address lines for DMA |", "|---|---|---|---|")
        yield from dict.fromkeys(rows)


def dma(board: BoardEntry) -> bool:
    """Does it move words by itself?"""
    return isinstance(board.dma, Known) and board.dma.peek == "yes"


def said(figure: Figure[Any]) -> str:
    """A figure, or that it is not known."""
    if isinstance(figure, Known):
        return str(figure.peek)
    return "-" if isinstance(figure, NotApplicable) else "not known"


def registers(device: Device) -> Iterator[str]:
    """A table of fields for each register a program can see."""
    for register in device.registers:
        if register.offset is not None:
            yield from one_register(device, register)


def one_register(device: Device, register: Register) -> Iterator[str]:
    """Usual address, what answers, and the fields."""
    only = {"R": "; a write gets no answer", "W": "; a read gets no answer"}.get(register.answers, "")
    yield from ("", f"## {register.name}, {IO_PAGE + device.base + register.offset_or_0:06o}{only}", "")
    yield from ("| bits | field | access | after initialise | source |", "|---|---|---|---|---|")
    for part in register.fields:
        source = part.source if part.source == "unconfirmed" else f"[{part.source}]"
        what = part.name if part.what == part.name else f"{part.name}: {part.what}"
        yield f"| {span(part)} | {what} | {ACCESS[part.access]} | {after(part)} | {source} |"


def span(part: Field) -> str:
    """Bit numbers: `7` or `15-11`."""
    low, high = (part.mask & -part.mask).bit_length() - 1, part.mask.bit_length() - 1
    return str(low) if low == high else f"{high}-{low}"


def after(part: Field) -> str:
    """What bus initialise leaves in the field."""
    return "kept" if part.kept else f"{part.reset // (part.mask & -part.mask):o}"


def interrupts(lines: tuple[RequestLine, ...]) -> Iterator[str]:
    """Vectors and levels at the usual places, in the order they are granted."""
    if lines:
        yield from ("", "## Interrupts", "", "| line | vector | level | asks when |", "|---|---|---|---|")
    for line in lines:
        when = "each time it is due" if line.by_request else f"{line.flag[0]} shows one of its flags and is enabled"
        yield f"| {line.name} | {line.vector:03o} | {line.level} | {when} |"
