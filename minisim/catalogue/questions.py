"""What is asked for an owner's own entry, folder by folder; what is not asked is unknown or what is usual."""

from __future__ import annotations

import re
from collections.abc import Callable

from minisim.catalogue.asking import (
    Octal,
    Talk,
    Value,
    address,
    number,
    numbers_on_it,
    one_of,
    several_of,
    text,
    whole,
    word,
)
from minisim.catalogue.questions_contents import medium, rom
from minisim.catalogue.questions_processor import event_line, processor, rom_sockets
from minisim.catalogue.words import (
    BUSES,
    HEIGHTS,
    NONE,
    RAILS,
    SLOT_KINDS,
    SLOT_ROWS,
    TERMINATES,
    TERMINATION,
    UNKNOWN,
    YES_NO,
)

Entry = dict[str, Value]
_UNKNOWN: Entry = {"value": UNKNOWN}
_ROWS = {
    ("mux", "single"): "A", ("mux", "dual"): "AB", ("mux", "quad"): "ABCD", ("mux", "hex"): "ABCDEF",
    ("sep", "single"): "D", ("sep", "dual"): "AB", ("sep", "quad"): "CDEF", ("sep", "hex"): "ABCDEF",
}  # fmt: skip
_SLOTS: dict[tuple[str, str], list[Value]] = {
    ("mux", "dual"): ["dual", "twin-bus", "private-link"],
    ("mux", "quad"): ["twin-bus", "private-link"],
    ("sep", "quad"): ["small-peripheral"],
}
_YES_NO = one_of(YES_NO)
_BUS = one_of((*BUSES, "any"))


def board(talk: Talk) -> Entry:
    """A board or set."""
    entry: Entry = {"kind": talk.answer("what it is, in a line", text)}
    bus = entry["bus"] = talk.answer("bus: mux (multiplexed) or sep (separate lines)", one_of(BUSES))
    entry["height"] = height = talk.figure("height: single, dual, quad or hex", one_of(HEIGHTS))
    key = (str(bus), str(height["value"]) if isinstance(height, dict) else "")
    entry["boards"] = talk.answer("how many cards belong together (empty: 1)", whole, "1")
    entry["markings"] = talk.figure("numbers on it, with commas between them", numbers_on_it, none=True)
    entry["rows"] = _ROWS.get(key, UNKNOWN)
    entry |= _slots_of_board(talk, _SLOTS.get(key))
    entry["forbidden"] = []
    entry["amps"] = _rails(talk, "current: rail and amperes, such as +5 1.5") or UNKNOWN
    entry["ac"] = talk.figure("AC loads on the bus", number)
    entry["dc"] = talk.figure("DC loads on the bus", number)
    entry |= _traffic(talk, str(bus))
    entry["registers"] = registers = _registers(talk)
    entry |= {"memory": _memory(talk), "rom": rom_sockets(talk)}
    found, starts_grants = processor(talk, str(bus))
    entry |= found
    if starts_grants and bus == "mux":
        entry["registers"] = [*event_line(talk), *registers]
    entry["terminates"] = talk.figure("does it terminate the bus: no, weak (120 ohm at one side) or full",
                                      one_of(TERMINATES))  # fmt: skip
    entry["settings"] = [*_usual_settings(entry, bool(registers), starts_grants), *_settings(talk)]
    return entry


def _usual_settings(entry: Entry, registers: bool, starts_grants: bool) -> list[Value]:
    """The settings a loadout must be able to make: where memory begins, where registers answer, where it starts."""
    settings: list[Value] = []
    memory = entry["memory"]
    if isinstance(memory, dict):
        kb = memory["kb"]
        sizes = kb["value"] if isinstance(kb, dict) else UNKNOWN
        settings.append(_setting("start", "first address of the memory", UNKNOWN))
        settings.append(_setting("kb", "size of the memory fitted", sizes))
    if registers:
        settings.append(_setting("address", "first address of the registers", UNKNOWN))
        settings.append(_setting("vector", "first vector", UNKNOWN))
    if starts_grants and entry["bus"] == "mux":
        settings.append(_setting("power-up", "what the processor does at power-up", UNKNOWN))
    return settings


