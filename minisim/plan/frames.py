"""What boards can stand in: backplanes with supplies that fit them, loose or boxed, as far as the pile has them.

Slots are counted by what may stand in them, so that the arithmetic can choose without knowing places:
`private` and `twin` quad slots and `dual` half slots of the multiplexed bus; of the separate-line bus places of
processors, AB places of modified and extended slots, bus ends, and CDEF places of small peripherals.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from minisim.catalogue import Catalogue
from minisim.catalogue.model import BackplaneEntry, ChassisEntry, SupplyEntry
from minisim.known import Known, NotApplicable
from minisim.plan.pile import Pile, Thing
from minisim.plan.traits import peek

BUS_END = "bus-end"
"""The kind of place where the separate-line bus enters and leaves a unit."""


@dataclass(frozen=True, slots=True)
class House:
    """One backplane with what feeds it; `uses` are pieces of the pile."""

    backplane: BackplaneEntry
    supply: SupplyEntry
    chassis: ChassisEntry | None
    uses: tuple[Thing, ...]

    @property
    def id(self) -> str:
        """A name for messages and for the arithmetic."""
        return "+".join(thing.entry for thing in self.uses)

    @property
    def kg(self) -> Decimal | None:
        """What the empty box weighs, None where not known."""
        return peek(self.chassis.kg) if self.chassis is not None else None

    def rating(self, rail: str) -> Decimal | None:
        """Amperes of a rail: 0 where the supply has none, None where the rating is not known."""
        figure = self.supply.rails.get(rail, NotApplicable())
        if isinstance(figure, Known):
            return Decimal(figure.peek)
        return Decimal(0) if isinstance(figure, NotApplicable) else None

    def count(self, rows: str, kind: str) -> int:
        """Slots whose `rows` are of a kind, among those a grant reaches on the multiplexed bus."""
        reached = {place.rstrip("ABCDEF") for place in self.backplane.grant_order}
        all_count = self.backplane.bus == "sep"
        found = (kinds for slot, kinds in self.backplane.slots.items() if all_count or str(slot) in reached)
        return sum(kinds.get(rows) == kind for kinds in found)


@dataclass(frozen=True, slots=True)
class Frame:
    """One way to house a machine: one box, or two joined by a cable whose end boards take a bus place in each."""

    houses: tuple[House, ...]
    cable: Thing | None = None

    @property
    def id(self) -> str:
        """A name for messages and for the arithmetic."""
        return " and ".join(house.id for house in self.houses)

    @property
    def uses(self) -> tuple[Thing, ...]:
        """Pieces of the pile; one may stand twice."""
        things = tuple(thing for house in self.houses for thing in house.uses)
        return things if self.cable is None else (*things, self.cable)

    @property
    def bus(self) -> str:
        """mux or sep."""
        return self.houses[0].backplane.bus

    @property
    def slots(self) -> int:
        """How many slots the largest box has."""
        return max(len(house.backplane.slots) for house in self.houses)

    @property
    def kg(self) -> Decimal | None:
        """What the heaviest empty box weighs, None where one is not known."""
        known = [kg for house in self.houses if (kg := house.kg) is not None]
        return max(known) if len(known) == len(self.houses) else None

    @property
    def address_bits(self) -> int:
        """The address lines that all backplanes have (18 where one is not known)."""
        return min(int(peek(house.backplane.address_bits, 18)) for house in self.houses)

    @property
    def profiles(self) -> tuple[str, ...]:
        """Processor profiles that the first backplane is made for."""
        return self.houses[0].backplane.profiles

    @property
    def kinds(self) -> frozenset[str]:
        """Every kind of slot it has."""
        slots = (kinds for house in self.houses for kinds in house.backplane.slots.values())
        return frozenset(kind for kinds in slots for kind in kinds.values())

    @property
    def places_of_cables(self) -> int:
        """Half slots (of the separate-line bus: bus ends) that the end boards of the cable take."""
        return 2 * (len(self.houses) - 1)

    def rating(self, rail: str) -> Decimal | None:
        """Amperes of a rail in all boxes; None where one of them is not known."""
        ratings = [house.rating(rail) for house in self.houses]
        known = [one for one in ratings if one is not None]
        return sum(known, Decimal(0)) if len(known) == len(ratings) else None

    def watts(self) -> Decimal | None:
        """Watts of all boxes; None where one is not known."""
        known = [watts for house in self.houses if (watts := peek(house.supply.watts)) is not None]
        return sum(known, Decimal(0)) if len(known) == len(self.houses) else None

    def count(self, rows: str, kind: str) -> int:
        """Slots of a kind in all boxes."""
        return sum(house.count(rows, kind) for house in self.houses)


def frames(pile: Pile, catalogue: Catalogue, cables: frozenset[str] = frozenset()) -> list[Frame]:
    """Every frame the pile can make, by id; pairs only with the cables that are named."""
    found = {house.id: house for house in (*_loose(pile, catalogue), *_boxed(pile, catalogue))}
    houses = [found[name] for name in sorted(found)]
    return [*(Frame((house,)) for house in houses), *_pairs(houses, pile, catalogue, cables)]


def _pairs(houses: list[House], pile: Pile, catalogue: Catalogue, cables: frozenset[str]) -> Iterator[Frame]:
    """Two boxes of one bus, with a cable that is made for it."""
    for name in sorted(cables):
        if not pile.count("cables", name):
            continue
        between_ends = catalogue.cable(name).starts.startswith(BUS_END)
        for first in houses:
            for second in houses:
                needed = [*first.uses, *second.uses]
                enough = all(pile.count(one.kind, one.entry) >= needed.count(one) for one in needed)
                if enough and _go_together(first, second, between_ends):
                    yield Frame((first, second), Thing("cables", name))


def _go_together(first: House, second: House, between_ends: bool) -> bool:
    """On the separate-line bus the processor's unit comes first, and the bus leaves it and goes through the other."""
    if first.backplane.bus != second.backplane.bus or between_ends != (first.backplane.bus == "sep"):
        return False
    if not between_ends:
        return True
    has_processor, has_none = first.count("ABCDEF", "processor"), not second.count("ABCDEF", "processor")
    leaves, goes_through = first.count("AB", BUS_END) >= 1, second.count("AB", BUS_END) >= 2
    return bool(has_processor) and has_none and leaves and goes_through


