"""A catalogue profile and the options fitted, turned into what the core reads.

The flags go by name and word; the core knows both (core/flags.h) and refuses what it does not know.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from minisim.catalogue.model import Profile
from minisim.catalogue.reader import Catalogue
from minisim.catalogue.times import InstructionTimes
from minisim.cpu._core import ffi, lib
from minisim.cpu.times import TimesError, table
from minisim.known import Figure, Known
from minisim.problems import nearest

NOT_APPLICABLE = "not_applicable"
RESET_NS = 10_000_000  # 10 to 20 ms on older machines (unconfirmed)
ASSUMED_NS = 3000  # an instruction of a processor whose speed nobody printed (design: 3 us, said to be assumed)
BUS_MAP = "map"
STACK_LIMIT = "stack-limit"  # the settable limit that one row gives as an option (D24)

DEBUGGERS = ("first-chip-set", "later")  # in the order of ms_octal_kind, from 1

NOT_MODELLED = (
    "Power failure: the trap through 24 never comes, and row D13 shows nowhere.",
    "Memory parity: the trap through 114 never comes.",
    "The octal console in microcode: its loader (L), its binary dump for a test host (code 023), and what its keys do "
    "beyond what the manuals in the bibliography say.",
    "The console processor with its prompt of three characters: it halts and continues, and has no other commands.",
    "Lamps of a panel beyond address, data and run, and the switch for single cycles.",
    "Instructions whose time is not printed: they take the average of a published mix, a time by their memory cycles, "
    "or an assumed one, as `timing` of the machine says.",
    "Times that depend on operands or on a cache: MUL, DIV and floating point take one printed time each, of a range "
    "its middle, or where none is printed that of other instructions; shifts take one whatever their count; everything "
    "is in the cache.",
    "Times of commercial instructions: nobody printed them; eight bytes of a string count as one more average "
    "instruction (assumed).",
    "Maintenance codes: where a processor has them they do nothing.",
)


class ProfileError(ValueError):
    """A profile or an option that can't be had; the message says what can."""


@dataclass(frozen=True, slots=True)
class Flag:
    """One row of the table of differences as the core knows it: legal words, or the facts it holds (each yes or no)."""

    row: str
    name: str
    words: tuple[str, ...]
    is_facts: bool


@dataclass(frozen=True, slots=True)
class Timing:
    """Time of an instruction: what `table` says; else base + cycle x memory cycles beyond the fetch, in ns."""

    base_ns: int
    cycle_ns: int
    assumed: bool  # nobody printed it
    reset_ns: int  # how long RESET holds bus initialise
    rest: str  # what base and cycle are: cycle table, average, model or assumed
    table: InstructionTimes | None = None  # printed times of instructions

    @property
    def basis(self) -> str:
        """How the times are known: instruction table, cycle table, average or assumed."""
        return "instruction table" if self.table else self.rest


@dataclass(frozen=True, slots=True)
class Configuration:
    """A processor ready to be put into a machine."""

    profile: str
    options: frozenset[str]
    modules: int  # bit set of module numbers: all that is fitted
    timing: Timing
    raw: Any = field(compare=False, repr=False)  # ms_profile *
    raw_times: Any = field(default=ffi.NULL, compare=False, repr=False)  # ms_times *, or NULL

    @property
    def option_bits(self) -> int:
        """The options as the core takes them."""
        return _bits(self.options)


@cache
def flags() -> tuple[Flag, ...]:
    """The 53 rows as the core knows them."""
    found: list[Flag] = []
    while (row := lib.ms_flag_at(len(found))) != ffi.NULL:
        words = tuple(_text(word) for word in row.words if word != ffi.NULL)
        found.append(Flag(_text(row.id), _text(row.flag), words, bool(row.is_facts)))
    return tuple(found)


def available(profile: Profile) -> Mapping[str, str]:
    """The options the profile can have: name -> standard, or option (also where it is not known)."""
    words = {name: figure.peek if isinstance(figure, Known) else "option" for name, figure in profile.options.items()}
    if profile.model("stack_limit") == "fixed_400_register_option":
        words[STACK_LIMIT] = "option"
    return {name: word for name, word in words.items() if word != "never"}


def fitted(profile: Profile, options: Iterable[str] | None = None) -> frozenset[str]:
    """Standard options and those named; None: every one.  ProfileError for one the profile can't have."""
    possible = available(profile)
    if options is None:
        return frozenset(possible)
    wanted = set(options)
    for name in sorted(wanted - set(possible)):
        can = ", ".join(sorted(possible)) or "none"
        raise ProfileError(f"{profile.id} can't have option {name!r}{nearest(name, possible)} (it can have: {can})")
    return frozenset(wanted | {name for name, word in possible.items() if word == "standard"})


