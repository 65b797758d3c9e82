"""Words, keys and items of the file that several kinds of changes put in, replace or take out."""

from __future__ import annotations

from minisim.fixing.sheet import Sheet
from minisim.fixing.spans import Entry, Piece
from minisim.fixing.splices import CannotEdit, Splice, added, replaced, without_entry, without_item
from minisim.loadout.writer import text as scalar_text


def word_in(sheet: Sheet, owner: Piece, key: str, value: str) -> list[Splice]:
    """One word of a mapping replaced, or added behind the others."""
    piece = owner.value(key)
    if piece is not None:
        return replaced(sheet.text, piece, value)
    return added(sheet.text, owner, key, scalar_text(value), after=last_entry(owner))


def last_entry(owner: Piece) -> Entry | None:
    return owner.entries[-1] if owner.entries else None


def key_in(sheet: Sheet, owner: Piece, key: str, value: str, behind: tuple[str, ...]) -> list[Splice]:
    """A new key of a mapping, behind the last of those named."""
    if owner.entry(key) is not None:
        raise CannotEdit(f"{key}: is written without anything in it")
    there = [one for one in owner.entries if one.key.text in behind]
    return added(sheet.text, owner, key, value, after=(there or owner.entries)[-1])


def items_out(sheet: Sheet, name: str, items: list[Piece]) -> list[Splice]:
    """Items of a list of the file out; where none stay, the list goes."""
    whole = sheet.root.entry(name)
    if whole is None or not items:
        return []
    if len(items) == len(whole.value.items):
        return without_entry(sheet.text, sheet.root, whole)
    if whole.value.flow and len(items) > 1:
        raise CannotEdit("several items of a list between brackets")
    return [splice for item in items for splice in without_item(sheet.text, whole.value, item)]