def _settings(talk: Talk) -> list[Value]:
    def line(answer: str) -> Value:
        name, colon, what = answer.partition(":")
        if not colon or not what.strip():
            raise ValueError(f'"{answer}" is no name with what it does, such as baud: speed of the line')
        return _setting(str(word(name.strip().lower())), what.strip(), UNKNOWN)

    question = "a further switch or jumper: its name, and what it does behind a colon, such as baud: speed of the line"
    return list(talk.several(question, line))


def _setting(name: str, what: str, values: Value) -> Value:
    return {"name": name, "what": what, "values": values}


def _slots_of_board(talk: Talk, usual: list[Value] | None) -> Entry:
    """Kinds of slots, with evidence where the owner names them."""
    default = f"empty: as usual for its height, {', '.join(map(str, usual))}" if usual else "empty: unknown"
    question = f"kinds of slots it may stand in ({default}); words: {', '.join(SLOT_KINDS)}"
    slots = talk.answer(question, several_of(SLOT_KINDS), usual or [])
    if not slots:
        return {"slots": []}
    known: Value = {"evidence": "assumed"} if slots == usual else talk.how_known()
    return {"slots": slots, "slots-evidence": known}


def _traffic(talk: Talk, bus: str) -> Entry:
    """DMA, interrupts and grants."""
    entry: Entry = {"dma": talk.figure("does it do DMA: yes or no", _YES_NO)}
    if entry["dma"] != _UNKNOWN and _said_yes(entry["dma"]):
        entry["dma-bits"] = talk.figure("address bits of its DMA: 16, 18 or 22", one_of(("16", "18", "22")))
    question = "address bits that its memory or ROM decodes, or a processor on it drives: 16, 18 or 22"
    entry["address-bits"] = talk.figure(question, one_of(("16", "18", "22")), none=True)
    entry["interrupts"] = talk.figure("does it interrupt over the bus (a processor itself: no): yes or no", _YES_NO)
    entry["passes-grant"] = talk.figure("does it pass the grants on: yes or no", _YES_NO)
    if bus == "sep":
        entry["passes-dma-grant"] = talk.figure("does it pass the DMA grant on: yes or no", _YES_NO)
    jumpers = talk.answer("has it jumpers in the way of the grants: yes or no (empty: unknown)", _YES_NO, UNKNOWN)
    entry["grant-jumpers"] = NONE if jumpers == "no" else UNKNOWN
    return entry


def _said_yes(figure: Value) -> bool:
    return isinstance(figure, dict) and figure.get("value") == "yes"


def _rails(talk: Talk, question: str) -> Entry:
    """Figures by rail."""

    def pair(answer: str) -> Value:
        match = re.fullmatch(r"([+-][0-9]{1,2}(?: standby)?)[ :=V]+([0-9.,]+) ?A?", answer, re.ASCII)
        if not match or match[1] not in RAILS:
            raise ValueError(f'"{answer}" is no rail with its amperes; rails are {", ".join(RAILS)}')
        return [match[1], number(match[2])]

    rails: Entry = {}
    for said in talk.several(question, pair):
        assert isinstance(said, list)
        rails[str(said[0])] = {"value": said[1], **talk.how_known()}
    return rails


def _registers(talk: Talk) -> list[Value]:
    """Groups of registers, each with its place, vector and level."""
    groups: list[Value] = []
    for device in talk.several("a device it holds, by a word of the catalogue such as serial-line or parallel", word):
        at = talk.answer("  register address, octal, 18-bit form (empty: unknown)", _at, UNKNOWN)
        vector = talk.answer("  first vector, octal (empty: unknown; none)", _vector, UNKNOWN)
        words = talk.answer("  how many registers of 16 bits (empty: unknown)", whole, UNKNOWN)
        level = talk.figure("  request level, 4 to 7", one_of(("4", "5", "6", "7")), none=True)
        known = talk.how_known()
        vectors: Value = vector if isinstance(vector, str) else {"count": "1", "at": vector}
        groups.append({"device": device, "words": words, "at": at, "vectors": vectors, "level": level, **known})
    return groups


