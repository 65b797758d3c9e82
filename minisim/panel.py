"""The front panel as a conversation: a line says what a hand does, the answer says what the lamps show.

The words are those of the trade, in sentence case; the switches are set by writing the number behind the word.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from minisim.machine.errors import BusTimeout, NotFittedError
from minisim.machine.machine import Machine
from minisim.machine.panel import Lamps, Panel

T = TypeVar("T")
HELP = """\
switches 012700          set the switches
load address 001000      the switches into the address lamps (the number sets the switches first)
examine                  look at the word there; once more: at the next one
deposit 012700 000005    the switches into memory, one word after the other
start, continue          run from the address lamps; go on at the program counter
single instruction       one instruction, then halt
halt, enable             the halt switch
look                     registers
leave                    leave the machine"""


class PanelProblem(Exception):  # noqa: N818  # an answer, no failure
    """A line that can't be done; the message says why."""


@dataclass(slots=True)
class PanelDialog:
    """One panel; `do` takes a line and gives what is to be shown."""

    machine: Machine
    panel: Panel = field(init=False)
    runs: bool = False  # the processor is to run now
    left: bool = False
    switches: int = 0
    run_one: Callable[[], object] | None = None  # how one instruction is run, where it is not `Machine.run`

    def __post_init__(self) -> None:
        self.panel = Panel(self.machine)

    def halted(self) -> str:
        """The lamps after the processor has halted."""
        self.runs = False
        return shown(self.panel.halted(), self.machine.address_bits)

    def lamps(self) -> str:
        """The lamps as they stand."""
        return shown(self.panel.lamps, self.machine.address_bits)

    def words(self) -> tuple[str, ...]:
        """The keys of the panel, and the words around them."""
        return tuple(self._acts())

    def accepts(self, line: str) -> bool:
        """Does the line name a key?"""
        return _key_of(line)[0] in self._acts()

    def do(self, line: str) -> str:
        """What a hand does, and what the lamps show then."""
        key, numbers = _key_of(line)
        act = self._acts().get(key)
        try:
            if act is None:
                raise PanelProblem(f'"{key}" is no key here; there are: {", ".join(self._acts())}')
            return act([self._octal(word) for word in numbers])
        except BusTimeout as error:
            return f"no answer: {error}"
        except (PanelProblem, ValueError, NotFittedError) as error:
            return str(error)

    def _acts(self) -> dict[str, Callable[[list[int]], str]]:
        return {
            "switches": self._set,
            "load address": self._load,
            "examine": lambda numbers: self._show(self._none(numbers, self.panel.examine)),
            "deposit": self._deposit,
            "start": lambda numbers: self._run(self._none(numbers, self.panel.start)),
            "continue": lambda numbers: self._run(self._none(numbers, self.panel.proceed)),
            "single instruction": lambda numbers: self._none(numbers, self._single),
            "halt": lambda numbers: self._show(self._none(numbers, self.panel.halt)),
            "enable": lambda numbers: self._show(self._none(numbers, lambda: self.panel.halt(False))),
            "look": lambda numbers: self._none(numbers, self._look),
            "help": lambda numbers: HELP,
            "leave": self._leave,
        }

    @staticmethod
    def _none(numbers: list[int], act: Callable[[], T]) -> T:
        if numbers:
            raise PanelProblem("no number belongs to this key")
        return act()

    @staticmethod
    def _octal(word: str) -> int:
        if not word.isascii() or set(word) - set("01234567"):
            raise PanelProblem(f'"{word}" is not octal')
        return int(word, 8)

    def _set(self, numbers: list[int]) -> str:
        if len(numbers) != 1:
            raise PanelProblem("the switches take one number")
        self._move(numbers[0])
        return f"switches {picture(self.switches, self.machine.address_bits)}"

    def _move(self, number: int) -> None:
        """The same switches stand for addresses, words and what a program reads."""
        if number >> self.machine.address_bits:
            raise PanelProblem(f"there are {self.machine.address_bits} switches; {number:o} needs more")
        self.switches = number
        if any(device.id == "switch-register" for device in self.machine.layout.devices):
            self.machine.set_switches(number & 0o177777)

    def _load(self, numbers: list[int]) -> str:
        if numbers:
            self._set(numbers)
        return self._show(self.panel.load_address(self.switches))

    def _deposit(self, numbers: list[int]) -> str:
        lamps = self.panel.lamps
        for number in numbers or [self.switches & 0o177777]:
            if number > 0o177777:
                raise PanelProblem(f"a word has six digits up to 177777, not {number:o}")
            self._move(number)
            lamps = self.panel.deposit(number)
        return self._show(lamps)

    def _single(self) -> str:
        """One instruction with the halt switch on, as on a panel."""
        was_on = self.panel.halt_switch
        self.panel.halt(True)
        self.panel.proceed()
        if self.run_one is None:
            self.machine.run(1)
        else:
            self.run_one()
        if not was_on:
            self.panel.halt(False)
        return self.halted()

    def _run(self, lamps: Lamps) -> str:
        self.runs = lamps.running
        if not lamps.running and self.panel.halt_switch:
            return self._show(lamps) + "\nthe halt switch is on"
        return ""

    def _look(self) -> str:
        from minisim.bench.look import registers

        return "\n".join(registers(self.machine))

    def _leave(self, numbers: list[int]) -> str:
        self.left = True
        return ""

    def _show(self, lamps: Lamps) -> str:
        return shown(lamps, self.machine.address_bits)


def _key_of(line: str) -> tuple[str, list[str]]:
    """The key, and the numbers behind it."""
    words = line.lower().split()
    count = next((at for at, word in enumerate(words) if word[:1].isdigit()), len(words))
    return " ".join(words[:count]), words[count:]


def shown(lamps: Lamps, bits: int) -> str:
    """The lamps in numbers and as they stand."""
    digits = 8 if bits > 18 else 6
    state = "runs" if lamps.running else "halted"
    return (
        f"address {lamps.address:0{digits}o}  {picture(lamps.address, bits)}\n"
        f"data    {lamps.data:06o}{' ' * (digits - 6)}  {picture(lamps.data, 16)}  {state}"
    )


def picture(number: int, bits: int) -> str:
    """Lamps or switches in threes, highest first: o is on or up, . is off or down."""
    digits = f"{number:0{bits}b}".replace("1", "o").replace("0", ".")
    first = bits % 3
    groups = ([digits[:first]] if first else []) + [digits[at : at + 3] for at in range(first, bits, 3)]
    return " ".join(groups)
