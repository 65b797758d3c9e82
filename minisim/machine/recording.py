"""Recording of everything that comes into a machine from outside, with the guest time, and its replay.

A recording is a text file of JSON lines.  The first says which machine it is of: loadout, media, state at the start.
Then one line an input, as it came; the last line is the end with the hash of the state.  One that was cut off has no
last line and replays as far as it goes.

An input has a place in the run: instructions (with the due times that did not end a WAIT) and guest time.  A run is the
same however it is cut into slices, so a replay stops there, on whichever core, and does the same.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from minisim.findings import Mark
from minisim.machine.errors import MachineError, RecordingError
from minisim.machine.records import Reason, Stop
from minisim.machine.session import FOR_EVER, SLICE, Session
from minisim.problems import InputError, Problem

if TYPE_CHECKING:
    from minisim.machine.machine import Machine

FORM = 1
LONGEST_LINE = 64_000_000  # a medium that is written through stands in the first line


@dataclass(frozen=True, slots=True)
class Input:
    """One input at its place in the run; `part` is a ring or an act of a device, or a drive (see `apply_input`)."""

    at: int
    time_ns: int
    what: str
    device: int
    part: str
    content: bytes = b""
    on: bool = False
    medium: dict[str, Any] | None = None


@dataclass(frozen=True, slots=True)
class End:
    """How the recorded run ended."""

    at: int
    time_ns: int
    reason: str
    state: str


@dataclass(frozen=True, slots=True)
class Recording:
    """A recording as read; `end` is None where it was cut off.  `media`: see minisim.media.frozen."""

    path: str
    name: str
    sha256: str
    state: str
    media: dict[str, dict[str, Any]]
    inputs: tuple[Input, ...]
    end: End | None


# --- making one -------------------------------------------------------------------------------------------------------


class RecordingWriter:
    """Writes what comes in, line by line, so that a kill leaves all that came before it."""

    def __init__(self, machine: Machine, stream: IO[str]) -> None:
        self._machine, self._stream = machine, stream
        self._line(
            {
                "recording": FORM,
                "name": machine.name,
                "loadout": machine.layout.sha256,
                "profile": machine.profile,
                "state": machine.state_hash(),
                "media": {place: _as_text(medium) for place, medium in _media(machine).items()},
            }
        )

    def note(
        self, what: str, device: int, part: str, content: bytes = b"", *, on: bool = False, medium: Any = None
    ) -> None:
        """An input that comes now."""
        from minisim.media.frozen import frozen_medium

        at, time_ns = place_of(self._machine)
        row: dict[str, Any] = {"at": at, "time_ns": time_ns, "input": what, "device": device, "part": part}
        row |= {"bytes": content.decode("latin-1")} if content else {}
        row |= {"on": True} if on else {}
        row |= {} if medium is None else {"medium": _as_text(frozen_medium(medium), with_path=True)}
        self._line(row)

    def end(self, stop: Stop) -> str:
        """The last line; gives the hash of the state."""
        at, time_ns = place_of(self._machine)
        state = self._machine.state_hash()
        self._line({"end": {"at": at, "time_ns": time_ns, "reason": stop.reason.value, "state": state}})
        return state

    def _line(self, row: dict[str, Any]) -> None:
        self._stream.write(json.dumps(row, ensure_ascii=True) + "\n")
        self._stream.flush()


def place_of(machine: Machine) -> tuple[int, int]:
    """Where a run stands."""
    raw = machine._raw
    return int(raw.instructions + raw.naps), int(raw.time_ns)


def _media(machine: Machine) -> dict[str, dict[str, Any]]:
    from minisim.media.frozen import frozen_medium

    drives = {place: drive.medium for place, drive in machine.drives.items() if drive.medium is not None}
    return {place: frozen_medium(medium) for place, medium in drives.items()}


def _as_text(medium: dict[str, Any], *, with_path: bool = False) -> dict[str, Any]:
    return {
        "path": medium["path"] if with_path else "",
        "geometry": medium["geometry"],
        "bad": medium["bad"],
        "sha256": medium["sha256"],
        "content": _base64(medium["content"]),
        "changed": {str(number): _base64(sector) for number, sector in medium["changed"].items()},
    }


def _base64(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")


# --- reading one ----------------------------------------------------------------------------------------------------


def read_recording(path: str | Path) -> Recording:
    """InputError with the line where it can't be read."""
    rows = list(_rows(str(path)))
    if not rows or rows[0][1].get("recording") != FORM:
        raise _problem(str(path), 1, f"this is no recording of form {FORM}")
    head, inputs, end = rows[0][1], [], None
    for number, row in rows[1:]:
        if end is not None:
            raise _problem(str(path), number, "there is something behind the end")
        try:
            end = End(**row["end"]) if "end" in row else None
            if end is None:
                inputs.append(_input(row))
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            raise _problem(str(path), number, f"this line is no input and no end ({error})") from None
    if any(later.at < one.at or later.time_ns < one.time_ns for one, later in pairwise(inputs)):
        raise _problem(str(path), 1, "the inputs are not in the order of time")
    try:
        media = {str(place): _as_medium(medium) for place, medium in head["media"].items()}
        facts = (str(head["name"]), str(head["loadout"]), str(head["state"]))
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise _problem(str(path), 1, f"the first line lacks something ({error})") from None
    return Recording(str(path), *facts, media, tuple(inputs), end)


