"""The address and vector map, in the order of the addresses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from minisim.sheet.blocks import Page, Table, Words
from minisim.sheet.messages import say
from minisim.wiring.addresses import AddressRow, address_bits, address_map, digits
from minisim.wiring.model import Passes

if TYPE_CHECKING:
    from minisim.wiring.model import Wired


def addresses_page(wired: Wired) -> Page:
    """What answers where; free stretches are rows too."""
    bits = address_bits(wired)
    rows = tuple(_row(row, bits) for row in address_map(wired, wired.processor_registers))
    head = tuple(say(f"addresses-{name}") for name in ("place", "handle", "what", "span", "vector", "grant"))
    caption = say("addresses-caption", bits=str(bits))
    event = (Words(say("addresses-event", what=wired.event_line.peek)),) if hasattr(wired.event_line, "peek") else ()
    return Page("addresses", say("addresses-title"), (Table("address-map", caption, head, rows), *event))


def _row(row: AddressRow, bits: int) -> tuple[str, ...]:
    return row.place, _handle(row.handle), row.what, _span(row, bits), _vectors(row), _grant(row)


def _handle(numbers: str) -> str:
    """Of a set the first number and how many more: the table of the boards has them all."""
    first, *more = numbers.split("/")
    return say("addresses-set", first=first, more=str(len(more))) if more else first


def _span(row: AddressRow, bits: int) -> str:
    if row.first is None or row.last is None:
        return ""
    first, last = (f"{address:0{digits(bits)}o}" for address in (row.first, row.last))
    return first if first == last else say("addresses-from-to", first=first, last=last)


def _vectors(row: AddressRow) -> str:
    shown = [f"{vector:03o}" for vector in row.vectors]
    return say("addresses-from-to", first=shown[0], last=shown[-1]) if len(shown) > 2 else " ".join(shown)


def _grant(row: AddressRow) -> str:
    if not row.place:
        return ""
    if row.reached in (None, Passes.YES):
        return str(row.grant or "-")
    word = "addresses-open" if row.reached is Passes.NO else "addresses-perhaps-open"
    return say(word, number=str(row.grant or "-"), hop=str(row.broken_at or "?"))
