"""minisim: plans, checks and boots 16-bit octal minicomputers from the boards you own.

Everything a user imports is here.  The functions import what they need when they are called, so that `import minisim`
costs next to nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.catalogue.reader import Catalogue
    from minisim.cpu.assembler import Program
    from minisim.cpu.disassembler import Line
    from minisim.cpu.profile import ProfileError
    from minisim.findings import Finding, Outcome, Report, Severity
    from minisim.loadout.model import Loadout, LoadoutError
    from minisim.machine.errors import (
        BusTimeout,
        FrozenStateError,
        MachineError,
        NotBuildableError,
        NotFittedError,
    )
    from minisim.machine.machine import Machine
    from minisim.machine.records import (
        Access,
        Address,
        All,
        Counters,
        Reason,
        RegisterHolds,
        Stop,
        Text,
        Timing,
        TrapTaken,
    )
    from minisim.machine.steps import Floats, Registers, Step, StepAccess, StepOperand
    from minisim.plan.planner import Plan
    from minisim.plan.wishes import Wishes
    from minisim.problems import InputError, Problem
    from minisim.stock.model import Stock

# Names that users need beside the functions, and where each lives.
_HOMES = {
    "minisim.cpu.assembler": ("Program",),
    "minisim.cpu.disassembler": ("Line",),
    "minisim.cpu.profile": ("ProfileError",),
    "minisim.findings": ("Finding", "Outcome", "Report", "Severity"),
    "minisim.loadout.model": ("Loadout", "LoadoutError"),
    "minisim.machine.errors": ("BusTimeout", "FrozenStateError", "MachineError", "NotBuildableError", "NotFittedError"),
    "minisim.machine.machine": ("Machine",),
    "minisim.machine.records": (
        "Access", "Address", "All", "Counters", "Reason", "RegisterHolds", "Stop", "Text", "Timing", "TrapTaken",
    ),
    "minisim.machine.steps": ("Floats", "Registers", "Step", "StepAccess", "StepOperand"),
    "minisim.plan.planner": ("Plan",),
    "minisim.plan.wishes": ("Wishes",),
    "minisim.problems": ("InputError", "Problem"),
    "minisim.stock.model": ("Stock",),
}  # fmt: skip
_HOME = {name: module for module, names in _HOMES.items() for name in names}

__all__ = [
    "Access",
    "Address",
    "All",
    "BusTimeout",
    "Counters",
    "Finding",
    "Floats",
    "FrozenStateError",
    "InputError",
    "Line",
    "Loadout",
    "LoadoutError",
    "Machine",
    "MachineError",
    "NotBuildableError",
    "NotFittedError",
    "Outcome",
    "Plan",
    "Problem",
    "ProfileError",
    "Program",
    "Reason",
    "RegisterHolds",
    "Registers",
    "Report",
    "Severity",
    "Step",
    "StepAccess",
    "StepOperand",
    "Stock",
    "Stop",
    "Text",
    "Timing",
    "TrapTaken",
    "Wishes",
    "assemble",
    "bare",
    "build",
    "check",
    "disassemble",
    "make_plan",
    "read_loadout",
    "read_stock",
    "read_wishes",
    "thaw",
]


def __getattr__(name: str) -> object:
    """Records and errors, from their homes, when first asked for."""
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_HOME[name]), name)


def read_loadout(path: str | Path) -> Loadout:
    """Read a loadout file.  LoadoutError lists every problem of the file with its line and column."""
    from minisim.loadout.reader import read_loadout as read

    return read(Path(path))


def check(loadout: Loadout, *, catalogue: Catalogue | None = None) -> Report:
    """Check a loadout with all rules: `.findings` worst first, `.outcomes` of every rule for every subject,
    `.worst`.
    """
    from minisim.checking import check as checked

    return checked(loadout, catalogue)


def read_stock(path: str | Path, *, catalogue: Catalogue | None = None) -> Stock:
    """Read a list of what is there: .csv, .xlsx or .ods, with whatever columns it has.

    `.rows` has every row with what was understood and what was not; InputError where it can't be used as a list.
    """
    from minisim.stock.reader import read_stock as read

    return read(path, catalogue=catalogue)


def read_wishes(path: str | Path, *, catalogue: Catalogue | None = None) -> Wishes:
    """Read a file of wishes.  InputError lists every problem of the file with its line and column."""
    from minisim.catalogue import Catalogue as Entries
    from minisim.plan.wishes import read_wishes as read
    from minisim.plan.words import words_of

    return read(path, words_of((catalogue or Entries()).beside(path)))


def make_plan(stock: Stock, wishes: Wishes, *, seconds: float = 60, catalogue: Catalogue | None = None) -> Plan:
    """Divide a stock among wishes: `.machines` that stand, wishes still `.open`, what is `.left`, `.choice.proven`.

    After `seconds` the best found so far is given, not proven; NoAnswerError where nothing was found by then.
    """
    from minisim.catalogue import Catalogue as Entries
    from minisim.plan.planner import plan

    entries = (catalogue or Entries()).beside(stock.file).beside(wishes.file)
    return plan(stock, wishes, entries, seconds=seconds)


def build(
    loadout: Loadout, *, allow: Iterable[str] = (), write_through: bool = False, catalogue: Catalogue | None = None
) -> Machine:
    """Make the running machine of a loadout, switched on and ready to run at its boot address.

    It is checked first.  Damage findings are always refused; fault findings too, unless `allow` holds "fault".
    NotBuildableError carries the findings; LoadoutError names a medium or ROM that can't be read.

    What the machine writes to its media is kept apart from the images, unless `write_through`.  `close()` the machine,
    or use it in a `with` block: until then no other one can use its media.
    """
    from minisim.machine.build import build as built

    return built(loadout, allow=allow, write_through=write_through, catalogue=catalogue)


def replay(
    loadout: Loadout, recording: str | Path, *, core: str = "fast", limit: int | None = None
) -> tuple[Machine, Stop]:
    """Run a recording (`minisim boot --record`) again: the machine as it ends, and how.

    Its media are copies in memory.  InputError: no recording; LoadoutError: a medium is another one now; RecordingError
    (a MachineError): the machine is another one, or does not do what was recorded.  Compare `machine.state_hash()`
    with the end of the recording.
    """
    from minisim.machine.build import build as built
    from minisim.machine.recording import read_recording
    from minisim.machine.recording import replay as again
    from minisim.machine.session import FOR_EVER

    read = read_recording(recording)
    machine = built(loadout, allow=("fault",), recorded=read.media)
    machine.core = core
    return machine, again(machine, read, FOR_EVER if limit is None else limit)


def bare(profile: str = "late-ttl-commercial", options: Iterable[str] | None = None, memory: int = 0o160000) -> Machine:
    """Make a processor with `memory` bytes from address 0 and nothing else, for trials.

    `options` names what is fitted beside the standard ones (eis, fis, fpp, cis, mmu, map); None is every one
    the profile can have, as far as it is built.  ProfileError: no such profile, or an option it can't have.
    """
    from minisim.machine.bare import bare as made

    return made(profile, options, memory)


def thaw(data: bytes) -> Machine:
    """The machine that `Machine.freeze` gave.  FrozenStateError: foreign, damaged, or of another version."""
    from minisim.machine.frozen import thaw as thawed

    return thawed(data)


def assemble(source: str) -> Program:
    """Assemble a text; its errors come all at once, each with line and column."""
    from minisim.cpu.assembler import assemble as assembled

    return assembled(source)


def disassemble(words: Sequence[int], at: int = 0) -> list[Line]:
    """Words that lie from the even address `at` on, as lines with `.words` and `.text`."""
    from minisim.cpu.disassembler import disassemble as disassembled

    return disassembled(words, at)
