"""Addresses in the I/O page that the processor itself answers, by its profile and the options fitted.

PS: addressing-faq; MMU status: mmu-registers-page; the rest from memory of the handbooks, firm.  Only what a profile
tells of: cache, error and maintenance registers differ from one processor to the next and are not listed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from minisim.catalogue.model import Profile
from minisim.known import Known


@dataclass(frozen=True, slots=True)
class ProcessorRegisters:
    """A run of registers: I/O-page offset, 16-bit words, what they are."""

    base: int
    words: int
    what: str


_Has = Callable[[Profile, frozenset[str]], bool]


def _flag(profile: Profile, flag: str, part: str = "") -> str:
    """The documented value of a flag, or nothing."""
    found = profile.flags.get(flag)
    value = found.value if found else None
    if isinstance(value, dict) or hasattr(value, "get"):
        value = value.get(part)  # type: ignore[union-attr]  # a row that holds several yes/no facts
    return value.peek if isinstance(value, Known) else ""


def _ps(profile: Profile, _options: frozenset[str]) -> bool:
    return _flag(profile, "ps_access") in ("address", "both")


def _switches(profile: Profile, _options: frozenset[str]) -> bool:
    return isinstance(profile.console, Known) and profile.console.peek in ("switches", "both")


def _mmu(_profile: Profile, options: frozenset[str]) -> bool:
    return "mmu" in options


def _status_3(profile: Profile, options: frozenset[str]) -> bool:
    return _mmu(profile, options) and any(
        _flag(profile, "mmr3", part) == "yes" for part in ("d_space", "map_and_22bit", "csm")
    )


def _data_space(profile: Profile, options: frozenset[str]) -> bool:
    return _mmu(profile, options) and _flag(profile, "mmr3", "d_space") == "yes"


def _supervisor(profile: Profile, options: frozenset[str]) -> bool:
    return _mmu(profile, options) and isinstance(profile.modes, Known) and profile.modes.peek == 3


def _supervisor_data(profile: Profile, options: frozenset[str]) -> bool:
    return _supervisor(profile, options) and _data_space(profile, options)


def _stack_limit(profile: Profile, _options: frozenset[str]) -> bool:
    return _flag(profile, "stack_limit") == "register"


def _general(profile: Profile, _options: frozenset[str]) -> bool:
    return _flag(profile, "general_register_addresses") == "program"


_ROWS: tuple[tuple[int, int, str, _Has], ...] = (
    (0o12200, 8, "supervisor page descriptors", _supervisor),
    (0o12220, 8, "supervisor page descriptors, data", _supervisor_data),
    (0o12240, 8, "supervisor page addresses", _supervisor),
    (0o12260, 8, "supervisor page addresses, data", _supervisor_data),
    (0o12300, 8, "kernel page descriptors", _mmu),
    (0o12320, 8, "kernel page descriptors, data", _data_space),
    (0o12340, 8, "kernel page addresses", _mmu),
    (0o12360, 8, "kernel page addresses, data", _data_space),
    (0o12516, 1, "MMU status 3", _status_3),
    (0o17570, 1, "console switches", _switches),
    (0o17572, 3, "MMU status 0 to 2", _mmu),
    (0o17600, 8, "user page descriptors", _mmu),
    (0o17620, 8, "user page descriptors, data", _data_space),
    (0o17640, 8, "user page addresses", _mmu),
    (0o17660, 8, "user page addresses, data", _data_space),
    (0o17700, 8, "general registers", _general),
    (0o17774, 1, "stack limit", _stack_limit),
    (0o17776, 1, "PS", _ps),
)


def processor_registers(profile: Profile, options: Iterable[str]) -> tuple[ProcessorRegisters, ...]:
    """What the processor of this profile answers with these options, by address."""
    fitted = frozenset(options)
    return tuple(ProcessorRegisters(base, words, what) for base, words, what, has in _ROWS if has(profile, fitted))