def timing(profile: Profile) -> Timing:
    """The table of printed times; for the rest, and where there is none, the cycle table, else the average, else an
    assumption.
    """
    reset = profile.reset.peek if isinstance(profile.reset, Known) else RESET_NS
    times = profile.times
    if times and times.rest:
        return Timing(times.rest.ns, times.rest_cycle.ns if times.rest_cycle else 0, False, reset, "model", times)
    if profile.cycle_table is not None:
        cycles = profile.cycle_table
        return Timing(cycles.base_ns, cycles.cycle_ns, False, reset, "cycle table", times)
    if profile.average_ns is not None:
        return Timing(profile.average_ns, 0, False, reset, "average", times)
    return Timing(ASSUMED_NS, 0, True, reset, "assumed", times)


@cache
def named(name: str) -> Profile:
    """A profile of the catalogue.  ProfileError: there is no such one."""
    catalogue = Catalogue()
    if not catalogue.has("profiles", name):
        known = catalogue.ids("profiles")
        raise ProfileError(f"no processor profile {name!r}{nearest(name, known)}")
    return catalogue.profile(name)


def configuration(profile: Profile | str, options: Iterable[str] | None = None) -> Configuration:
    """What the core needs to be this processor with these options fitted."""
    profile = named(profile) if isinstance(profile, str) else profile
    chosen = fitted(profile, options)
    raw = _raw(profile)
    modules, time = int(lib.ms_fitted(raw, _bits(chosen))), timing(profile)
    return Configuration(profile.id, chosen, modules, time, raw, _raw_times(profile.id, time))


def _raw_times(profile: str, time: Timing) -> Any:
    """ms_times *; NULL where only base and cycle are known."""
    if time.table is None:
        return ffi.NULL
    try:
        return table(time.table, time.base_ns, time.cycle_ns)
    except TimesError as error:
        raise ProfileError(f"{profile}: {error}") from None


def unbuilt(chosen: Configuration) -> tuple[str, ...]:
    """The options fitted of which the core has not one instruction yet."""
    records = (lib.ms_records()[number] for number in range(1, lib.ms_record_count()))
    built = {_text(lib.ms_module_word(record.module)) for record in records} | {STACK_LIMIT, BUS_MAP}
    return tuple(sorted(chosen.options - built))


def _raw(profile: Profile) -> Any:
    raw = ffi.new("ms_profile *")
    for flag in profile.flags.values():
        _set(raw, profile.id, flag.name, flag.model)
    raw.modes = profile.modes.peek if isinstance(profile.modes, Known) else 1
    raw.processor_type = profile.processor_type.peek if isinstance(profile.processor_type, Known) else 0
    raw.no_red_zone = _is(profile.red_zone, "no")
    raw.user_limit = _is(profile.user_stack_limit, "yes")
    raw.only_movb_reads = _is(profile.mov_reads_first, "byte")
    raw.parallel_float = _is(profile.fpp_unit, "parallel")
    raw.debugger = _debugger(profile)
    raw.debugger_bits = _debugger_bits(profile)
    return raw


def _debugger(profile: Profile) -> int:
    """The octal console in microcode, as the core numbers them; 0: none."""
    figure = profile.debugger
    return DEBUGGERS.index(figure.peek) + 1 if isinstance(figure, Known) and figure.peek in DEBUGGERS else 0


def _debugger_bits(profile: Profile) -> int:
    """Width of its addresses; where nobody says, that of the processor."""
    figures = (profile.debugger_address_bits, profile.address_bits)
    return next((figure.peek for figure in figures if isinstance(figure, Known)), 16)


def _is(figure: Figure[str], word: str) -> int:
    """1 where the figure is known to be this word."""
    return int(isinstance(figure, Known) and figure.peek == word)


def _set(raw: Any, profile: str, flag: str, model: str | Mapping[str, str]) -> None:
    if model == NOT_APPLICABLE:
        return
    if isinstance(model, str):
        done = lib.ms_profile_word(raw, flag.encode(), model.encode())
    else:
        facts = [lib.ms_profile_fact(raw, flag.encode(), fact.encode(), _yes(word)) for fact, word in model.items()]
        done = min(facts, default=0)
    if done:
        raise ProfileError(f"{profile}: the core does not know {flag} {model}")


def _yes(word: str) -> int:
    if word not in ("yes", "no"):
        raise ProfileError(f"yes or no is expected, not {word!r}")
    return int(word == "yes")


@cache
def _module_bits() -> dict[str, int]:
    """Option name -> bit, for the modules that are options."""
    words: list[str] = []
    while (word := lib.ms_module_word(len(words))) != ffi.NULL:
        words.append(_text(word))
    return {word: 1 << number for number, word in enumerate(words)}


def _bits(options: Iterable[str]) -> int:
    return sum(_module_bits()[name] for name in options)


def _text(chars: Any) -> str:
    return str(ffi.string(chars).decode("ascii"))
