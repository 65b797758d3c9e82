"""The card as text, for a front panel or for an octal console: flat, black and white, boxes to tick."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from minisim.panel import picture
from minisim.rules._cautions import CAUTION
from minisim.trials.toggling.card import Card, Check, Step
from minisim.trials.toggling.choose import Chosen

WORD_BITS = 16
_PAGE = 0o20000  # bytes of the I/O page
_PS = 0o17776
_REGISTERS = 0o17700
_TICK = "[ ]"
PANEL, OCTAL, NONE = "panel", "octal console", ""


@dataclass(frozen=True, slots=True)
class Hands:
    """How a person gets at the processor: its console, and how many address lines the switches have."""

    console: str = PANEL
    bits: int = 16
    machine: str = ""

    def register(self, number: int) -> int:
        """The address of a general register, as the switches name it."""
        return (1 << self.bits) - _PAGE + _REGISTERS + number

    @property
    def ps(self) -> int:
        """The address of the PS."""
        return (1 << self.bits) - _PAGE + _PS


def card_text(chosen: Chosen, hands: Hands) -> str:
    """The whole card."""
    return "".join(f"{line}\n" for line in _lines(chosen, hands))


def _lines(chosen: Chosen, hands: Hands) -> Iterator[str]:
    card = chosen.card
    yield f"TRIAL {card.trial}: {card.about}"
    yield f"Source: {card.source}"
    yield _why(chosen, hands)
    yield from (f"Note: {note}" for note in card.notes)
    yield ""
    yield CAUTION
    yield "Nothing of this card needs the box open. What lies in memory is lost; take media out of the drives."
    yield ""
    if hands.console == OCTAL:
        yield from _by_keys(card)
    else:
        yield from _by_switches(card, hands)


def _why(chosen: Chosen, hands: Hands) -> str:
    where = f" on {hands.machine}" if hands.machine else ""
    if not chosen.looked_at:
        ran = f"; it {'fails' if chosen.fails else 'passes'}{where}" if where else ""
        return f"The whole program, which halts at its end where all is well{ran}."
    if chosen.fails:
        many = "1 case fails" if chosen.failing == 1 else f"{chosen.failing} cases fail"
        return f"{many}{where}; this is the smallest."
    if not hands.machine:
        return "The smallest case of the trial; no machine was named to find one that fails."
    return f"No case fails{where}; this is the smallest of {chosen.looked_at}."


# --- a front panel ----------------------------------------------------------------------------------------------------


def _by_switches(card: Card, hands: Hands) -> Iterator[str]:
    if hands.console != PANEL:
        what = f"by way of its {hands.console}" if hands.console else "on this processor"
        yield f"How words are keyed in {what} is not known here; what follows is for switches and lamps."
        yield ""
    yield "o is a switch up or a lamp on, . is down or off. Tick each line."
    yield ""
    yield f"{_TICK} Halt switch to halt, then to enable."
    for block in card.blocks():
        yield ""
        yield _switches("Load address", block[0].address, hands.bits)
        yield from (_deposit(step) for step in block)
    yield ""
    yield _switches("Load address", card.start, hands.bits)
    yield f"{_TICK} Start. It runs for less than the blink of an eye and halts."
    yield ""
    yield "Expected lamps"
    yield _switches("address", card.ends, hands.bits)
    yield from _ends_otherwise(card)
    for check in card.checks:
        address = _address(check, hands)
        yield ""
        yield _switches("Load address", address, hands.bits, f"   {check.name}" if check.address is None else "")
        yield f"{_TICK} Examine: data           {_wanted(check)}"


def _switches(key: str, number: int, bits: int, remark: str = "") -> str:
    digits = 8 if bits > 18 else 6
    return f"{_TICK} {key:14} {number:0{digits}o}   {picture(number, bits)}{remark}"


def _deposit(step: Step) -> str:
    row = f"{_TICK}   Deposit      {step.word:06o}   {picture(step.word, WORD_BITS)}   at {step.address:06o}"
    return f"{row}  {step.remark}" if step.remark else row


def _address(check: Check, hands: Hands) -> int:
    if check.register is not None:
        return hands.register(check.register)
    return hands.ps if check.codes or check.address is None else check.address


def _wanted(check: Check) -> str:
    """Lamps with `-` where either will do, and in octal where all count."""
    lamps = [
        letter if letter == " " else "-" if not known else letter
        for letter, known in zip(picture(check.want, WORD_BITS), _known(check), strict=True)
    ]
    octal = f"{check.want:06o}" if check.mask == 0o177777 else "      "
    either = "" if check.mask == 0o177777 else "   - is either"
    return f"{octal}   {''.join(lamps)}{either}{_codes(check)}"


def _known(check: Check) -> list[bool]:
    """For each character of the picture: does the lamp count?"""
    return [letter == "o" for letter in picture(check.mask, WORD_BITS)]


def _codes(check: Check) -> str:
    if not check.codes:
        return ""
    parts = ((name, 8 >> place) for place, name in enumerate("NZVC"))
    return f"   {' '.join(f'{name}={int(bool(check.want & bit))}' for name, bit in parts if check.mask & bit)}"


def _ends_otherwise(card: Card) -> Iterator[str]:
    yield f"    Another address, or run stays lit: the trial failed there. {card.ends:06o} is the HALT and two more."


# --- an octal console -------------------------------------------------------------------------------------------------


def keystrokes(card: Card) -> Iterator[tuple[Step, str]]:
    """Each step with the keys that put it in: the first of a block opens a location, LF goes on to the next."""
    for block in card.blocks():
        for place, step in enumerate(block):
            opening = f"{step.address:06o}/" if place == 0 else ""
            yield step, f"{opening}{step.word:06o}{'<LF>' if step is not block[-1] else '<CR>'}"


def _by_keys(card: Card) -> Iterator[str]:
    yield "<CR> is the return key, <LF> line feed. The console shows the old word behind the /; type the new one."
    yield "After <LF> it opens the next address by itself."
    yield ""
    yield f"{_TICK} Halt the processor: the console shows an address and its prompt @."
    yield ""
    for step, keys in keystrokes(card):
        yield f"{_TICK} {keys:22} {f'at {step.address:06o}  {step.remark}'.rstrip()}"
    yield ""
    yield f"{_TICK} {card.start:06o}G"
    yield ""
    yield "Expected on the console"
    yield f"{_TICK} {card.ends:06o}                 where it halted; another address: the trial failed there"
    for check in card.checks:
        yield f"{_TICK} {_asked(check):12} shows  {_wanted(check)}"


def _asked(check: Check) -> str:
    """What is typed to see it."""
    if check.register is not None:
        return f"R{check.register}/"
    return "RS/" if check.codes else f"{check.address:06o}/"
