"""Which facts forbid a wish: for each need in the way, what is the most or the least that can be had beside the others.

A figure comes from the same arithmetic as the plan, over everything in the catalogue, with the one need left out: what
can be built can only be less good than that.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal

from minisim.plan.columns import Builder, Offer, watts_of
from minisim.plan.frames import Frame
from minisim.plan.solver import Arithmetic, NoAnswerError, Term
from minisim.plan.traits import Traits
from minisim.plan.wishes import Wish

NEEDS = ("options", "memory-kb", "serial-lines", "slots", "watts", "kg", "boot", "devices", "bus")
"""Needs that can be left out one by one to find what forbids a wish."""
_SECONDS = 5.0
_MOST_NAMES = 3
_FORMS = {
    "standard": "the other needs are not met with",
    "board": "no board of it is known that goes with",
    "socket": "chips in a socket, and the list names none (column options), for",
}
_BUSES = {"mux": "multiplexed bus", "sep": "separate-line bus"}


def asked(wish: Wish) -> tuple[str, ...]:
    """The needs a wish names."""
    named: Mapping[str, object] = {
        "options": wish.options, "memory-kb": wish.memory_kb, "serial-lines": wish.serial_lines > 1,
        "slots": wish.slots, "watts": wish.watts, "kg": wish.kg, "boot": wish.boot, "devices": wish.devices,
        "bus": wish.bus,
    }  # fmt: skip
    return tuple(need for need in NEEDS if named[need])


def facts_of(wish: Wish, needs: Iterable[str], market: Offer) -> Iterator[str]:
    """One sentence or more for each need that stands in the way."""
    named = asked(wish)
    for need in needs:
        if need in named:
            yield from _WORDS[need](wish, market)


def _options(wish: Wish, market: Offer) -> Iterator[str]:
    """Who takes the option at all, on which bus, and in what form."""
    for option in wish.options:
        takers = [one for one in market.boards.values() if one.option(option) in _FORMS]
        here = [one for one in takers if not wish.bus or one.entry.bus == wish.bus]
        for form, words in _FORMS.items():
            if fitting := [one for one in here if one.option(option) == form]:
                yield f"{option}: {words} {_names(fitting)}"
        if not here:
            others = f", only {_names(takers)}" if takers else ""
            yield f"{option}: no processor of the {_BUSES.get(wish.bus, 'catalogue')} can have it{others}"


def _devices(wish: Wish, market: Offer) -> Iterator[str]:
    for device in wish.devices:
        yield from _device(device, wish, market)


def _boot(wish: Wish, market: Offer) -> Iterator[str]:
    assert wish.boot is not None  # only needs that are named come here
    yield from _device(wish.boot.device, wish, market)
    if not wish.boot.image:
        boards = market.catalogue.rom(wish.boot.rom).boards
        if boards:
            yield f"{wish.boot.rom}: made for {', '.join(boards)} only"


def _device(device: str, wish: Wish, market: Offer) -> Iterator[str]:
    carriers = [one for one in market.boards.values() if device in one.devices]
    here = [one for one in carriers if not wish.bus or one.entry.bus == wish.bus]
    if not here:
        others = f", only {_names(carriers)}" if carriers else ""
        yield f"{device}: no board of the {_BUSES.get(wish.bus, 'catalogue')} has it{others}"
    else:
        yield f"{device}: on {_names(here)}, with which the other needs are not met"


def _bus(wish: Wish, _market: Offer) -> Iterator[str]:
    yield f"the {_BUSES[wish.bus]}: on the other bus it could be built"


def _memory(wish: Wish, market: Offer) -> Iterator[str]:
    most = _extreme(wish, market, "memory-kb", lambda builder: builder.memory_terms())
    if most is not None:
        yield f"memory: {wish.memory_kb} KB asked, with the other needs at most {most:g} KB"


def _lines(wish: Wish, market: Offer) -> Iterator[str]:
    most = _extreme(wish, market, "serial-lines", lambda builder: builder.board_terms(lambda board: board.lines))
    if most is not None:
        yield f"serial lines: {wish.serial_lines} asked, with the other needs at most {most:g}"


def _watts(wish: Wish, market: Offer) -> Iterator[str]:
    least = _extreme(wish, market, "watts", lambda builder: builder.board_terms(lambda board: -watts_of(board)))
    if least is not None:
        yield f"power: at most {wish.watts} W asked, the boards that do the rest take at least {-least:.1f} W"


def _slots(wish: Wish, market: Offer) -> Iterator[str]:
    least = _extreme(wish, market, "slots", _by_frame(lambda frame: frame.slots))
    if least is not None:
        yield f"slots: at most {wish.slots} asked, the smallest backplane that does the rest has {-least:g}"


def _kg(wish: Wish, market: Offer) -> Iterator[str]:
    least = _extreme(wish, market, "kg", _by_frame(lambda frame: frame.kg or Decimal(0)))
    if least is not None:
        yield f"weight: at most {wish.kg} kg asked, the lightest box that does the rest weighs {-least:g} kg"


def _by_frame(weigh: Callable[[Frame], int | Decimal]) -> Callable[[Builder], list[Term]]:
    return lambda builder: builder.frame_terms(lambda frame: float(weigh(frame)))


def _extreme(wish: Wish, market: Offer, without: str, goal: Callable[[Builder], list[Term]]) -> float | None:
    """The best value of a goal with all the other needs; None where they can't be met either, or not in time."""
    arithmetic = Arithmetic()
    builder = Builder(arithmetic, market, wish, without=(without,))
    arithmetic.row([(1, builder.rows().complete)], least=1)
    try:
        answer = arithmetic.best(goal(builder), seconds=_SECONDS)
    except NoAnswerError:
        return None
    return answer.bound if not answer.proven else answer.value


def _names(boards: Iterable[Traits]) -> str:
    """Some boards by what is on their handles, with their bus."""
    found = sorted(f"{_marking(one)} ({_BUSES[one.entry.bus]})" for one in boards)
    more = f" and {len(found) - _MOST_NAMES} more" if len(found) > _MOST_NAMES else ""
    return ", ".join(found[:_MOST_NAMES]) + more


def _marking(board: Traits) -> str:
    markings = getattr(board.entry.markings, "peek", ()) or ()
    return "/".join(markings) or board.id


_WORDS: Mapping[str, Callable[[Wish, Offer], Iterator[str]]] = {
    "options": _options, "memory-kb": _memory, "serial-lines": _lines, "slots": _slots, "watts": _watts, "kg": _kg,
    "boot": _boot, "devices": _devices, "bus": _bus,
}  # fmt: skip
