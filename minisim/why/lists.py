"""Lists of places that a cause may name (`look-at`), and boards that its findings may be about (`about`)."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping

from minisim.known import Known
from minisim.rules._facts import octal18, octal_vector, short, span_text, spans, words
from minisim.rules._grants import number_of, start_of, turnarounds
from minisim.why.case import Case, base_of, is_yes
from minisim.why.letters import device_boards
from minisim.wiring.model import GrantChain, GrantKind, Hop, Passes, Wired, WiredBoard, WiredRegisters

# ---- the grant chain


def grant_places(case: Case) -> Iterator[str]:
    """Every place that must pass the grants, in the order of the chain, with what to look at there."""
    wired = case.wired
    chain = wired.chain(GrantKind.INTERRUPT)
    last = last_needed(wired)
    for hop in chain.hops:
        if start_of(wired, chain) < hop.number <= last and not _same_board_as_processor(wired, hop):
            yield f"{hop.place}: {'; '.join(_at_hop(wired, hop, hop.number == last))}"
    if wired.bus == "sep":
        for board in turnarounds(wired):
            yield f"{board.place}: {short(board).partition(' (')[0]}, where the grants must arrive"


def last_needed(wired: Wired) -> int:
    """Number of the last position that must pass a grant: of the last user; all before a turnaround terminator."""
    chain = wired.chain(GrantKind.INTERRUPT)
    if turnarounds(wired):
        return max((hop.number for hop in chain.hops), default=0)
    wanting = [board for board in wired.boards if board.entry.processor is None and _may_want(board)]
    return max((number_of(chain, board) for board in wanting), default=0)


def _may_want(board: WiredBoard) -> bool:
    return is_yes(board.entry.interrupts) is not False or is_yes(board.entry.dma) is not False


def _same_board_as_processor(wired: Wired, hop: Hop) -> bool:
    return hop.board is not None and wired.boards[hop.board].entry.processor is not None


def _at_hop(wired: Wired, hop: Hop, is_last: bool) -> Iterator[str]:
    if hop.joint:
        yield f"the bus cable: {hop.why}"
        return
    board = wired.boards[hop.board] if hop.board is not None else None
    cards = [one for one in wired.boards if one.index != hop.board and _covers(one, hop) and _only_passes(one)]
    if board is not None and not _only_passes(board):
        ends = is_last and not turnarounds(wired)
        yield f"{short(board).partition(' (')[0]} {'is the last that needs it' if ends else _verdict(hop)}"
    for card in [*([board] if board is not None and _only_passes(board) else []), *cards]:
        yield f"empty: grant card {short(card).partition(' (')[0]} in {_rows(card)}"
    if board is None and not cards:
        yield f"empty, {_EMPTY[hop.passes]}"
    yield from _wire(wired, hop)


_EMPTY = {
    Passes.NO: "no grant card",
    Passes.YES: "the backplane passes the grant",
    Passes.UNKNOWN: "whether the grant passes is not known",
}


def _covers(board: WiredBoard, hop: Hop) -> bool:
    same = (board.place.box, board.place.unit) == (hop.place.box, hop.place.unit)
    rows = board.rows or board.place.rows
    return same and bool(set(board.place.slots) & set(hop.place.slots)) and bool(set(rows) & set(hop.place.rows))


def _rows(board: WiredBoard) -> str:
    return str(board.place).rpartition("/")[2]


def _only_passes(board: WiredBoard) -> bool:
    """A card that does nothing but pass grants: no registers, memory, ROM, processor or terminator."""
    entry = board.entry
    plain = not entry.registers and entry.memory is None and entry.rom is None and entry.processor is None
    return plain and is_yes(entry.passes_grant) is True and is_yes(entry.interrupts) is False and not entry.option_adds


def _verdict(hop: Hop) -> str:
    return {Passes.YES: "passes the grant", Passes.NO: "does NOT pass the grant"}.get(
        hop.passes, "may not pass the grant (not known)"
    )


def _wire(wired: Wired, hop: Hop) -> Iterator[str]:
    """What the wire CA1-CB1 of the slot should be, on the separate-line bus."""
    dma = next((one for one in wired.chain(GrantKind.DMA).hops if one.place == hop.place), None)
    if wired.bus != "sep" or dma is None or dma.wire is None:
        return
    state = "in" if dma.wire else "out"
    yield f"wire CA1-CB1 {state}" + ("" if dma.passes is Passes.YES else ": the DMA grant stops here")


def hops_at(case: Case) -> tuple[Hop, ...]:
    """Positions of the chain in the slot that the words name."""
    match = re.fullmatch("([0-9]+)([A-F]*)", case.text("slot"))
    if match is None:
        return ()
    number, rows = int(match[1]), set(match[2])
    chain = case.wired.chain(GrantKind.INTERRUPT)
    start = start_of(case.wired, chain)
    inside = (hop for hop in chain.hops if number in hop.place.slots and not hop.joint and hop.number > start)
    return tuple(hop for hop in inside if not rows or rows & set(hop.place.rows))


def behind_slot(case: Case) -> tuple[WiredBoard, ...]:
    """Boards that want a grant and stand behind the slot in the words, in the order of the chain."""
    hops = hops_at(case)
    if not hops:
        return ()
    chain, first = case.wired.chain(GrantKind.INTERRUPT), min(hop.number for hop in hops)
    here = {hop.board for hop in hops}
    others = [one for one in case.wired.boards if one.index not in here and one.entry.processor is None]
    users = [one for one in others if _may_want(one) and number_of(chain, one) > first]
    return tuple(sorted(users, key=lambda one: number_of(chain, one)))


def answering(case: Case) -> tuple[WiredBoard, ...]:
    """Boards whose registers or ROM answer at the address in the words, and the processor where it does itself."""
    offset = _page_offset(case.number("address"))
    if offset is None:
        return ()
    found = [one.board for one in case.wired.registers if _covers_offset(one, offset)]
    found += [rom.board for rom in case.wired.roms if rom.base <= offset < rom.base + 2 * rom.words]
    own = any(one.base <= offset < one.base + 2 * one.words for one in case.wired.processor_registers)
    found += [one.board for one in case.wired.processors[:1] if own]
    return tuple(case.wired.boards[index] for index in dict.fromkeys(found))


def _page_offset(address: int | None) -> int | None:
    """The I/O-page offset of an address in its 16-, 18- or 22-bit form."""
    for start in (0o160000, 0o760000, 0o17760000):
        if address is not None and start <= address < start + 0o20000:
            return address - start
    return None


def _covers_offset(one: WiredRegisters, offset: int) -> bool:
    base = base_of(one)
    count = one.words.peek if isinstance(one.words, Known) else 1
    return base is not None and base <= offset < base + 2 * count


def _by_chain(case: Case, boards: Iterator[WiredBoard]) -> tuple[WiredBoard, ...]:
    chain: GrantChain = case.wired.chain(GrantKind.INTERRUPT)
    return tuple(sorted(boards, key=lambda board: number_of(chain, board)))


def dma_boards(case: Case) -> tuple[WiredBoard, ...]:
    """Boards that do DMA, in the order of the chain."""
    return _by_chain(case, (one for one in case.wired.boards if is_yes(one.entry.dma)))


def interrupting_boards(case: Case) -> tuple[WiredBoard, ...]:
    """Boards that interrupt, in the order of the chain."""
    return _by_chain(
        case, (one for one in case.wired.boards if is_yes(one.entry.interrupts) and one.entry.processor is None)
    )


# ---- everything else


def _boards_behind_slot(case: Case) -> Iterator[str]:
    """Every board behind that place that wants grants."""
    for board in behind_slot(case):
        yield f"{board.place}: {board.name}"


def _dma_places(case: Case) -> Iterator[str]:
    """Boards that do DMA, in the order of the chain."""
    for board in dma_boards(case):
        yield f"{board.place}: {board.name}"


def _interrupting(case: Case) -> Iterator[str]:
    """Devices that interrupt, with their vectors, in the order of the chain."""
    chain = case.wired.chain(GrantKind.INTERRUPT)
    users = [one for one in case.wired.registers if one.vectors]
    for one in sorted(users, key=lambda one: number_of(chain, case.wired.boards[one.board])):
        vectors = " and ".join(octal_vector(v.vector) for v in one.vectors)
        board = case.wired.boards[one.board]
        yield f"{board.place}: {words(one.device)} of {short(board).partition(' (')[0]}, vector {vectors}"


def near_vectors(case: Case) -> Iterator[WiredRegisters]:
    """Devices with a vector that differs in one bit from that in the words."""
    for one in case.wired.registers:
        if any((v.vector ^ (case.vector or 0)).bit_count() == 1 for v in one.vectors):
            yield one


def _near(case: Case) -> Iterator[str]:
    """Devices with a vector one bit away from that in the words."""
    for one in near_vectors(case):
        vectors = " and ".join(octal_vector(v.vector) for v in one.vectors)
        yield f"{case.wired.boards[one.board].place}: {words(one.device)}, vector {vectors}"


def _registers(case: Case) -> Iterator[str]:
    """What answers in the I/O page."""
    placed = [one for one in case.wired.registers if base_of(one) is not None]
    for one in sorted(placed, key=lambda one: base_of(one) or 0):
        yield f"{octal18(base_of(one) or 0)}: {words(one.device)}, {case.wired.boards[one.board].place}"


def _memories(case: Case) -> Iterator[str]:
    """Memory boards with the addresses they answer."""
    for span in spans(case.wired):
        board = case.wired.boards[span.memory.board]
        yield f"{board.place}: {short(board).partition(' (')[0]}, {span_text(span)}"


def _rails(case: Case) -> Iterator[str]:
    """Rails of the supplies: rating, and what the boards draw as far as it is known."""
    for box in case.wired.boxes:
        for rail in box.rails:
            rating = f"rated {rail.rating.peek} A" if isinstance(rail.rating, Known) else "rating not known"
            least = sum((part.figure.peek for part in rail.load.parts if isinstance(part.figure, Known)), 0)
            unknown = len(rail.load.unknown)
            more = f", {unknown} {'part' if unknown == 1 else 'parts'} not known" if unknown else ""
            yield f"{box.id} {rail.rail}: {'at least ' if unknown else ''}{least} A drawn{more}; {rating}"


def _console_path(case: Case) -> Iterator[str]:
    """The console from the board to the terminal: address, speed, cable."""
    line = case.console()
    if line is None:
        return
    board = case.wired.boards[line.board]
    yield f"{board.place}: {board.name}, at {octal18(base_of(line) or 0)}{_speed(board)}"
    for one in case.wired.cables:
        if one.board == board.index and one.end.line in (None, line.unit):
            baud = f", {one.end.baud} baud" if one.end.baud else ", speed not stated"
            cable = one.cable.kind if one.cable else "cable not stated"
            yield f"{cable}; {one.end.to}{baud}"


def _speed(board: WiredBoard) -> str:
    setting = board.placed.settings.get("baud")
    return f", set to {setting.text} baud" if setting else ", speed not stated in the loadout"


def _boot_way(case: Case) -> Iterator[str]:
    """From power-up to the medium, step by step."""
    boot = case.wired.boot
    yield boot.how
    if boot.rom is not None:
        rom = case.wired.roms[boot.rom]
        contents = rom.entry.kind if rom.entry else "contents not stated"
        yield f"{case.wired.boards[rom.board].place}: ROM at {octal18(rom.base)}, {contents}"
    if boot.device is not None:
        one = case.wired.registers[boot.device]
        base = f" at {octal18(base_of(one) or 0)}" if base_of(one) is not None else ""
        yield f"{case.wired.boards[one.board].place}: {words(one.device)}{base}"
    if boot.cable is not None:
        yield f"{boot.cable.to}: {boot.cable.media_text or 'no medium named'}"


def _ends(case: Case) -> Iterator[str]:
    """What ends the bus, and where it stands."""
    for one in case.wired.terminators:
        place = case.wired.boards[one.board].place if one.board is not None else "backplane"
        strength = one.strength.peek if isinstance(one.strength, Known) else "strength not known"
        yield f"{place}: {strength} terminator, {one.at_end} end"


LISTS: Mapping[str, Callable[[Case], Iterator[str]]] = {
    "grant-places": grant_places,
    "boards-behind-slot": _boards_behind_slot,
    "dma-boards": _dma_places,
    "interrupting-devices": _interrupting,
    "near-vectors": _near,
    "registers": _registers,
    "memories": _memories,
    "rails": _rails,
    "console-path": _console_path,
    "boot-way": _boot_way,
    "bus-ends": _ends,
}
"""Lists of places by name."""


def _console_boards(case: Case) -> tuple[WiredBoard, ...]:
    """The board of the console line."""
    line = case.console()
    return (case.wired.boards[line.board],) if line else ()


def _boot_boards(case: Case) -> tuple[WiredBoard, ...]:
    """The board of the device that the machine boots from."""
    index = case.wired.boot.device
    return (case.wired.boards[case.wired.registers[index].board],) if index is not None else ()


def _vector_boards(case: Case) -> tuple[WiredBoard, ...]:
    """Boards that interrupt through the vector."""
    return case.boards_of(case.at_vector())


def _memory_boards(case: Case) -> tuple[WiredBoard, ...]:
    """Memory boards that answer at the address."""
    return tuple(case.wired.boards[span.memory.board] for span in case.spans_there())


BOARDS: Mapping[str, Callable[[Case], tuple[WiredBoard, ...]]] = {
    "vector-users": _vector_boards,
    "console": _console_boards,
    "boot-device": _boot_boards,
    "memory-there": _memory_boards,
    "rom-device": device_boards,
    "behind-slot": behind_slot,
    "dma-boards": dma_boards,
}
"""Groups of boards by name."""
