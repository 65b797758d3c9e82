"""The tide chart once more: the same least squares in exact fractions, with cosines of 60 digits.

Nothing here uses floating point of the host, the assembler or the core.  What it has in common with chart.s is what the
comments there say: the model, the normal equations, and how the page looks.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction

import mpmath

MP = mpmath.mp.clone()
MP.dps = 60
HALF = Fraction(1, 2)
LAST = 54  # last column of the drawing


@dataclass(frozen=True)
class Day:
    """What readings.s says: constituents as (thousandths of a degree an hour, name), heights in mm."""

    station: str
    date: str
    parts: tuple[tuple[int, str], ...]
    every: int
    heights: tuple[int, ...]


@dataclass(frozen=True)
class Fit:
    """The answer: unknowns, and the curve at each reading."""

    unknowns: list[Fraction]
    curve: list[Fraction]
    day: Day = field(repr=False)

    @property
    def differences(self) -> list[Fraction]:
        """Reading less curve."""
        return [height - value for height, value in zip(self.day.heights, self.curve, strict=True)]


def read_day(text: str) -> Day:
    """Read readings.s without an assembler."""
    bare = "\n".join(line.split(";")[0] for line in text.splitlines())
    texts = dict(re.findall(r"(\w+):\s*\.asciz\s*/([^/]*)/", bare))
    parts = re.findall(r"\.word\s+(\d+)\.,\s*([a-z]\w*)", bare)
    every = re.search(r"every:\s*\.word\s+(\d+)\.", bare)[1]
    heights = re.findall(r"(-?\d+)\.", bare[bare.index("heights:") :])
    count = int(re.search(r"count:\s*\.word\s+(\d+)\.", bare)[1])
    return Day(
        texts["station"],
        texts["date"],
        tuple((int(speed), texts[name]) for speed, name in parts),
        int(every),
        tuple(map(int, heights))[:count],
    )


def write_day(day: Day) -> str:
    """A readings.s of its own."""
    parts = "".join(f" .word {speed}., name{at}\n" for at, (speed, _) in enumerate(day.parts))
    names = "".join(f"name{at}: .asciz /{name}/\n" for at, (_, name) in enumerate(day.parts))
    heights = "".join(f" .word {height}.\n" for height in day.heights)
    return (
        f"station: .asciz /{day.station}/\ndate: .asciz /{day.date}/\n .even\nparts:\n{parts} .word 0.\n{names} .even\n"
        f"count: .word {len(day.heights)}.\nevery: .word {day.every}.\nheights:\n{heights}"
    )


def exact(value: mpmath.mpf) -> Fraction:
    """A number of mpmath, without rounding it."""
    return Fraction(*mpmath.libmp.to_rational(value._mpf_))


def precise(value: Fraction) -> mpmath.mpf:
    """A fraction as mpmath has it."""
    return MP.mpf(value.numerator) / value.denominator


def functions(day: Day, minute: int) -> list[Fraction]:
    """1, and the cosine and sine of each constituent at this minute."""
    found = [Fraction(1)]
    for speed, _ in day.parts:
        turns = Fraction(speed * minute, 360_000 * 60) % 1
        angle = 2 * MP.pi * precise(turns)
        found += [exact(MP.cos(angle)), exact(MP.sin(angle))]
    return found


def solve(rows: list[list[Fraction]]) -> list[Fraction]:
    """The unknowns of as many equations; ZeroDivisionError: there is no single answer."""
    size = len(rows)
    for step in range(size):
        at = next((at for at in range(step, size) if rows[at][step]), step)
        rows[step], rows[at] = rows[at], rows[step]
        rows[step] = [value / rows[step][step] for value in rows[step]]
        for other in range(size):
            if other != step:
                factor = rows[other][step]
                rows[other] = [value - factor * own for value, own in zip(rows[other], rows[step], strict=True)]
    return [row[-1] for row in rows]


def fit(day: Day) -> Fit:
    """The least squares."""
    rows = [functions(day, at * day.every) for at in range(len(day.heights))]
    sides = range(1 + 2 * len(day.parts))
    equations = [
        [
            *(sum(row[i] * row[j] for row in rows) for j in sides),
            sum(row[i] * height for row, height in zip(rows, day.heights, strict=True)),
        ]
        for i in sides
    ]
    unknowns = solve(equations)
    return Fit(unknowns, [sum(a * b for a, b in zip(row, unknowns, strict=True)) for row in rows], day)


def fixed(value: Fraction, width: int = 0, digits: int = 3) -> str:
    """A number with so many digits behind the point; half a unit counts as one."""
    units = int(abs(value) * 10**digits + HALF)
    text = f"{units // 10**digits}" + (f".{units % 10**digits:0{digits}}" if digits else "")
    return f"{'-' if value < 0 and units else ''}{text}".rjust(width)


def polar(cosine: Fraction, sine: Fraction) -> tuple[Fraction, Fraction]:
    """Amplitude, and lag in degrees from 0 to 360."""
    size = MP.sqrt(precise(cosine**2 + sine**2))
    lag = MP.degrees(MP.atan2(precise(sine), precise(cosine))) if size else MP.mpf(0)
    return exact(size), exact(lag + 360 if lag < 0 else lag)


def rms(found: Fit) -> Fraction:
    """Root of the mean square of the differences."""
    squares = sum(each * each for each in found.differences)
    return exact(MP.sqrt(precise(squares / len(found.curve))))


def hour(minute: int) -> str:
    """Minutes as hours and minutes."""
    return f"{minute // 60:02}:{minute % 60:02}"


def drawing(found: Fit) -> list[str]:
    """A line for each whole hour."""
    everything = [*found.curve, *map(Fraction, found.day.heights)]
    low, high = min(everything), max(everything)
    lines = [f"{fixed(low, 12, 0)}{fixed(high, LAST + 8 - 12, 0)}"]
    for at, (height, value) in enumerate(zip(found.day.heights, found.curve, strict=True)):
        if at * found.day.every % 60:
            continue
        strip = [" "] * (LAST + 1)
        curve, reading = (int((each - low) * LAST / (high - low) + HALF) for each in (value, Fraction(height)))
        strip[curve] = "o"
        strip[reading] = "*" if reading == curve else "x"
        lines.append(f"{hour(at * found.day.every)}  |{''.join(strip)}|")
    return lines


def table(found: Fit) -> list[str]:
    """The lines with the mean level and the constituents."""
    lines = ["mean level" + fixed(found.unknowns[0], 36)]
    for at, (speed, name) in enumerate(found.day.parts):
        size, lag = polar(*found.unknowns[1 + 2 * at : 3 + 2 * at])
        lines.append(name + fixed(Fraction(speed, 1000), 32 - len(name)) + fixed(size, 14) + fixed(lag, 14))
    return lines


def chart(day: Day) -> list[str]:
    """Everything the machine prints, line by line."""
    found = fit(day)
    farthest = max(range(len(day.heights)), key=lambda at: abs(found.differences[at]))
    return [
        "",
        day.station,
        f"Tide fitted to the gauge readings of {day.date}",
        "",
        " " * 22 + "degrees     amplitude           lag",
        " " * 22 + "an hour            mm       degrees",
        *table(found),
        "",
        "x reading  o curve  * both    levels in mm",
        *drawing(found),
        "",
        f"farthest from the curve {fixed(abs(found.differences[farthest]))} mm, at {hour(farthest * day.every)}",
        f"TOTAL {len(day.heights)} READINGS, RMS ERROR {fixed(rms(found))} MM",
    ]