def _at(answer: str) -> Value:
    return {"fixed": address(answer)}


def _vector(answer: str) -> Value:
    if answer.lower() == NONE:
        return NONE
    if not re.fullmatch(r"[0-7]{0,2}[04]", answer, re.ASCII):
        raise ValueError(f'"{answer}" is no vector: octal, a multiple of 4, at most 774')
    return {"fixed": Octal(answer)}


def _memory(talk: Talk) -> Value:
    kb = talk.figure("KB of memory on it, with commas where it was made in several sizes", _sizes, none=True)
    value = kb["value"] if isinstance(kb, dict) else UNKNOWN
    if value in (NONE, UNKNOWN):
        return value
    parity = talk.figure("parity: yes, no or ecc", one_of((*YES_NO, "ecc")))
    refreshes = talk.figure("refreshes itself (static and core memory too): yes or no", _YES_NO)
    return {"kb": kb, "start-step-kb": _UNKNOWN, "parity": parity, "refreshes-itself": refreshes}


def _sizes(answer: str) -> Value:
    return [whole(one) for one in re.split(r"[ ,]+", answer) if one]


def backplane(talk: Talk) -> Entry:
    """A backplane."""
    entry: Entry = {"kind": talk.answer("what it is, in a line", text)}
    entry["bus"] = talk.answer("bus: mux (multiplexed) or sep (separate lines)", one_of(BUSES))
    entry["markings"] = talk.figure("numbers on it, with commas between them", numbers_on_it, none=True)
    entry["rows"] = talk.answer("rows of a slot, such as ABCD", one_of(SLOT_ROWS))
    slots = _slots(talk)
    evidence: Entry = {"slots": talk.how_known()} if slots else {}
    entry["slots"] = slots or UNKNOWN
    order = talk.answer("places in the order of the grant, such as 1AB, 1CD, 2CD (empty: unknown)", _places, UNKNOWN)
    entry["grant-order"] = order
    if order != UNKNOWN:
        evidence["grant-order"] = talk.how_known()
    entry["address-bits"] = talk.figure("address bits it carries: 16, 18 or 22", one_of(("16", "18", "22")))
    entry["termination"] = talk.figure(f"its own terminator: {', '.join(TERMINATION)}", one_of(TERMINATION))
    entry["ac"] = talk.figure("AC loads of its own", number)
    return entry | ({"evidence": evidence} if evidence else {})


def _slots(talk: Talk) -> Entry:
    def line(answer: str) -> Value:
        match = re.fullmatch(r"([1-9][0-9]?(?:-[1-9][0-9]?)?)((?: [A-F]+=[a-z-]+)+)", answer, re.ASCII)
        if not match:
            raise ValueError(f'"{answer}" is no line such as 1-4 AB=twin-bus CD=twin-bus')
        kinds = dict(pair.split("=") for pair in match[2].split())
        for rows, kind in kinds.items():
            one_of(SLOT_ROWS)(rows)
            one_of((*SLOT_KINDS, NONE, UNKNOWN))(kind)
        return [match[1], {**kinds}]

    question = f"slots with the kind of each row, such as 1-4 AB=twin-bus CD=twin-bus; kinds: {', '.join(SLOT_KINDS)}"
    found: Entry = {}
    for said in talk.several(question, line):
        assert isinstance(said, list)
        found[str(said[0])] = said[1]
    return found


def _places(answer: str) -> Value:
    places = [word.upper() for word in re.split(r"[ ,]+", answer) if word]
    for place in places:
        if not re.fullmatch(r"[1-9][0-9]?[A-F]{1,6}", place, re.ASCII):
            raise ValueError(f'"{place}" is no place such as 2AB')
    return list(places)


