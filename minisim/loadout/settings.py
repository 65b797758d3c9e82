"""Switches and jumpers: which field reads a setting follows from its name and the board's entry in the catalogue."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from minisim.catalogue.model import BoardEntry, SettingEntry
from minisim.loadout import fields as f

_MOST_BAUD = 1_000_000
_MOST_KB = 4096


def setting_field(entry: BoardEntry, name: str) -> f.Field[Any]:
    """The field of one setting of a board."""
    setting = entry.settings[name]
    special = _BY_NAME.get(name)
    if special is not None:
        return special(entry, setting)
    if setting.kind == "list":
        return f.choice(setting.what, setting.values)
    return f.LOOSE_TEXT


def field_by_name(name: str) -> f.Field[Any]:
    """The field of a setting whose board is not known: only what its name alone says."""
    return _NAME_ALONE.get(name, f.LOOSE_TEXT)


def _address(_entry: BoardEntry, _setting: SettingEntry) -> f.Field[Any]:
    """Any register address: whether the board can be set to it is a rule's business."""
    return f.REGISTER_ADDRESS


def _vector(_entry: BoardEntry, _setting: SettingEntry) -> f.Field[Any]:
    return f.VECTOR


def _start(entry: BoardEntry, _setting: SettingEntry) -> f.Field[Any]:
    """First address of a memory; on a board with ROM alone the start word of its switches."""
    return f.WORD if entry.memory is None and entry.rom is not None else f.MEMORY_ADDRESS


def _baud(_entry: BoardEntry, setting: SettingEntry) -> f.Field[Any]:
    if setting.kind == "range":
        return f.count(setting.what, int(setting.values[0]), int(setting.values[1]))
    return _one_of(setting, 1, _MOST_BAUD)


def _kb(_entry: BoardEntry, setting: SettingEntry) -> f.Field[Any]:
    return _one_of(setting, 1, _MOST_KB)


def _power_up(_entry: BoardEntry, setting: SettingEntry) -> f.Field[Any]:
    return _one_of(setting, 0, 7)


def _one_of(setting: SettingEntry, least: int, most: int) -> f.Field[Any]:
    """A decimal number, one of the listed ones where the entry lists them."""
    number = f.count(setting.what, least, most)
    if setting.kind != "list":
        return number
    words = f.choice(setting.what, setting.values)

    def read(text: str) -> int:
        return int(words.read(str(number.read(text))))

    return f.Field(setting.what, read, str, words.schema)


_BY_NAME: dict[str, Callable[[BoardEntry, SettingEntry], f.Field[Any]]] = {
    "address": _address,
    "vector": _vector,
    "start": _start,
    "baud": _baud,
    "kb": _kb,
    "power-up": _power_up,
}

_NAME_ALONE: dict[str, f.Field[Any]] = {
    "address": f.REGISTER_ADDRESS,
    "vector": f.VECTOR,
    "start": f.MEMORY_ADDRESS,
    "baud": f.count("a speed in baud", 1, _MOST_BAUD),
    "kb": f.count("a size in KB", 1, _MOST_KB),
}