def _loose(pile: Pile, catalogue: Catalogue) -> Iterator[House]:
    """A backplane and a supply that are listed apart."""
    for plane in pile.of_kind("backplanes"):
        for power in pile.of_kind("supplies"):
            backplane, supply = catalogue.backplane(plane.thing.entry), catalogue.supply(power.thing.entry)
            if backplane.slots and _fits(backplane, supply, catalogue):
                yield House(backplane, supply, None, (plane.thing, power.thing))


def _fits(backplane: BackplaneEntry, supply: SupplyEntry, catalogue: Catalogue) -> bool:
    if backplane.bus != supply.bus or any(rating for rating in supply.alternatives.values() if not rating):
        return False
    if backplane.id in (peek(supply.units, ()) or ()):
        return True
    boxes = [name for name in supply.serves if catalogue.has("chassis", name)]
    return any(backplane.id in (peek(catalogue.chassis(name).holds, ()) or ()) for name in boxes)


def _boxed(pile: Pile, catalogue: Catalogue) -> Iterator[House]:
    """A box that is listed whole: it brings its supply, and its backplane where it holds only one kind."""
    for box in pile.of_kind("chassis"):
        chassis = catalogue.chassis(box.thing.entry)
        holds: tuple[str, ...] = peek(chassis.holds, ()) or ()
        if len(chassis.supplies) != 1:
            continue
        supply = catalogue.supply(chassis.supplies[0])
        if len(holds) == 1 and catalogue.backplane(holds[0]).slots:
            yield House(catalogue.backplane(holds[0]), supply, chassis, (box.thing,))
        elif len(holds) > 1:
            for name in holds:
                thing = Thing("backplanes", name)
                if pile.count("backplanes", name) and catalogue.backplane(name).slots:
                    yield House(catalogue.backplane(name), supply, chassis, (box.thing, thing))
