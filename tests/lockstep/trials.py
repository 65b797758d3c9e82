"""Random places to start from, deliberately nasty: most of it leads into memory, some to every odd corner.

Everything comes from one `Random`; columns are made whole, so that a million trials take a second or two.
"""

from __future__ import annotations

import sys
from array import array
from collections.abc import Sequence
from random import Random
from typing import Any

from minisim.cpu._core import ffi, lib

from .pairs import BELLS_AT, SIZE

FIELDS = ffi.sizeof("ms_trial") // 2  # all of them are words
OFFSET = {name: field.offset // 2 for name, field in ffi.typeof("ms_trial").fields}
Palette = list[int]  # 256 words, one for each random byte

LOW = (0, 1, 2, 4, 0o176, 0o374, 0o376, 0o400, 0o402, 0o340, 0o336, 0o776)
HIGH = (0o77776, 0o77777, 0o100000, 0o157776, 0o177775, 0o177776, 0o177777)
DEVICES = (
    *(0o177776, 0o177777, 0o177774, 0o177772, 0o177766, BELLS_AT, BELLS_AT + 2, BELLS_AT + 3, 0o177560, 0o177562),
    *(0o177564, 0o177566, *range(0o177700, 0o177720), 0o170000),
)
ANYTHING = range(0o200000)
NEAR_LIMIT = (0, 2, 4, 0o336, 0o340, 0o342, 0o374, 0o376, 0o400, 0o402, 0o404, 0o401)
MENDERS = range(0o400, 0o1000, 0o40)  # where services of traps begin (Writer.image)
SMALL = (0, 1, 2, 3, 4, 6, 8, 0o177777, 0o177776, 0o100000, 0o77777, 0o200, 0o177, 0o377)


def mixed(rng: Random, *parts: tuple[int, Sequence[int]]) -> Palette:
    """256 words, of each part so many; the rest of the first part."""
    words = [rng.choice(choice) for share, choice in parts for _ in range(share)]
    return (words + [rng.choice(parts[0][1]) for _ in range(256)])[:256]


def plain(top: int) -> range:
    """Words of memory, not near its ends."""
    return range(0o400, top - 0o100, 2)


def odd(top: int) -> range:
    """Their upper bytes."""
    return range(0o401, top - 0o100, 2)


def near_end(top: int) -> range:
    """The last words of memory, and what lies behind."""
    return range(top - 0o12, top + 4, 2)


def edges(top: int) -> tuple[int, ...]:
    """Where something ends or begins."""
    return (*LOW, *range(top - 4, top + 2), *near_end(top), *HIGH)


def addresses(rng: Random, few: int, top: int) -> Palette:
    """Addresses."""
    corners = (few * 2, odd(top)), (few, edges(top)), (few * 2, DEVICES), (few * 2, ANYTHING), (few, SMALL)
    return mixed(rng, (0, plain(top)), *corners)


def stacks(rng: Random, few: int, top: int) -> Palette:
    """Stack pointers."""
    corners = (few * 3, NEAR_LIMIT), (few, odd(top)), (few, near_end(top)), (few, DEVICES)
    return mixed(rng, (0, range(0o1000, top - 0o100, 2)), *corners)


def starts(rng: Random, few: int, top: int) -> Palette:
    """Program counters."""
    corners = (few, odd(top)), (few * 2, near_end(top)), (few, DEVICES), (few, edges(top))
    return mixed(rng, (0, range(0o400, top - 0o200, 2)), *corners)


def states(rng: Random, few: int) -> Palette:
    """PS words: codes at random, mostly no T, priorities; some with the modes and sets that only some have."""
    levels = [level << 5 | codes for level in range(8) for codes in range(16)]
    corners = (few, range(0o20, 0o400)), (few, ANYTHING), (few, [mode << 14 for mode in range(4)])
    return mixed(rng, (0, range(16)), (64, levels), *corners)


class Maker:
    """Makes trials for machines with memory up to `top`.

    `odd_corners`: how many of 256 are no plain thing, for each address, stack, PC and PS.
    """

    def __init__(self, rng: Random, odd_corners: int, top: int = SIZE) -> None:
        self.rng, self.top, few = rng, top, odd_corners // 8
        self.addresses, self.stacks = addresses(rng, few, top), stacks(rng, few, top)
        self.starts, self.states = starts(rng, few, top), states(rng, few)
        self.services = mixed(rng, (0, MENDERS), (2 * few, self.starts))
        self.delays = mixed(rng, (0, (0,)), (few, range(1, 3000)))  # in units of 100 ns; 0: left alone
        self.limits = mixed(rng, (0, (0,)), (few // 2, (0o400, 0o1000, 0o7400)))
        self.requests = mixed(rng, (0, (0,)), (few // 2, [1 << bit for bit in range(9, 16)]))

    def column(self, palette: Palette, count: int) -> array[int]:
        """So many words of a palette."""
        return array("H", map(palette.__getitem__, self.rng.randbytes(count)))

    def memory(self) -> bytes:
        """Random words that mostly are addresses of memory."""
        words = self.column(self.addresses, self.top // 2)
        if sys.byteorder == "big":
            words.byteswap()
        return words.tobytes()

    def trials(self, count: int, words: Sequence[Sequence[int]]) -> Any:
        """Trials with these columns of words at their PC."""
        flat = array("H", bytes(2 * FIELDS * count))
        columns = {OFFSET["r"] + n: self.column(self.addresses, count) for n in range(6)}
        columns[OFFSET["r"] + 6] = self.column(self.stacks, count)
        columns[OFFSET["r"] + 7] = columns[OFFSET["at"]] = self.column(self.starts, count)
        for name, palette in (("ps", self.states), ("stack_limit", self.limits), ("program_request", self.requests)):
            columns[OFFSET[name]] = self.column(palette, count)
        for n in (0, 2):
            columns[OFFSET["service"] + n] = self.column(self.services, count)
            columns[OFFSET["service"] + n + 1] = self.column(self.states, count)
        columns[OFFSET["count"]] = array("H", [len(words)]) * count
        for n in range(lib.MS_TRIAL_TIMERS):
            columns[OFFSET["due"] + n] = self.column(self.delays, count)
        for n, column in enumerate(words):
            columns[OFFSET["words"] + n] = array("H", column)
        for place, column in columns.items():
            flat[place::FIELDS] = column
        trials = ffi.new("ms_trial[]", count)
        ffi.memmove(trials, flat.tobytes(), ffi.sizeof(trials))
        return trials