def supply(talk: Talk) -> Entry:
    """A power supply."""
    entry: Entry = {"kind": talk.answer("what it is, in a line", text)}
    entry["bus"] = talk.answer("bus: mux, sep or any", _BUS, "any")
    entry["markings"] = talk.figure("numbers on it, with commas between them", numbers_on_it, none=True)
    rails = _rails(talk, "rating: rail and amperes, such as +5 20")
    entry["rails"] = rails
    least = _rails(talk, "least load: rail and amperes, such as +5 1")
    entry["minimum"] = {rail: least.get(rail, _UNKNOWN) for rail in (*rails, *(set(least) - set(rails)))}
    entry["watts"] = talk.figure("watts it can give in all", number)
    entry["line-clock"] = talk.figure("does it give the line-clock signal: yes or no", _YES_NO)
    entry["serves"] = talk.answer("ids of the chassis it is for (empty: any)", several_of(None), ["any"])
    return entry


def chassis(talk: Talk) -> Entry:
    """A box."""
    entry: Entry = {"kind": talk.answer("what it is, in a line", text)}
    entry["bus"] = talk.answer("bus: mux, sep or any", _BUS, "any")
    entry["holds"] = talk.figure("ids of the backplanes it holds", several_of(None))
    entry["supplies"] = talk.answer("ids of the supplies it takes (empty: none known)", several_of(None), [])
    for key, question in (
        ("rack-units", "rack units it fills"), ("width-mm", "width in mm"), ("depth-mm", "depth in mm"),
        ("kg", "weight in kg, without boards"),
    ):  # fmt: skip
        entry[key] = talk.figure(question, number)
    entry["drive-bays"] = talk.figure("drive bays", whole)
    entry["slides"] = talk.figure("how it sits in the rack (slides, pivots, a shelf ...)", text, none=True)
    entry["people"] = talk.figure("people to lift it", whole)
    return entry


def drive(talk: Talk) -> Entry:
    """A drive or terminal."""
    entry: Entry = {"kind": talk.answer("what it is, in a line", text)}
    question = "device it hangs on, by a word of the catalogue such as serial-line or floppy-double"
    entry["controller"] = talk.answer(question, word)
    entry["media"] = talk.answer("ids of the media it takes (empty: none)", several_of(None), [NONE])
    entry["capacity"] = talk.figure("bytes of one unit", whole, none=True)
    entry["units-per-controller"] = talk.figure("units on one controller", whole)
    entry["place"] = talk.figure("where it stands: rack, floor, table, bay ...", text)
    entry["power"] = {"watts": talk.figure("watts from the mains", number)}
    rails = _rails(talk, "current from the box it sits in: rail and amperes, such as +12 2.5")
    entry |= {"rails": rails} if rails else {}
    entry |= dict.fromkeys(("height-mm", "width-mm", "depth-mm", "rack-units"), _UNKNOWN)
    entry["kg"] = talk.figure("weight in kg", number)
    entry["cable"] = talk.answer("ids of the cables it takes (empty: unknown)", several_of(None), [UNKNOWN])
    return entry | {"termination": _UNKNOWN}


def cable(talk: Talk) -> Entry:
    """A cable."""
    entry: Entry = {"kind": talk.answer("what it is, in a line", text)}
    entry["from"] = talk.answer("its one end (the board)", text)
    entry["to"] = talk.answer("its other end", text)
    entry["lengths-m"] = talk.figure("length in m, with blanks where there are several", several_of(None))
    entry["pins"] = talk.answer("its wires, in words (empty: unknown)", text, UNKNOWN)
    entry["rules"] = {}
    return entry | {"evidence": {"kind": talk.how_known()}}


QUESTIONS: dict[str, Callable[[Talk], Entry]] = {
    "boards": board, "backplanes": backplane, "supplies": supply, "chassis": chassis, "drives": drive, "cables": cable,
    "media": medium, "roms": rom,
}  # fmt: skip
"""Folder -> what asks for one of its entries."""


def ask(kind: str, name: str, talk: Talk) -> Entry:
    """The whole entry of a folder, with its id first and the owner's notes last."""
    entry: Entry = {"id": name, **QUESTIONS[kind](talk)}
    notes = talk.answer("anything else to note (empty: nothing)", text, "")
    return entry | ({"notes": notes} if notes else {})
