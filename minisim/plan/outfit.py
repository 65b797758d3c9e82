"""A laid-out selection as a loadout: settings, ROM, cables, and the file's text.

The text goes through the reader and the writer of loadouts, so what a plan writes is what `check` reads.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import yaml

from minisim.catalogue import Catalogue
from minisim.catalogue.model import SettingEntry
from minisim.checking import check_wired
from minisim.findings import Report, Severity
from minisim.known import Known
from minisim.loadout.model import Loadout
from minisim.loadout.reader import read_loadout
from minisim.loadout.writer import write_loadout
from minisim.plan.choose import Selection
from minisim.plan.columns import frame_kb, reach_kb
from minisim.plan.frames import Frame
from minisim.plan.places import Stands, layouts
from minisim.plan.traits import CLOCKS, SERIAL, Traits, peek
from minisim.plan.wishes import Wish
from minisim.wiring.model import Wired, WiredRegisters
from minisim.wiring.register_drafts import CONSOLE
from minisim.wiring.resolve import resolve
from minisim.wiring.sidecar import read_sidecar, sidecar_path

_BOXES, _BAUD = ("main", "lower"), "9600"
_LENGTH_M = "1.22"  # least between two boxes
_CONSOLE, _CONSOLE_VECTOR = "777560", "60"
_IO = 0o760000


@dataclass(frozen=True, slots=True)
class Machine:
    """A finished machine: loadout text, the verdict of `check`, where each board stands, files it needs beside it."""

    selection: Selection
    frame: Frame
    text: str
    loadout: Loadout
    report: Report
    wired: Wired
    stands: tuple[Stands, ...]
    files: Mapping[str, Path]  # name beside the loadout -> where it is now


@dataclass(frozen=True, slots=True)
class Unfit:
    """No layout makes a machine of a selection.  `together` are boards that never go together, whatever else there is;
    empty where it may be the whole selection."""

    together: frozenset[str] = frozenset()


def outfit(
    selection: Selection, frame: Frame, boards: Mapping[str, Traits], folder: Path, catalogue: Catalogue
) -> Machine | Unfit:
    """The first layout that `check` finds no fault in and that has what the wish needs.

    `folder` is where the files of the wish lie.
    """
    counts = {boards[name]: count for name, count in selection.boards.items()}
    boots = starts = False
    for stands in layouts(frame, counts):
        made = _Outfit(selection, frame, stands, folder, catalogue).machine()
        sound = made.report.worst is None or made.report.worst.rank > Severity.FAULT.rank
        if sound and _meets(selection.wish, made.wired):
            return made
        boots = boots or not sound or _boots(selection.wish, made.wired)
        starts = starts or isinstance(made.wired.boot.start, Known)
    if boots:
        return Unfit()
    return Unfit(frozenset(board.id for board in counts if board.is_processor or (starts and board.holds_rom)))


def _meets(wish: Wish, wired: Wired) -> bool:
    """Does the finished machine have what the arithmetic counted: memory as set, and a way to boot?"""
    bytes_set = sum(one.size.peek for one in wired.memories if isinstance(one.size, Known))
    return bytes_set >= wish.memory_kb * 1024 and _boots(wish, wired)


def _boots(wish: Wish, wired: Wired) -> bool:
    return wish.boot is None or (wired.boot.rom is not None and wired.boot.device is not None)


class _Outfit:
    """One layout on its way to a loadout."""

    def __init__(
        self, selection: Selection, frame: Frame, stands: Iterable[Stands], folder: Path, catalogue: Catalogue
    ):
        self.selection, self.frame, self.stands = selection, frame, tuple(stands)
        self.wish, self.catalogue = selection.wish, catalogue
        self.folder = folder
        self.files: dict[str, Path] = {}

    def machine(self) -> Machine:
        """Settings by rule of thumb first; then what the floating ranks want, where it differs."""
        data = self._data()
        with tempfile.TemporaryDirectory(prefix="minisim-plan-") as place:
            loadout, wired = self._read(data, Path(place))
            if self._follow_ranks(data, wired):
                loadout, wired = self._read(data, Path(place))
            report = check_wired(wired)
            text = write_loadout(loadout)
        return Machine(self.selection, self.frame, text, loadout, report, wired, self.stands, dict(self.files))

    def _read(self, data: dict[str, Any], place: Path) -> tuple[Loadout, Wired]:
        for name, source in self.files.items():
            target = place / name
            target.parent.mkdir(exist_ok=True)
            for path in (source, sidecar_path(source)):
                if path.is_file():
                    shutil.copy(path, target.parent / path.name)
        file = place / f"{self.wish.id}.yaml"
        file.write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
        loadout = read_loadout(file, catalogue=self.catalogue)
        return loadout, resolve(loadout, self.catalogue)

    # --- the data of the file

    def _data(self) -> dict[str, Any]:
        settings = self._settings()
        return {
            "loadout": "1",
            "name": self.wish.name,
            "state": "planned",
            "boxes": [self._box(number, settings) for number in range(len(self.frame.houses))],
            "cables": self._cables(),
        }

    def _box(self, number: int, settings: _Settings) -> dict[str, Any]:
        house = self.frame.houses[number]
        box: dict[str, Any] = {"id": _BOXES[number], "supply": house.supply.id, "backplane": house.backplane.id}
        if number and self.frame.cable is not None:
            box["joined-by"] = {"cable": self.frame.cable.entry, "length-m": self._length(), "connected": "yes"}
        if wires := self._wires(number):
            box["wires"] = {"dma-grant": wires}
        box["slots"] = {one.place: self._placed(one, settings) for one in self.stands if one.box == number}
        return box

    def _length(self) -> str:
        """The shortest of the lengths the cable comes in that reaches from box to box."""
        lengths = peek(self.catalogue.cable(self.frame.cable.entry).lengths_m, ()) if self.frame.cable else ()
        reaching = [text for text in lengths if Decimal(text) >= Decimal(_LENGTH_M)]
        return min(reaching, key=Decimal, default=_LENGTH_M)

    def _wires(self, box: int) -> dict[str, str]:
        """The wire CA1-CB1 comes out where a board or card passes the DMA grant itself."""
        if self.frame.bus != "sep":
            return {}
        here = [one for one in self.stands if one.box == box and "C" in _rows(one)]
        passing = [one for one in here if peek(one.board.entry.passes_dma_grant) == "yes"]
        return {_slot(one): "out" for one in passing if not one.board.is_processor}

    def _settings(self) -> _Settings:
        boards = [one.board for one in self.stands]
        processor = next(board for board in boards if board.is_processor)
        return _Settings(boards, min(frame_kb(self.frame), reach_kb(processor, self.catalogue)))

    def _placed(self, one: Stands, settings: _Settings) -> dict[str, Any]:
        placed: dict[str, Any] = {"board": one.board.id}
        if one.board.is_processor:
            asked = [option for option in self.wish.options if one.board.option(option) in ("standard", "socket")]
            if asked:
                placed["options"] = asked
        chosen = settings.of(one.board)
        if one.board.holds_rom:
            roms = self._rom(one.board, chosen)
            if roms:
                placed["roms"] = roms
        if chosen:
            placed["settings"] = chosen
        return placed

    def _rom(self, board: Traits, chosen: dict[str, str]) -> dict[str, Any]:
        boot, block = self.wish.boot, board.entry.rom
        if boot is None or block is None:
            return {}
        window = f"{_IO + max(block.windows):06o}"
        if not boot.image:
            return {window: boot.rom}
        image = self.folder / boot.image
        name = f"media/{image.name}"
        self.files[name] = image
        sidecar = read_sidecar(image)
        if sidecar is not None and sidecar.start is not None and "power-up-redirect" in board.entry.settings:
            chosen |= {"power-up-redirect": "on", "start-from": "high", "start": f"{sidecar.start:06o}"}
        return {window: {"rom": boot.rom, "image": name}}

    def _cables(self) -> list[dict[str, str]]:
        found = []
        lines = [one for one in self.stands if one.board.can_be_console]
        console = next((one for one in lines if one.board.is_always_console), next(iter(lines), None))
        boot = self.wish.boot
        if console is not None:
            line = {"from": self._at(console), "line": str(_console_line(console.board)), "to": "terminal"}
            if "baud" in console.board.entry.settings:
                line["baud"] = _BAUD
            if boot is not None and boot.device in SERIAL and boot.media:
                line["media"] = self._medium(boot.media)
            found.append(line)
        for thing in sorted(self.selection.things, key=lambda one: one.entry):
            if thing.kind == "drives":
                found.append(self._drive(thing.entry))
        return found

    def _drive(self, name: str) -> dict[str, str]:
        drive = self.catalogue.drive(name)
        host = next(one for one in self.stands if drive.controller in one.board.devices)
        cable = {"from": self._at(host), "to": name}
        fitting = [one.entry for one in self.selection.things if one.kind == "cables" and one.entry in drive.cables]
        if fitting:
            cable["cable"] = sorted(fitting)[0]
        boot = self.wish.boot
        if boot is not None and boot.device == drive.controller and boot.media:
            cable["media"] = self._medium(boot.media)
        return cable

    def _medium(self, text: str) -> str:
        path = self.folder / text
        name = f"media/{path.name}"
        self.files[name] = path
        return name

    def _at(self, one: Stands) -> str:
        return f"{_BOXES[one.box]}/a/{one.place}"

    # --- floating addresses and vectors

    def _follow_ranks(self, data: dict[str, Any], wired: Wired) -> bool:
        """Set what the published order of floating addresses and vectors computes; gives whether anything changed."""
        boxes, changed = {box["id"]: box["slots"] for box in data["boxes"]}, False
        for registers in wired.registers:
            board = wired.boards[registers.board]
            placed = boxes[board.place.box][str(board.place).rsplit("/", 1)[1]]
            for name, text in _wanted(registers):
                settings = placed.get("settings", {})
                if name in board.entry.settings and settings.get(name) != text and registers.unit == 0:
                    placed["settings"] = {**settings, name: text}
                    changed = True
        return changed


def _wanted(registers: WiredRegisters) -> list[tuple[str, str]]:
    """Settings that differ from what is computed."""
    found = []
    if isinstance(registers.computed, Known) and peek(registers.base) != registers.computed.peek:
        found.append(("address", f"{_IO + registers.computed.peek:06o}"))
    if isinstance(registers.computed_vector, Known) and peek(registers.vector) != registers.computed_vector.peek:
        found.append(("vector", f"{registers.computed_vector.peek:o}"))
    return found


def _rows(one: Stands) -> str:
    rows = one.place.lstrip("0123456789-")
    return "ABCDEF" if not rows else rows if len(rows) > 2 or rows in ("AB", "CD") else _spread(rows)


def _spread(rows: str) -> str:
    return "".join(chr(code) for code in range(ord(rows[0]), ord(rows[-1]) + 1))


def _slot(one: Stands) -> str:
    return one.place.rstrip("ABCDEF").split("-")[0]


def _console_line(board: Traits) -> int:
    """The number of the line that can be the console: the last group of a board with several, else line 0."""
    groups = [one for one in board.entry.registers if one.device in SERIAL]
    number = 0
    for group in groups:
        if group.at.fixed == CONSOLE or CONSOLE in group.at.choices:
            return number
        number += group.lines
    return 0


def _sizes(boards: Iterable[Traits], most_kb: int) -> Iterator[int]:
    """A size for each memory, in order: the largest total that stays in reach; without one the smallest of each."""
    memories = [board for board in boards if board.sizes_kb]
    totals: dict[int, tuple[int, ...]] = {0: ()}
    for board in memories:
        totals = {
            total + size: (*sizes, size)
            for total, sizes in sorted(totals.items())
            for size in board.sizes_kb
            if total + size <= most_kb
        }
    return iter(totals[max(totals)] if totals else tuple(board.sizes_kb[0] for board in memories))


class _Settings:
    """Switches in the order of the boards: memory starts one behind the other, one console, one clock, no register
    twice."""

    def __init__(self, boards: Iterable[Traits], most_kb: int) -> None:
        boards = list(boards)
        reaches = [board.narrow_kb for board in boards if board.narrow_kb]
        self._sizes = _sizes(boards, min([most_kb, *reaches]))
        self._start_kb = 0
        self._has_console = any(board.is_always_console for board in boards)
        self._has_clock = False
        self._parity = 0
        self._taken = {word for board in boards for word in board.fixed_words}

    def of(self, board: Traits) -> dict[str, str]:
        """The settings of the next board."""
        known, chosen = board.entry.settings, {}
        if board.is_processor and "power-up" in known and "2" in (known["power-up"].values or ("2",)):
            chosen["power-up"] = "2"
        chosen |= self._memory(board, known) | self._line(board, known) | self._clock(board, known)
        return chosen

    def _memory(self, board: Traits, known: Mapping[str, SettingEntry]) -> dict[str, str]:
        if not board.memory_kb:
            return {}
        if "start" not in known:
            self._start_kb += next(self._sizes)
            return {}
        chosen = {"start": f"{self._start_kb * 1024:o}"}
        size = next(self._sizes)
        if "kb" in known:
            chosen["kb"] = str(size)
        self._start_kb += size
        parity = [one for one in board.entry.registers if one.device == "memory-parity"]
        if parity and "address" in known and parity[0].at.choices:
            choices = parity[0].at.choices
            chosen["address"] = f"{_IO + choices[self._parity % len(choices)]:06o}"
            self._parity += 1
        return chosen

    def _line(self, board: Traits, known: Mapping[str, SettingEntry]) -> dict[str, str]:
        if not board.lines:
            return {}
        chosen: dict[str, str] = {}
        is_console = board.can_be_console and not self._has_console
        if "console" in known:
            chosen["console"] = "yes" if is_console else "no"
        alone = sum(one.device in SERIAL for one in board.entry.registers) == 1
        if is_console and alone and "address" in known:
            chosen |= {"address": _CONSOLE, "vector": _CONSOLE_VECTOR} if "vector" in known else {"address": _CONSOLE}
        elif "address" in known:
            chosen |= self._base(board, is_console)
        if "baud" in known and is_console:
            chosen["baud"] = _BAUD
        self._has_console = self._has_console or is_console
        return chosen

    def _base(self, board: Traits, is_console: bool) -> dict[str, str]:
        """The first base at which none of its lines meets another one."""
        groups = [one for one in board.entry.registers if one.device in SERIAL]
        span = sum(peek(one.words, 0) for one in groups)
        for base in groups[0].at.choices:
            words = {base + 2 * word for word in range(span)}
            if base != CONSOLE and not words & self._taken:
                self._taken |= words
                return {"address": f"{_IO + base:06o}"}
        return {}

    def _clock(self, board: Traits, known: Mapping[str, SettingEntry]) -> dict[str, str]:
        """The event line of the processor comes first; a second clock is switched off."""
        if "event-line" in known:
            self._has_clock = True
            return {"event-line": "on"}
        if "clock" not in known or "on" not in known["clock"].values:
            return {}
        gate = any(one.device in CLOCKS and one.vector_count for one in board.entry.registers)
        state = "off" if gate and self._has_clock else "on"
        self._has_clock = self._has_clock or gate
        return {"clock": state}
