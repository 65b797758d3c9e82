"""What can go wrong with a machine, each with a message that says what to do."""

from __future__ import annotations

from minisim.findings import Finding


class MachineError(Exception):
    """A machine can't do what was asked."""


class BusTimeout(MachineError):  # noqa: N818  the public API of the design names it so
    """Nobody answers at an address of the bus."""


class NotFittedError(MachineError):
    """The machine has no such part: a console, a floating point processor, memory at an address."""


class NotBuildableError(MachineError):
    """A loadout can't be built; `findings` says why."""

    def __init__(self, message: str, findings: tuple[Finding, ...] = ()) -> None:
        super().__init__(message)
        self.findings = findings


class RecordingError(MachineError):
    """A recording is of another machine, or a machine does not do what was recorded."""


class TimelineError(MachineError):
    """A machine can't go to an earlier or later moment; it stays where it is."""


class FrozenStateError(ValueError):
    """Data that is no frozen machine, or a damaged one, or one of another version."""
