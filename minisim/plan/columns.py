"""The variables of one wish, and the rows that make it a machine.

Every row holds for a wish that is not built, too: then nothing is taken for it.  What the rows can't say (the order of
the grants, single addresses) is tried afterwards, when the pieces are laid out and checked.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from minisim.catalogue import Catalogue
from minisim.plan.frames import BUS_END, Frame
from minisim.plan.pile import Thing
from minisim.plan.solver import Arithmetic, Term
from minisim.plan.traits import SERIAL, Traits, peek
from minisim.plan.wishes import Like, Wish

MOST_OF_A_KIND = 8  # of one kind in one machine
_BIG = 1_000  # more than any rail or box gives
_MOST_SLOTS = 30
_VOLTS = {"+5": 5, "+12": 12, "-12": 12, "+15": 15, "-15": 15}
_MOST_KB = {"mux": {16: 64, 18: 256, 22: 4096}, "sep": {16: 56, 18: 248, 22: 4088}}


@dataclass(slots=True)
class Columns:
    """The variables of one wish."""

    wish: Wish
    complete: int
    frames: dict[str, int] = field(default_factory=dict)
    boards: dict[str, int] = field(default_factory=dict)
    others: dict[Thing, int] = field(default_factory=dict)  # drives, cables, ROM contents
    likes: dict[Like, int] = field(default_factory=dict)
    quads_in_twin: int = -1

    def taken(self, frames: Mapping[str, Frame]) -> Iterator[tuple[Thing, int]]:
        """Every thing with the variable that counts it."""
        for name, variable in self.frames.items():
            for thing in frames[name].uses:
                yield thing, variable
        for name, variable in self.boards.items():
            yield Thing("boards", name), variable
        yield from self.others.items()


@dataclass(frozen=True, slots=True)
class Offer:
    """What the wishes may take: frames, boards, and other things with their counts."""

    catalogue: Catalogue
    frames: Mapping[str, Frame]
    boards: Mapping[str, Traits]
    counts: Mapping[Thing, int]
    fitted: Mapping[tuple[str, str], int] = field(default_factory=dict)  # (processor, option): pieces with the chip in
    names: Mapping[str, Thing] = field(default_factory=dict)  # the owner's names and markings of usable pieces

    def upper(self, thing: Thing) -> int:
        """Most of a thing that one machine can take."""
        board = self.boards.get(thing.entry) if thing.kind == "boards" else None
        most = _MOST_SLOTS if board is not None and board.is_grant_card else MOST_OF_A_KIND
        return min(self.counts.get(thing, 0), most)


class Builder:
    """Adds one wish to the arithmetic."""

    def __init__(self, arithmetic: Arithmetic, offer: Offer, wish: Wish, *, without: Collection[str] = ()) -> None:
        self.arithmetic, self.offer, self.wish = arithmetic, offer, wish
        self._without = without  # needs that are left out, to find what forbids a wish
        self.columns = Columns(wish, arithmetic.variable(f"{wish.id}: complete"))
        self._memory_sizes: list[Term] = []
        self._variables()

    def _variables(self) -> None:
        name, columns, offer = self.wish.id, self.columns, self.offer
        for frame in offer.frames.values():
            if self._suits(frame):
                columns.frames[frame.id] = self.arithmetic.variable(f"{name}: in {frame.id}")
        for board in offer.boards.values():
            if upper := self._upper(board):
                columns.boards[board.id] = self.arithmetic.variable(f"{name}: {board.id}", upper)
        for thing in offer.counts:
            if thing.kind in ("drives", "cables", "roms") and offer.upper(thing):
                columns.others[thing] = self.arithmetic.variable(f"{name}: {thing.entry}", offer.upper(thing))
        columns.quads_in_twin = self.arithmetic.variable(f"{name}: quad boards in twin slots", 30)

    def _suits(self, frame: Frame) -> bool:
        wish = self.wish
        fits_bus = not wish.bus or frame.bus == wish.bus or "bus" in self._without
        fits_slots = wish.slots is None or frame.slots <= wish.slots or "slots" in self._without
        fits_kg = wish.kg is None or frame.kg is None or frame.kg <= wish.kg or "kg" in self._without
        cable = frame.cable.entry if frame.cable is not None else ""
        fits_boxes = len(frame.houses) == wish.boxes and (wish.boxes == 1 or cable == wish.joined_by)
        return fits_bus and fits_slots and fits_kg and fits_boxes

    def _upper(self, board: Traits) -> int:
        words = {board.id, *(peek(board.entry.markings, ()) or ())}
        if words & set(self.wish.forbidden):
            return 0
        upper = self.offer.upper(Thing("boards", board.id))
        return min(upper, 1) if board.is_processor or board.ends or board.holds_rom else upper

    # --- rows

    def rows(self) -> Columns:
        """All rows of the wish."""
        self._frame()
        self._processor()
        self._memory()
        self._refresh()
        self._lines()
        self._fixed()
        self._boot()
        self._devices()
        self._places()
        self._power()
        self._ends()
        self._likes()
        self._pinned()
        return self.columns

    def board_terms(self, weigh: Callable[[Traits], float]) -> list[Term]:
        """Terms of the boards, each with a weight."""
        found = ((weigh(self.offer.boards[name]), variable) for name, variable in self.columns.boards.items())
        return [(float(weight), variable) for weight, variable in found if weight]

    def frame_terms(self, weigh: Callable[[Frame], float]) -> list[Term]:
        """Terms of the frames, each with a weight, negative: what a frame gives is taken off what boards need."""
        return [(-float(weigh(self.offer.frames[name])), one) for name, one in self.columns.frames.items()]

    def _at_least(self, terms: list[Term], least: float, need: str = "") -> None:
        """`terms` reach `least` where the wish is complete."""
        if need in self._without:
            return
        self.arithmetic.row([*terms, (-least, self.columns.complete)], least=0)

    def _frame(self) -> None:
        complete, frames = self.columns.complete, self.columns.frames
        self.arithmetic.row([*((1, one) for one in frames.values()), (-1, complete)], least=0, most=0)
        for name, variable in self.columns.boards.items():
            board = self.offer.boards[name]
            homes = [(-float(self._upper(board)), one) for one in self._homes(board)]
            self.arithmetic.row([(1, variable), *homes], most=0)
        for thing, variable in self.columns.others.items():
            self.arithmetic.row([(1, variable), (-self.offer.upper(thing), complete)], most=0)

    def _homes(self, board: Traits) -> list[int]:
        """Frames with a slot of a kind that the board may stand in."""
        kinds = set(board.entry.slots)
        return [
            one
            for name, one in self.columns.frames.items()
            if (frame := self.offer.frames[name]).bus == board.entry.bus and kinds & frame.kinds
        ]

    def _processor(self) -> None:
        self.arithmetic.row(
            [*self.board_terms(lambda board: board.is_processor), (-1, self.columns.complete)], least=0, most=0
        )
        for name, variable in self.columns.boards.items():
            board = self.offer.boards[name]
            if board.is_processor:
                self._options(board, variable)
                self._unit(board, variable)
            elif board.entry.option_adds:
                self._option_board(board, variable)

    def _options(self, processor: Traits, variable: int) -> None:
        """A processor is taken only with what brings the options that are wanted."""
        for option in self.wish.options:
            where = processor.option(option)
            if where == "standard" or "options" in self._without:
                continue
            adding = self.board_terms(lambda board, option=option: board.adds_to(option, processor.profile))  # type: ignore[misc]
            chips = self.offer.fitted.get((processor.id, option), 0) if where == "socket" else 0
            self.arithmetic.row([(1, variable), *((-factor, one) for factor, one in adding)], most=chips)

    def _option_board(self, board: Traits, variable: int) -> None:
        """An option board goes with a processor it is made for."""
        hosts = self.board_terms(lambda one: one.is_processor and _takes(one, board))
        self.arithmetic.row([(1, variable), *((-factor, one) for factor, one in hosts)], most=0)

    def _unit(self, processor: Traits, variable: int) -> None:
        """On the separate-line bus a processor has a unit of its own."""
        if processor.entry.bus != "sep" or processor.entry.processor is None:
            return
        homes = self.frame_terms(lambda frame: processor.profile in frame.profiles)
        self.arithmetic.row([(1, variable), *homes], most=0)

    def _memory(self) -> None:
        sizes = self.memory_terms()
        self._at_least(sizes, max(self.wish.memory_kb, 1), "memory-kb")
        by_frame = self.frame_terms(frame_kb)
        self.arithmetic.row([*sizes, *by_frame], most=0)
        catalogue = self.offer.catalogue
        by_processor = self.board_terms(lambda board: -reach_kb(board, catalogue) if board.is_processor else 0)
        self.arithmetic.row([*sizes, *by_processor], most=0)
        self._narrow(sizes)

    def memory_terms(self) -> list[Term]:
        """Kilobytes of memory: of a board made in several sizes each size is counted by a variable of its own."""
        terms = self._memory_sizes
        if terms:
            return terms
        for name, variable in self.columns.boards.items():
            kinds = self.offer.boards[name].sizes_kb
            if len(kinds) < 2:
                terms += [(float(size), variable) for size in kinds]
                continue
            each = [self.arithmetic.variable(f"{self.wish.id}: {name} of {size} KB", MOST_OF_A_KIND) for size in kinds]
            self.arithmetic.row([(-1, variable), *((1.0, one) for one in each)], least=0, most=0)
            terms += [(float(size), one) for size, one in zip(kinds, each, strict=True)]
        return terms

    def _narrow(self, sizes: list[Term]) -> None:
        """Beside memory that decodes few address bits there may be no more than those reach."""
        most = _MOST_KB["mux"][22]
        for reach in sorted({board.narrow_kb for board in self.offer.boards.values()} - {0}):
            narrow = self.board_terms(lambda board, reach=reach: board.narrow_kb == reach)  # type: ignore[misc]
            if narrow:
                there = self.arithmetic.variable(f"{self.wish.id}: memory that reaches {reach} KB")
                self.arithmetic.row([*narrow, (-MOST_OF_A_KIND * len(narrow), there)], most=0)
                self.arithmetic.row([*sizes, (most - reach, there)], most=most)

    def _refresh(self) -> None:
        """Memory that forgets needs a board that refreshes it."""
        forgets = self.board_terms(lambda board: board.forgets)
        refreshes = self.board_terms(lambda board: board.refreshes)
        self.arithmetic.row([*forgets, *((-_MOST_SLOTS, one) for _, one in refreshes)], most=0)

    def _lines(self) -> None:
        self._at_least(self.board_terms(lambda board: board.lines), self.wish.serial_lines, "serial-lines")
        self._at_least(self.board_terms(lambda board: board.can_be_console), 1)

    def _fixed(self) -> None:
        """No two boards answer at the same fixed place."""
        words = {word for board in self.offer.boards.values() for word in board.fixed_words}
        seen = set()
        for word in sorted(words):
            terms = self.board_terms(lambda board, word=word: word in board.fixed_words)  # type: ignore[misc]
            key = tuple(variable for _, variable in terms)
            if key and key not in seen:
                seen.add(key)
                self.arithmetic.row([*terms, (-1, self.columns.complete)], most=0)

    def _boot(self) -> None:
        boot = self.wish.boot
        fits = self._rom_boards(boot.rom) if boot is not None and not boot.image else None
        self._at_least(
            self.board_terms(lambda board: board.holds_rom and (fits is None or board.id in fits)), 1, "boot"
        )
        self.arithmetic.row([*self.board_terms(lambda board: board.holds_rom), (-1, self.columns.complete)], most=0)
        if boot is not None and not boot.image:  # what the owner has as a file can be put into any PROM
            self._at_least(self._others("roms", {boot.rom}), 1, "boot")
        if boot is not None:
            self._device(boot.device, "boot")

    def _rom_boards(self, rom: str) -> frozenset[str] | None:
        """The boards a content is made for; None: any."""
        entry = self.offer.catalogue.rom(rom)
        return frozenset({*entry.boards, *(peek(entry.also_fits, ()) or ())}) or None

    def _devices(self) -> None:
        for device in self.wish.devices:
            self._device(device, "devices")

    def _device(self, device: str, need: str) -> None:
        """A board with the device; the drive that hangs on it and its cable, but for serial lines."""
        self._at_least(self.board_terms(lambda board: device in board.devices), 1, need)
        if device in SERIAL:
            return
        catalogue = self.offer.catalogue
        drives = [name for name in catalogue.ids("drives") if catalogue.drive(name).controller == device]
        if not drives:
            return
        self._at_least(self._others("drives", set(drives)), 1, need)
        for name in drives:
            thing = Thing("drives", name)
            if thing in self.columns.others and catalogue.drive(name).cables:
                cables = self._others("cables", set(catalogue.drive(name).cables))
                self.arithmetic.row([(-1, self.columns.others[thing]), *cables], least=0)

    def _others(self, kind: str, names: Iterable[str]) -> list[Term]:
        wanted = {Thing(kind, name) for name in names}
        return [(1.0, variable) for thing, variable in self.columns.others.items() if thing in wanted]

    # --- where the boards stand

    def _places(self) -> None:
        twin = [(1.0, self.columns.quads_in_twin)]
        mux = self.board_terms(lambda board: board.boards if board.entry.bus == "mux" else 0)
        quads = self.board_terms(lambda board: board.boards if board.entry.bus == "mux" and not board.is_half else 0)
        linked = self.board_terms(lambda board: board.boards if board.entry.slots == ("private-link",) else 0)
        in_private = self.frame_terms(lambda frame: frame.count("AB", "private-link"))
        room = self.frame_terms(
            lambda frame: (
                frame.count("AB", "private-link")
                + 2 * frame.count("AB", "twin-bus")
                + frame.count("AB", "dual")
                - (frame.places_of_cables if frame.bus == "mux" else 0)
            )
        )
        self.arithmetic.row([*mux, *twin, *((f, v) for f, v in room)], most=0)
        self.arithmetic.row([*quads, (-1, self.columns.quads_in_twin), *in_private], most=0)
        self.arithmetic.row([*twin, *self.frame_terms(lambda frame: frame.count("AB", "twin-bus"))], most=0)
        self.arithmetic.row([*linked, *((-f, v) for f, v in quads), *twin], most=0)
        self._separate_places()

    def _separate_places(self) -> None:
        def of(kind: str, board: Traits) -> bool:
            return board.entry.bus == "sep" and kind in board.entry.slots

        def hex_on(kind: str) -> list[Term]:
            return self.board_terms(lambda board: board.boards if of(kind, board) and board.height == "hex" else 0)

        processors = self.board_terms(lambda board: board.boards if of("processor", board) else 0)
        ends = self.board_terms(lambda board: of("bus-end", board))
        small = self.board_terms(
            lambda board: board.boards if of("small-peripheral", board) and not board.is_grant_card else 0
        )
        cards = self.board_terms(lambda board: board.entry.bus == "sep" and board.is_grant_card)
        turned = self.board_terms(lambda board: board.turns_grants)
        row = self.arithmetic.row
        row([*processors, *self.frame_terms(_processor_places)], most=0)
        row([*hex_on("extended"), *self.frame_terms(lambda frame: _places_of(frame, "extended"))], most=0)
        row([*hex_on("modified"), *ends, *self.frame_terms(_upper_places)], most=0)
        row([*small, *hex_on("modified"), *self.frame_terms(_small_places)], most=0)
        # every small-peripheral place that nothing fills needs a card, where the far terminator turns grants round
        filled = [*small, *hex_on("modified"), *cards]
        missing = [*filled, *self.frame_terms(_small_places), *((-_MOST_SLOTS, variable) for _, variable in turned)]
        row([(factor, variable) for factor, variable in missing], least=-_MOST_SLOTS)

    def _power(self) -> None:
        rails = {rail for board in self.offer.boards.values() for rail in board.amps}
        for rail in sorted(rails):
            amps = self.board_terms(lambda board, rail=rail: float(board.amps.get(rail, 0)))  # type: ignore[misc]
            given = self.frame_terms(lambda frame, rail=rail: _rating(frame, rail))  # type: ignore[misc]
            self.arithmetic.row([*amps, *given], most=0)
        watts = self.board_terms(watts_of)
        most = self.frame_terms(lambda frame: float(_BIG if frame.watts() is None else frame.watts() or 0))
        self.arithmetic.row([*watts, *most], most=0)
        if self.wish.watts is not None and "watts" not in self._without:
            self.arithmetic.row([*watts, (-float(self.wish.watts), self.columns.complete)], most=0)

    def _ends(self) -> None:
        """One terminator at the far end; on the separate-line bus one at each."""
        far = self.board_terms(lambda board: board.entry.bus == "mux" and board.ends in ("far", "either"))
        self.arithmetic.row([*far, (-1, self.columns.complete)], most=0)
        by_itself = self.board_terms(lambda board: board.entry.bus == "sep" and bool(board.ends))
        wanted = self.frame_terms(lambda frame: 2 if frame.bus == "sep" else 0)
        self.arithmetic.row([*by_itself, *wanted], least=0, most=0)

    def _pinned(self) -> None:
        """Pieces the owner wants in this very machine."""
        for name in self.wish.pinned:
            thing = self.offer.names.get(name)
            self._at_least([(1.0, one) for each, one in self.columns.taken(self.offer.frames) if each == thing], 1)

    def _likes(self) -> None:
        weights: dict[str, Callable[[Traits], float]] = {
            "serial-lines": lambda board: board.lines,
            "line-clock": lambda board: board.has_clock,
            "far-terminator": lambda board: board.ends in ("far", "either"),
        }
        for like in self.wish.likes:
            variable = self.arithmetic.variable(f"{self.wish.id}: likes {like.what} {like.least}")
            self.columns.likes[like] = variable
            terms = self.memory_terms() if like.what == "memory-kb" else self.board_terms(weights[like.what])
            self.arithmetic.row([*terms, (-like.least, variable)], least=0)
            self.arithmetic.row([(1, variable), (-1, self.columns.complete)], most=0)


def frame_kb(frame: Frame) -> int:
    """Most memory that the lines of a backplane can address."""
    return _MOST_KB[frame.bus].get(frame.address_bits, _MOST_KB["sep"][18])


def reach_kb(processor: Traits, catalogue: Catalogue) -> int:
    """Most memory that a processor can address."""
    bits = peek(processor.entry.address_bits)
    if not isinstance(bits, int):
        bits = peek(catalogue.profile(processor.profile).address_bits, 16)
    return _MOST_KB[processor.entry.bus].get(int(bits or 16), _MOST_KB["sep"][16])


def watts_of(board: Traits) -> float:
    """Watts of a board on all rails, as far as its currents are known."""
    return float(sum((amps * _VOLTS.get(rail, 0) for rail, amps in board.amps.items()), Decimal(0)))


def _rating(frame: Frame, rail: str) -> float:
    rating = frame.rating(rail)
    return float(_BIG if rating is None or rail == "+5 standby" else rating)


def _places_of(frame: Frame, kind: str) -> int:
    """Slots of the separate-line bus whose upper rows, or whole width, are of a kind."""
    return frame.count("AB", kind) + frame.count("ABCDEF", kind) if frame.bus == "sep" else 0


def _processor_places(frame: Frame) -> int:
    return frame.count("ABCDEF", "processor") if frame.bus == "sep" else 0


def _upper_places(frame: Frame) -> int:
    return _places_of(frame, "modified") + _places_of(frame, BUS_END) - _taken_ends(frame)


def _taken_ends(frame: Frame) -> int:
    """Bus ends that the end boards of the cable between two boxes take."""
    return frame.places_of_cables if frame.bus == "sep" else 0


def _small_places(frame: Frame) -> int:
    return frame.count("CDEF", "small-peripheral") if frame.bus == "sep" else 0


def _takes(processor: Traits, option_board: Traits) -> bool:
    """Is an option board made for this processor?"""
    made_for = option_board.entry.option_to
    return not made_for or processor.profile in made_for
