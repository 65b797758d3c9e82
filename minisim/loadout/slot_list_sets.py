"""Before any backplane is known: boards of sets are joined, grant cards found, and the bus the boards are made for."""

from __future__ import annotations

from collections import Counter

from minisim.catalogue.model import BoardEntry
from minisim.catalogue.reader import Catalogue
from minisim.known import Known
from minisim.loadout.slot_list import Entry, SlotList, UnitText
from minisim.loadout.slot_list_boards import is_grant_card


def board_of(entry: Entry, catalogue: Catalogue) -> BoardEntry | None:
    """The catalogue's entry, or None for a board nobody knows."""
    return catalogue.board(entry.board) if entry.board else None


def boards_in_set(board: BoardEntry | None) -> int:
    """How many boards one kind is made of."""
    return board.boards.peek if board is not None and isinstance(board.boards, Known) else 1


def settle(slot_list: SlotList, catalogue: Catalogue) -> None:
    """Join the boards of sets and find which grant cards are meant."""
    for unit in slot_list.units:
        bus = bus_of(unit, slot_list, catalogue)
        for entry in unit.entries:
            if entry.number == "grant card" and not entry.board and bus:
                entry.board = _grant_card(bus, catalogue)
        unit.entries = _joined(unit.entries, catalogue)


def _grant_card(bus: str, catalogue: Catalogue) -> str:
    """The grant card people mean who only say so: the smallest one of the bus; "" where there is none."""
    cards = [board for name in catalogue.ids("boards") if is_grant_card(board := catalogue.board(name))]
    return min((card for card in cards if card.bus == bus), key=lambda one: (len(one.rows or ""), one.id)).id


def usual_cable(bus: str, catalogue: Catalogue) -> str:
    """A cable that joins two backplanes of the bus with all its lines, where a list only says that there are two."""
    cables = [catalogue.cable(name) for name in catalogue.ids("cables") if name.startswith(f"{bus}-")]
    joining = [one for one in cables if "bus" in one.starts and "place" in one.starts]
    bits = {one.id: one.address_bits.peek if isinstance(one.address_bits, Known) else 0 for one in joining}
    return max(joining, key=lambda one: bits[one.id]).id


def bus_of(unit: UnitText, slot_list: SlotList, catalogue: Catalogue) -> str:
    """The bus of a unit: of its backplane, else of most of its boards, else of the other units; "" if unknown."""
    if unit.backplane:
        return catalogue.backplane(unit.backplane).bus
    mine = _buses(unit.entries, catalogue)
    if not mine:
        mine = _buses([entry for other in slot_list.units for entry in other.entries], catalogue)
        mine.update(catalogue.backplane(other.backplane).bus for other in slot_list.units if other.backplane)
    return mine.most_common(1)[0][0] if mine else ""


def _buses(entries: list[Entry], catalogue: Catalogue) -> Counter[str]:
    return Counter(catalogue.board(entry.board).bus for entry in entries if entry.board)


def _joined(entries: list[Entry], catalogue: Catalogue) -> list[Entry]:
    """Neighbouring boards of one set as one entry."""
    made: list[Entry] = []
    for entry in sorted(entries, key=lambda one: one.slots[0]):  # some lists begin at the far end
        before = made[-1] if made else None
        if before is not None and _belongs(before, entry, catalogue):
            _join(before, entry)
        else:
            made.append(entry)
    return made


def _belongs(before: Entry, entry: Entry, catalogue: Catalogue) -> bool:
    """Is the entry the next board of the set that `before` began?"""
    count = boards_in_set(board_of(entry, catalogue))
    return (
        bool(entry.board) and entry.board == before.board and count > len(before.slots)
        and entry.slots[0] == before.slots[-1] + 1 and len(before.slots) + len(entry.slots) <= count
        and (entry.copy or entry.number not in before.number.split("/"))
    )  # fmt: skip


def _join(before: Entry, entry: Entry) -> None:
    before.slots += entry.slots
    before.number = "/".join(dict.fromkeys([*before.number.split("/"), *entry.number.split("/")]))
    before.rows = before.rows if before.rows == entry.rows else ""
    before.settings = {**entry.settings, **before.settings}
    before.options += [one for one in entry.options if one not in before.options]
    before.roms = {**entry.roms, **before.roms}
    before.modifications += entry.modifications
    before.remark = "; ".join(dict.fromkeys(one for one in (before.remark, entry.remark) if one))
