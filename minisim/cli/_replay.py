"""Recording a run and running it again: the part of `minisim boot` for --record and --replay."""

from __future__ import annotations

import argparse
import contextlib
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.findings import Mark
from minisim.problems import InputError, Problem

if TYPE_CHECKING:
    from minisim.loadout.model import Loadout
    from minisim.machine.machine import Machine
    from minisim.machine.recording import Recording
    from minisim.machine.records import Stop


@contextlib.contextmanager
def recorded(machine: Machine, path: str | None) -> Iterator[Callable[[Stop], None]]:
    """Record into a new file until the end is told; without a path nothing is recorded.  InputError: no such file."""
    if path is None:
        yield lambda stop: None
        return
    from minisim.machine.recording import RecordingWriter

    try:
        stream = Path(path).open("x", encoding="ascii")  # noqa: SIM115  closed below; never an earlier recording
    except OSError as error:
        message = "is there already" if isinstance(error, FileExistsError) else error.strerror or str(error)
        raise InputError([Problem(Mark(path, 1, 1), f"no recording can be made here: {message}")]) from None
    with stream:
        writer = RecordingWriter(machine, stream)
        machine._inputs.recorder = writer
        try:
            yield lambda stop: print(f"{path}: state {writer.end(stop)}", file=sys.stderr)
        finally:
            machine._inputs.recorder = None


def run_again(loadout: Loadout, arguments: argparse.Namespace) -> int:
    """Replay; 0 it ended in the recorded state, 1 in another one or before the end, 2 it can't be said."""
    from minisim.cli.boot import built, heading, say
    from minisim.machine.recording import read_recording

    forbidden = ("until", "typed", "feed", "record", "pace")
    if any(getattr(arguments, name) is not None for name in forbidden) or arguments.write_through:
        print("--replay repeats what was recorded: nothing can be typed or written beside it", file=sys.stderr)
        return 2
    recording = read_recording(arguments.replay)
    if recording.sha256 != loadout.sha256:
        say(f"{arguments.replay}: recorded with another {recording.name} ({recording.sha256[:12]})")
    machine = built(loadout, arguments, recording.media)
    if machine is None:
        return 2
    with machine:
        machine.core = arguments.core
        say(heading(loadout, machine))
        return again(loadout, machine, recording, arguments)


def again(loadout: Loadout, machine: Machine, recording: Recording, arguments: argparse.Namespace) -> int:
    """Run, show what is printed, compare."""
    from minisim.cli._trace import traced
    from minisim.cli.boot import Output, say
    from minisim.machine.errors import RecordingError
    from minisim.machine.recording import replay
    from minisim.machine.session import FOR_EVER

    output = Output(machine, arguments)
    limit = FOR_EVER if arguments.limit is None else arguments.limit
    try:
        with traced(machine, arguments) as end:
            stop = replay(machine, recording, limit, output.take)
            end(stop)
    except RecordingError as error:
        output.take()
        say(f"{arguments.replay}: {error}")
        return 2
    output.take()
    if output.kept is None:
        say(("\n" if output.open_line else "") + f"{loadout.file}: {stop}")
    state, code, sentence = verdict(machine, recording)
    if output.kept is None:
        say(f"{arguments.replay}: {sentence}")
    else:
        from minisim.cli.boot import as_data, print_data

        print_data(as_data(loadout, machine, stop, bytes(output.kept), code) | {"state": state, "verdict": sentence})
    return code


def verdict(machine: Machine, recording: Recording) -> tuple[str, int, str]:
    """The hash of the state, the exit code, and a sentence."""
    from minisim.machine.recording import place_of

    state, end = machine.state_hash(), recording.end
    if end is None:
        return state, 2, f"the recording was cut off; the state here is {state}"
    if place_of(machine) != (end.at, end.time_ns):
        return state, 1, f"the limit came before the end of the recording; the state here is {state}"
    if state != end.state:
        return state, 1, f"the state at the end is {state}, recorded {end.state}"
    return state, 0, f"ended as recorded, state {state}"
