"""Grant cards: boards that do nothing but hand grants on.  They lie in every drawer, so a repair may ask for one."""

from __future__ import annotations

from decimal import Decimal
from functools import cache

from minisim.catalogue import Catalogue
from minisim.catalogue.model import BoardEntry
from minisim.known import Figure, Known


def is_card(entry: BoardEntry) -> bool:
    """Does a board pass the grants, and have nothing else: no registers, no memory, no switches, no current?"""
    does_nothing = not (entry.registers or entry.memory or entry.rom or entry.processor or entry.settings)
    words = (entry.passes_grant, entry.interrupts, entry.dma, entry.terminates)
    on_the_bus = entry.bus == "mux" or "small-peripheral" in entry.slots
    return does_nothing and on_the_bus and [_word(one) for one in words] == ["yes", "no", "no", "no"] and _free(entry)


def _word(figure: Figure[str]) -> str:
    return figure.peek if isinstance(figure, Known) else ""


def _free(entry: BoardEntry) -> bool:
    amps = entry.amps.values()
    return bool(amps) and all(isinstance(one, Known) and one.peek == Decimal(0) for one in amps)


def card_for(catalogue: Catalogue, bus: str, *, dma: bool = False) -> BoardEntry | None:
    """The card of the catalogue for a bus; `dma`: one that passes the DMA grant of the separate-line bus as well."""
    cards = (card for card in _cards(catalogue) if card.bus == bus)
    return next((card for card in cards if bus == "mux" or (_word(card.passes_dma_grant) == "yes") == dma), None)


@cache
def _cards(catalogue: Catalogue) -> tuple[BoardEntry, ...]:
    boards = (catalogue.board(name) for name in catalogue.ids("boards"))
    return tuple(board for board in boards if is_card(board))
