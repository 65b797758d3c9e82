"""Tests against a machine: what the pytest plugin gives, apart from the plugin, which stays thin.

`values` are words, memory and text that show themselves in octal; `machines` the machine of a test; `loadouts` where it
comes from; `waiting` runs it until something came; `programs` lays programs into it and calls them; `needs` skips;
`shown` puts into words what a failed assertion compared, `standing` where a machine stands.

The names below are for annotations: `def test_it(machine: MachineUnderTest, console: ConsoleUnderTest) -> None`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.testing.machines import ConsoleUnderTest, MachineUnderTest
    from minisim.testing.programs import Call, Called, Load, Loaded
    from minisim.testing.waiting import RunUntil

_HOMES = {
    "machines": ("ConsoleUnderTest", "MachineUnderTest"),
    "programs": ("Call", "Called", "Load", "Loaded"),
    "waiting": ("RunUntil",),
}
_HOME = {name: module for module, names in _HOMES.items() for name in names}

__all__ = ["Call", "Called", "ConsoleUnderTest", "Load", "Loaded", "MachineUnderTest", "RunUntil"]


def __getattr__(name: str) -> object:
    """A class from its home, when first asked for."""
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
