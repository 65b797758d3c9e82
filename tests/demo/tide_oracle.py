"""The tide table once more, in plain Python: from the definition in the comments of tides.s, and from cosines.

`table` uses integers exactly as the comment at the top of tides.s defines them; `turns` is ordinary floating point and
knows nothing of words and phases.  Neither uses the assembler, the core or the table of sines of tides.s.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

DAY, LAST = 1440, 1560  # minutes
TURN = 1 << 32
FALL = 10 << 16  # 20 mm in 2^-15 mm
SINES = [round(32768 * math.sin(i * math.pi / 128)) for i in range(65)]


@dataclass(frozen=True)
class Part:
    """A constituent in human units: mm, thousandths of a degree an hour, tenths of a degree."""

    amplitude: int
    speed: int
    lag: int


@dataclass(frozen=True)
class Constituents:
    """What constituents.s says."""

    station: str
    date: str
    mean: int
    parts: tuple[Part, ...]


def read_constituents(text: str) -> Constituents:
    """Read constituents.s without an assembler."""
    bare = "\n".join(line.split(";")[0] for line in text.splitlines())
    texts = dict(re.findall(r"(\w+):\s*\.asciz\s*/([^/]*)/", bare))
    mean = int(re.search(r"mean:\s*\.word\s+(\d+)\.", bare)[1])
    rows = re.findall(r"\.word\s+(\d+)\.,\s*(\d+)\.,\s*(\d+)\.", bare)
    return Constituents(texts["station"], texts["date"], mean, tuple(Part(*map(int, row)) for row in rows))


def sine(phase: int) -> int:
    """Sine of a phase of 32 bits, 2^15 is 1."""
    high = phase >> 16
    place = 0o40000 - (high & 0o37777) if high & 0o40000 else high & 0o37777
    i, f = divmod(place, 256)
    size = SINES[i] + (0 if i == 64 else (SINES[i + 1] - SINES[i]) * f // 256)
    return -size if high & 0o100000 else size


def levels(tide: Constituents) -> list[int]:
    """Level of each minute, in 2^-15 mm."""
    found = [tide.mean << 15] * LAST
    for part in tide.parts:
        phase = ((0o40000 - (part.lag * 18 + part.lag * 13398 // 65536)) << 16) % TURN
        step = part.speed * 198 + part.speed * 55121 // 65536
        for minute in range(LAST):
            found[minute] += part.amplitude * sine((phase + minute * step) % TURN)
    return found


def integer_turns(tide: Constituents) -> list[tuple[str, int, int]]:
    """HIGH or LOW, minute, level in whole mm."""
    level = levels(tide)
    found: list[tuple[str, int]] = []
    top = bottom = 0
    way = 0
    for minute in range(1, LAST):
        if level[minute] > level[top]:
            top = minute
        elif level[top] - level[minute] >= FALL and way >= 0:
            found.append(("HIGH", top))
            way, bottom = -1, minute
        if level[minute] < level[bottom]:
            bottom = minute
        elif level[minute] - level[bottom] >= FALL and way <= 0:
            found.append(("LOW", bottom))
            way, top = 1, minute
    return [(word, at, (level[at] + 0o40000) >> 15) for word, at in found if 0 < at < DAY]


def row(word: str, minute: int, mm: int) -> str:
    """A line of the table."""
    cm = (abs(mm) + 5) // 10
    height = f"{'-' if mm < 0 and cm else ''}{cm // 100}.{cm % 100:02}"
    return f"{word:<5} {minute // 60:02}:{minute % 60:02} {height:>6} m"


def table(tide: Constituents) -> str:
    """Everything the program prints."""
    rows = [row(*turn) for turn in integer_turns(tide)]
    head = ["", tide.station, f"Tide table for {tide.date}, metres above chart datum", ""]
    return "\r\n".join([*head, *rows, "", "End of the table", ""])


def height(tide: Constituents, minute: float) -> float:
    """Level in mm, in floating point."""
    return tide.mean + math.fsum(
        part.amplitude * math.cos(math.radians(part.speed / 1000 * minute / 60 - part.lag / 10)) for part in tide.parts
    )


def turns(tide: Constituents, step: float = 0.05) -> list[tuple[str, float, float]]:
    """HIGH or LOW, minute, mm: where the slope of the cosines changes its sign, to a twentieth of a minute."""

    def slope(minute: float) -> float:
        return math.fsum(
            -part.amplitude * part.speed * math.sin(math.radians(part.speed / 1000 * minute / 60 - part.lag / 10))
            for part in tide.parts
        )

    found = []
    before = slope(0)
    for index in range(1, int(DAY / step)):
        now = slope(index * step)
        if (before > 0) != (now > 0):
            at = (index - 0.5) * step
            found.append(("HIGH" if before > 0 else "LOW", at, height(tide, at)))
        before = now
    return found
