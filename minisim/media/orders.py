"""Dumps in other orders than that of the medium, and a guess at which one it is.

A dump made on another machine may hold its sectors as system software counts them, or one side after the other.  Its
size tells only whether track 0 is there.  What runs on tells more: in the right order the first byte of a sector
follows the last one of the sector before it as bytes follow each other inside of sectors.

Where track 0 lies in a dump in logical order shifts everything alike, so joints can't tell; that system software leaves
it empty does.  A dump that begins with 26 empty sectors has it first; one that only ends with them has it last.

The measure: how often each pair of bytes stands side by side inside of sectors, against chance (the logarithm of the
quotient); summed over the joints of sectors in each possible order.  The order with the highest sum wins where it is
ahead of the next one by more than `CLEAR`; else nothing is known, and the order of the medium is taken.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log

from minisim.media.geometry import Geometry
from minisim.media.raw import has_logical_order, place_of

CLEAR = 20.0  # a choice: in tests it never let a wrong order through, nor kept a disk of text from being told
_SAMPLE = 1 << 20  # bytes looked at inside of sectors
_SMOOTH = 0.5  # pairs never seen are not impossible
PHYSICAL = "physical"


@dataclass(frozen=True, slots=True)
class Guess:
    """An order by name; `lead` is how far it is ahead of the next one (0 where it was not measured)."""

    order: str
    lead: float
    is_clear: bool


def orders_of(geometry: Geometry) -> dict[str, Callable[[Geometry], list[int]]]:
    """Possible orders of a dump that has all sectors: name -> number in the image of each sector of the dump."""
    found: dict[str, Callable[[Geometry], list[int]]] = {PHYSICAL: _as_it_is}
    if geometry.heads > 1:
        found["by-head"] = _by_head
    if has_logical_order(geometry):
        found["logical-track-0-first"] = lambda one: _track_0(one) + _logical(one)
        found["logical-track-0-last"] = lambda one: _logical(one) + _track_0(one)
    return found


def _as_it_is(geometry: Geometry) -> list[int]:
    return list(range(geometry.sectors))


def _by_head(geometry: Geometry) -> list[int]:
    """All of one side, then all of the other."""
    first, track = geometry.first, geometry.track
    return [
        geometry.number(cylinder, head, sector)
        for head in range(geometry.heads)
        for cylinder in range(geometry.cylinders)
        for sector in range(first, first + track)
    ]


def _logical(geometry: Geometry) -> list[int]:
    """As the usual system software counts; without track 0."""
    places = map(place_of, range(geometry.logical_bytes // geometry.bytes_each))
    return [geometry.number(track, 0, sector) for track, sector in places]


def _track_0(geometry: Geometry) -> list[int]:
    return list(range(geometry.track))


def to_image(dump: bytes, geometry: Geometry, order: str) -> bytes:
    """The sectors of a dump in the order of the medium."""
    each, image = geometry.bytes_each, bytearray(geometry.size)
    for position, number in enumerate(orders_of(geometry)[order](geometry)):
        image[number * each : (number + 1) * each] = dump[position * each : (position + 1) * each]
    return bytes(image)


def from_image(image: bytes, geometry: Geometry, order: str) -> bytes:
    """The other way."""
    each = geometry.bytes_each
    return b"".join(image[number * each : (number + 1) * each] for number in orders_of(geometry)[order](geometry))


def guess(dump: bytes, geometry: Geometry) -> Guess:
    """Which order a dump of full size is in.

    The medium's own order is judged as the others are: by what runs on when a program reads the medium as system
    software would: diskettes in logical order, disks one sector after the other.
    """
    names = list(orders_of(geometry))
    if len(names) == 1:
        return Guess(PHYSICAL, 0.0, True)
    bonds = _bonds(dump, geometry.bytes_each)
    if has_logical_order(geometry):
        names.remove(_where_track_0_is_not(dump, geometry))
    scores = {name: _score(to_image(dump, geometry, name), geometry, bonds) for name in names}
    best, second = sorted(scores.values(), reverse=True)[:2]
    winner = next(name for name in names if scores[name] == best)
    is_clear = best - second > CLEAR
    return Guess(winner if is_clear else PHYSICAL, best - second, is_clear)


def _where_track_0_is_not(dump: bytes, geometry: Geometry) -> str:
    """The one of the two logical orders that is less likely."""
    track = geometry.track * geometry.bytes_each
    begins, ends = _is_blank(dump[:track]), _is_blank(dump[-track:])
    return "logical-track-0-first" if ends and not begins else "logical-track-0-last"


def _bonds(dump: bytes, each: int) -> Mapping[tuple[int, int], float]:
    """How pairs of bytes inside of sectors stand against chance; those never seen are left out."""
    used = [dump[at : at + each] for at in range(0, len(dump), each) if not _is_blank(dump[at : at + each])]
    pairs: Counter[tuple[int, int]] = Counter()
    for sector in used[: _SAMPLE // each]:
        pairs.update(pairwise(sector))
    firsts: Counter[int] = Counter()
    seconds: Counter[int] = Counter()
    for (first, second), count in pairs.items():
        firsts[first] += count
        seconds[second] += count
    total = sum(pairs.values())
    bonds = {
        pair: log((count + _SMOOTH) * total / (firsts[pair[0]] * seconds[pair[1]])) for pair, count in pairs.items()
    }
    bonds[-1, -1] = log(_SMOOTH)  # a pair that was never seen
    return bonds


def _score(image: bytes, geometry: Geometry, bonds: Mapping[tuple[int, int], float]) -> float:
    """The bonds over the joints of used sectors, as programs read the medium."""
    each = geometry.bytes_each
    numbers: Sequence[int] = _logical(geometry) if has_logical_order(geometry) else range(geometry.sectors)
    never, total, before = bonds[-1, -1], 0.0, b""
    for number in numbers:
        sector = image[number * each : (number + 1) * each]
        if before and not _is_blank(before) and not _is_blank(sector):
            total += bonds.get((before[-1], sector[0]), never)
        before = sector
    return total


def _is_blank(sector: bytes) -> bool:
    """One byte all over: nothing was ever written there."""
    return sector.count(sector[:1]) == len(sector)
