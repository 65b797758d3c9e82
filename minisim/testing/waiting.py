"""Running a machine until something came; where something else comes first, the test fails and tells where it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import wraps
from typing import TYPE_CHECKING, NoReturn, ParamSpec, TypeVar

import pytest

from minisim.machine.errors import MachineError
from minisim.machine.records import Access, Address, Reason, Stop, Text
from minisim.problems import InputError
from minisim.testing.machines import ConsoleUnderTest
from minisim.testing.standing import standing

if TYPE_CHECKING:
    from minisim.testing.machines import MachineUnderTest

SLICE = 100_000  # instructions between two looks at what was printed
SECONDS = 120.0  # of machine time
Waited = Text | Address | Access
ENDS = (Reason.HALTED, Reason.WAITING, Reason.STUCK)  # what a wait may name beside conditions


_P = ParamSpec("_P")
_T = TypeVar("_T")


def plainly(function: Callable[_P, _T]) -> Callable[_P, _T]:
    """What can't be done fails the test at its own line, with the message and without our lines."""

    @wraps(function)
    def told(*arguments: _P.args, **named: _P.kwargs) -> _T:
        __tracebackhide__ = True
        try:
            return function(*arguments, **named)
        except (ValueError, InputError, MachineError) as error:
            message = str(error)
        raise pytest.fail.Exception(message)

    return told


class RunUntil:
    """What the fixture `run_until` gives."""

    def __init__(self, machine: MachineUnderTest) -> None:
        self._machine = machine

    @plainly
    def __call__(
        self,
        end: str | None = None,
        *,
        text: str | None = None,
        address: int | str | None = None,
        access: int | str | Access | None = None,
        limit: int | None = None,
        seconds: float = SECONDS,
    ) -> Stop:
        """Run until one of these comes: how it stopped.  The test fails where something else comes first.

        `end`: "halted", "waiting" or "stuck".  `text`: printed on the console, and not found by `expect` before.
        `address`: of the next instruction, a number or a symbol.  `access`: an address that the program reads or
        writes, or a `minisim.Access`.  `limit`: instructions (decimal); `seconds`: of machine time.
        """
        __tracebackhide__ = True
        return run_until(self._machine, end, text=text, address=address, access=access, limit=limit, seconds=seconds)


def run_until(
    machine: MachineUnderTest,
    end: str | None = None,
    *,
    text: str | None = None,
    address: int | str | None = None,
    access: int | str | Access | None = None,
    limit: int | None = None,
    seconds: float = SECONDS,
) -> Stop:
    """See RunUntil."""
    __tracebackhide__ = True
    ends = _ends(end)
    conditions = tuple(_conditions(machine, text, address, access))
    if not ends and not conditions:
        raise ValueError("run_until wants something to wait for: an end, text, address or access")
    stop, is_late = run(machine, conditions, limit, seconds)
    if stop.reason is not Reason.REACHED and stop.reason not in ends:
        wanted = [*(f"the end {one}" for one in ends), *map(_told, conditions)]
        instead = late(stop, seconds) if is_late else f"{stop}"
        failed(machine, f"waited for {' or '.join(wanted)}, but: {instead}")
    return stop


def failed(machine: MachineUnderTest, message: str) -> NoReturn:
    """Fail the test with a message, and where the machine stands."""
    __tracebackhide__ = True
    machine.was_shown = True
    pytest.fail("\n".join([message, *standing(machine)]))


def late(stop: Stop, seconds: float) -> str:
    """A run that took too long in machine time."""
    return f"{seconds:g} s of machine time passed, the most it may (seconds=...); next would be {stop.pc:06o}"


def _ends(end: str | None) -> tuple[Reason, ...]:
    if end is None:
        return ()
    if str(end).upper() not in ENDS:
        raise ValueError(f"a run ends {', '.join(one.lower() for one in ENDS)}, not {end!r}; a text is text=...")
    return (Reason(str(end).upper()),)


def _conditions(
    machine: MachineUnderTest, text: str | None, address: int | str | None, access: int | str | Access | None
) -> Iterator[Waited]:
    if text is not None:
        yield Text(text)
    if address is not None:
        yield Address(machine.address_of(address))
    if access is not None:
        yield access if isinstance(access, Access) else Access(machine.address_of(access))


def _told(condition: Waited) -> str:
    if isinstance(condition, Text):
        return f"the text {condition.text!r}"
    if isinstance(condition, Address):
        return f"address {condition.address:06o}"
    return f"an access to {condition.first:06o}"


def run(
    machine: MachineUnderTest, conditions: tuple[Waited, ...], limit: int | None, seconds: float
) -> tuple[Stop, bool]:
    """Like `Machine.run`, but a text that was printed already, or begun, counts too; and: was time up?

    A program that waits runs hardly any instruction, so that time is limited too.
    """
    text = next((one.text for one in conditions if isinstance(one, Text)), "")
    end_ns = machine.time_ns + int(seconds * 1e9)
    session = machine.session(machine.limit if limit is None else limit, conditions)
    came = _came(machine, text)
    while not came and machine.time_ns < end_ns and session.advance(SLICE, until_ns=end_ns):
        came = _came(machine, text)
    stop, came = session.stop(), came or _came(machine, text)
    is_late = session.reason is None and not came
    return (replace(stop, reason=Reason.REACHED) if came else stop), is_late


def _came(machine: MachineUnderTest, text: str) -> bool:
    console = machine.console
    return bool(text) and isinstance(console, ConsoleUnderTest) and text in console.unread