def _rows(path: str) -> Iterator[tuple[int, dict[str, Any]]]:
    try:
        with Path(path).open(encoding="ascii") as stream:
            for number, line in enumerate(iter(lambda: stream.readline(LONGEST_LINE), ""), 1):
                if not line.endswith("\n"):
                    return  # cut off in the middle of a line
                row = json.loads(line)
                if not isinstance(row, dict):
                    raise ValueError("no object")
                yield number, row
    except OSError as error:
        raise _problem(path, 1, f"can't be read: {error.strerror or error}") from None
    except ValueError as error:
        raise _problem(path, 1, f"this is no recording ({error})") from None


def _input(row: dict[str, Any]) -> Input:
    content, medium = row.get("bytes", "").encode("latin-1"), row.get("medium")
    numbers = row["at"], row["time_ns"], row["device"]
    if any(type(number) is not int or number < 0 for number in numbers):
        raise ValueError("a count is expected")
    on, put_in = bool(row.get("on", False)), None if medium is None else _as_medium(medium)
    return Input(numbers[0], numbers[1], str(row["input"]), numbers[2], str(row["part"]), content, on, put_in)


def _as_medium(data: dict[str, Any]) -> dict[str, Any]:
    changed = {int(number): base64.b64decode(sector) for number, sector in data["changed"].items()}
    return {**data, "changed": changed, "content": base64.b64decode(data["content"])}


def _problem(path: str, line: int, message: str) -> InputError:
    return InputError([Problem(Mark(path, line, 1), message)])


# --- replaying one --------------------------------------------------------------------------------------------------


def replay(
    machine: Machine, recording: Recording, limit: int = FOR_EVER, after: Callable[[], None] = lambda: None
) -> Stop:
    """Run the recording on a machine that was built for it.

    `limit` counts instructions; `after` is called after each slice.

    RecordingError: the machine is another one, or it does not do what was recorded.
    """
    if machine.state_hash() != recording.state:
        raise RecordingError("the machine is not as it was when the recording began: loadout, media or models differ")
    session = Session(machine, limit)
    for one in recording.inputs:
        if not _advance(session, machine, one.at, one.time_ns, after):
            return session.stop()
        apply_input(machine, one)
    if recording.end is not None and _advance(session, machine, recording.end.at, recording.end.time_ns, after):
        _finish(session, recording.end)
    return session.stop()


def _advance(session: Session, machine: Machine, at: int, time_ns: int, after: Callable[[], None]) -> bool:
    """To a place of the run; False where the limit came before it."""
    while (here := place_of(machine))[0] < at:
        session.advance(min(at - here[0], SLICE))
        after()
        if session.reason is Reason.LIMIT:
            return False
        if place_of(machine) == here:
            raise RecordingError(f"the run stands still after {here[0]} instructions; the recording goes on")
    while (here := place_of(machine))[1] < time_ns:
        session.advance(1, until_ns=time_ns)
        if place_of(machine)[0] != at or place_of(machine) == here:
            raise RecordingError(f"the run goes another way after {at} instructions")
    if place_of(machine) != (at, time_ns):
        raise RecordingError(f"after {at} instructions the guest time is {machine.time_ns} ns, recorded {time_ns}")
    return True


def _finish(session: Session, end: End) -> None:
    """The reason it ended, where the machine itself ended it: that takes no further instruction."""
    if session.reason is None and end.reason in (Reason.HALTED, Reason.WAITING, Reason.STUCK):
        session.advance(0)


def apply_input(machine: Machine, one: Input) -> None:
    """Do what was done then.  RecordingError: this machine has not what it was done to."""
    from minisim.media.frozen import FrozenMediumError, thawed_medium

    if one.what in ("processor", "memory"):
        _apply_to_processor(machine, one)
        return
    if one.device >= len(machine.layout.devices):
        raise RecordingError(f"the recording speaks of device {one.device}; this machine has fewer")
    device, inputs = machine.layout.devices[one.device], machine._inputs
    try:
        if one.what == "feed":
            inputs.feed(device, one.part, one.content)
        elif one.what == "take back":
            inputs.take_back(device, one.part)
        elif one.what == "act":
            inputs.act(device, one.part)
        elif one.what == "put in" and one.medium is not None:
            machine.drives.put(one.part, thawed_medium(one.medium))
        elif one.what == "take out":
            machine.drives.take_out(one.part)
        elif one.what == "protect":
            machine.drives.protect(one.part, one.on)
        else:
            raise RecordingError(f'the recording has an input "{one.what}" that is not known here')
    except (KeyError, FrozenMediumError) as error:
        raise RecordingError(f'the input "{one.what}" of {one.part} can\'t be repeated: {error}') from None


def _apply_to_processor(machine: Machine, one: Input) -> None:
    """A switch or key of the processor, or what the host has written into it or into memory."""
    from minisim.machine.panel import repeat

    try:
        if one.what == "memory":
            first = int(one.part, 8)
            machine.memory[first : first + len(one.content)] = one.content
        else:
            repeat(machine, one.part, int(one.content, 8))
    except (ValueError, IndexError, MachineError) as error:
        raise RecordingError(f'the input "{one.part}" of the processor can\'t be repeated: {error}') from None
