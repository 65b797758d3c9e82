"""pytest plugin: tests against a machine.

    pytest --minisim-loadout FILE

Fixtures: `machine`, `console`, `run_until`, `load`, `call`; markers: `loadout`, `bare`, `needs`.  How to use them:
docs/how-to/test-with-pytest.md.  Nothing else of minisim is imported before a test asks for it; what they do is in
minisim/testing/.
"""

from __future__ import annotations

import sys
from collections.abc import Generator, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from minisim.testing.machines import ConsoleUnderTest, MachineUnderTest
    from minisim.testing.programs import Call, Load
    from minisim.testing.waiting import RunUntil

MARKERS = (
    'loadout(file, allow=["fault"]): the machine of this test is that of another loadout, a file beside the test',
    "bare(profile=..., options=[...], memory=...): the machine of this test is a processor with memory alone",
    'needs(module, ..., device=...): skip the test where its machine lacks a module ("fpp") or a device ("line-clock")',
)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Options of the command line and of the ini file."""
    group = parser.getgroup("minisim", "machines of minisim")
    group.addoption("--minisim-loadout", metavar="FILE", help="the loadout whose machine the tests run on")
    core = "which of the two cores runs it: fast (the usual) or reference"
    group.addoption("--minisim-core", choices=("fast", "reference"), default="fast", help=core)
    parser.addini("minisim_loadout", "the same as --minisim-loadout, from the folder of this file", default="")
    parser.addini("minisim_limit", "instructions of a wait that names no limit (decimal)", default="")


def pytest_configure(config: pytest.Config) -> None:
    """Markers; and the file that was named must be there."""
    for marker in MARKERS:
        config.addinivalue_line("markers", marker)
    given = config.getoption("minisim_loadout")
    if given is not None:
        path = config.invocation_params.dir / given
        if not path.is_file():
            raise pytest.UsageError(f"--minisim-loadout: there is no file {path}")
        config.option.minisim_loadout = str(path)  # processes of xdist may start elsewhere


def pytest_report_header(config: pytest.Config) -> str | None:
    """The loadout that was named, and the core."""
    given = config.getoption("minisim_loadout") or config.getini("minisim_loadout")
    return f"minisim: {given}, {config.getoption('minisim_core')} core" if given else None


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip what needs something that is not fitted."""
    if item.get_closest_marker("needs") is not None:
        from minisim.testing.loadouts import NoMachineError
        from minisim.testing.needs import check

        try:
            check(item)
        except NoMachineError as error:
            raise pytest.fail.Exception(str(error), pytrace=False) from None


@pytest.fixture
def machine(request: pytest.FixtureRequest) -> Iterator[MachineUnderTest]:
    """The machine of this test, switched on: a `minisim.Machine` whose media are copies in memory."""
    from minisim.testing.loadouts import NoMachineError, machine_for

    try:
        made = machine_for(request.node)
    except NoMachineError as error:
        raise pytest.fail.Exception(str(error), pytrace=False) from None
    with made:
        yield made


@pytest.fixture
def console(machine: MachineUnderTest) -> ConsoleUnderTest:
    """Its console line: `type`, `expect`, `text`."""
    if not machine.has_console:
        pytest.fail("this machine has no console line", pytrace=False)
    return machine.console  # type: ignore[return-value]


@pytest.fixture
def run_until(machine: MachineUnderTest) -> RunUntil:
    """Runs it until a text, an address, an access or an end comes."""
    from minisim.testing.waiting import RunUntil

    return RunUntil(machine)


@pytest.fixture
def load(machine: MachineUnderTest, request: pytest.FixtureRequest) -> Load:
    """Lays an assembler source or a Program into its memory, and gives the symbols."""
    from minisim.testing.programs import Load

    return Load(machine, Path(request.path).parent)


@pytest.fixture
def call(machine: MachineUnderTest) -> Call:
    """Calls a subroutine in its memory until the RTS PC, and gives what it left."""
    from minisim.testing.programs import Call

    return Call(machine)


def pytest_assertrepr_compare(config: pytest.Config, op: str, left: object, right: object) -> list[str] | None:
    """Registers, codes, memory and console text of a failed comparison, in octal and in words."""
    if "minisim.testing.values" not in sys.modules:
        return None
    from minisim.testing.shown import explanation

    return explanation(op, left, right, whole=config.get_verbosity() > 1)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Behind a failed test: where its machine stands."""
    report = yield
    made: Any = getattr(item, "funcargs", {}).get("machine") if report.when == "call" and report.failed else None
    if made is not None and "minisim.testing.machines" in sys.modules:
        from minisim.testing.machines import MachineUnderTest
        from minisim.testing.standing import standing

        if isinstance(made, MachineUnderTest) and made.instructions and not made.was_shown:
            report.sections.append(("the machine", "\n".join(standing(made))))
    return report
