"""Facts about the machine that symptom files may name: each a function of one case with a docstring."""

from __future__ import annotations

from minisim.known import Known, NotApplicable
from minisim.rules._clock import making_ticks, off_switch, perhaps_making_ticks, taking_ticks
from minisim.rules._facts import spans
from minisim.rules._grants import turnarounds
from minisim.rules._rom import at_boot_window, is_empty_socket
from minisim.why.case import Case, is_yes, named
from minisim.why.fact_register import boards_answer, fact, fact_of, of_words
from minisim.why.lists import behind_slot, hops_at
from minisim.why.model import Answer
from minisim.wiring.model import GrantKind, WiredBoard

# ---- bus, grants, terminators


@fact_of
def bus(case: Case, argument: str) -> Answer:
    """The bus is of this kind: mux or sep."""
    names = {"mux": "this machine has the multiplexed bus", "sep": "this machine has the separate-line bus"}
    return Answer(case.wired.bus == argument, names[case.wired.bus])


@fact
def turnaround_terminator(case: Case, _: str) -> Answer:
    """A terminator that turns an unclaimed grant into an acknowledge is fitted."""
    return boards_answer(turnarounds(case.wired), "no terminator here turns grants around", "turns grants around")


@fact
def boot_terminator(case: Case, _: str) -> Answer:
    """A board that ends the bus holds a ROM as well."""
    indexes = dict.fromkeys(one.board for one in case.wired.terminators if one.at_end == "far")
    boards = tuple(case.wired.boards[index] for index in indexes if index is not None)
    found = tuple(board for board in boards if board.entry.rom is not None)
    return boards_answer(found, "the far terminator holds no ROM", "ends the bus and holds a ROM")


@fact
def several_units(case: Case, _: str) -> Answer:
    """The bus runs over more than one backplane."""
    count = len(case.wired.units)
    return Answer(count > 1, f"{count} backplanes" if count > 1 else "all boards are in one backplane")


@fact
def interrupting_boards(case: Case, _: str) -> Answer:
    """A board other than the processor interrupts."""
    return _users(case, GrantKind.INTERRUPT, "no board here interrupts")


@fact
def dma_boards(case: Case, _: str) -> Answer:
    """A board does DMA."""
    return _users(case, GrantKind.DMA, "no board here does DMA")


def _users(case: Case, kind: GrantKind, nothing: str) -> Answer:
    figures = [
        (board, is_yes(board.entry.dma if kind is GrantKind.DMA else board.entry.interrupts))
        for board in case.wired.boards
        if board.entry.processor is None
    ]
    sure = tuple(board for board, uses in figures if uses)
    if sure:
        return Answer(True, named(sure))
    unsure = tuple(board for board, uses in figures if uses is None)
    return Answer(None, f"whether {named(unsure)} does so") if unsure else Answer(False, nothing)


@of_words
def slot_in_chain(case: Case, _: str) -> Answer:
    """The slot in the words is a place of the grant chain."""
    hops = hops_at(case)
    return Answer(bool(hops), ", ".join(str(hop.place) for hop in hops) or "there is no such place in this machine")


@fact
def users_behind_slot(case: Case, _: str) -> Answer:
    """Boards behind the slot in the words want grants."""
    boards = behind_slot(case)
    return Answer(bool(boards), named(boards) if boards else "no board behind that place wants a grant")


# ---- processor


@fact_of
def option(case: Case, argument: str) -> Answer:
    """The processor has this option: eis, fis, fpp, cis, mmu, map."""
    fitted = any(argument in one.options for one in case.wired.processors)
    return Answer(fitted, f"{argument.upper()} is {'' if fitted else 'not '}fitted")


@fact_of
def console_kind(case: Case, argument: str) -> Answer:
    """How the processor is handled: switches (keys and lamps) or debugger (octal console on the line)."""
    kinds = {"switches": ("switches", "both"), "debugger": ("terminal debugger", "both")}[argument]
    figures = [_console_of(case, one.profile) for one in case.wired.processors]
    if not figures:
        return Answer(False, "there is no processor in the loadout")
    if figures[0] is None:
        return Answer(None, "how this processor is handled")
    return Answer(figures[0] in kinds, f"this processor is handled by {_HANDLED[figures[0]]}")


_HANDLED = {
    "switches": "keys and lamps",
    "terminal debugger": "octal commands on the console line",
    "both": "keys and lamps, or commands on the console line",
    "none": "neither keys nor an octal console",
}


def _console_of(case: Case, profile: str) -> str | None:
    figure = case.catalogue.profile(profile).console
    return figure.peek if isinstance(figure, Known) and figure.peek in _HANDLED else None


@fact_of
def power_up(case: Case, argument: str) -> Answer:
    """The processor is set to this power-up mode: 0, 1, 2 or 3."""
    for one in case.wired.processors:
        if isinstance(one.power_up, Known):
            return Answer(str(one.power_up.peek) == argument, f"the power-up mode is {one.power_up.peek}")
    return Answer(False if case.wired.bus == "sep" else None, "the power-up mode")


# ---- clock


@fact
def line_clock(case: Case, _: str) -> Answer:
    """Something interrupts through the vector of the line clock."""
    takes = taking_ticks(case.wired)
    boards = case.boards_of(tuple(one for one in case.wired.registers if one.device in ("line-clock", "event-line")))
    if takes is None:
        return Answer(None, "whether the processor takes the line clock")
    return Answer(takes, f"the line clock of {named(boards)} interrupts" if takes else "no line clock interrupts here")


@fact
def tick_source(case: Case, _: str) -> Answer:
    """Something makes the ticks, a supply or a board."""
    boards, line = making_ticks(case.wired), case.wired.event_line
    if boards:
        return Answer(True, f"{named(boards)} makes the ticks")
    if isinstance(line, Known):
        return Answer(True, f"the ticks come from the {line.peek}")
    if isinstance(line, NotApplicable) and not perhaps_making_ticks(case.wired):
        return Answer(False, "nothing in the loadout makes ticks")
    return Answer(None, "who makes the ticks")


@fact
def clock_switched_off(case: Case, _: str) -> Answer:
    """The loadout has a clock switch off."""
    found = off_switch(case.wired)
    said = f"{named((found[0],))} has its clock switched off" if found else "no clock is switched off in the loadout"
    return Answer(found is not None, said)


# ---- console


@fact
def console_line(case: Case, _: str) -> Answer:
    """A line answers at the console address."""
    line = case.console()
    if line is None:
        return Answer(False, "no board answers at 777560")
    return Answer(True, f"{named((case.wired.boards[line.board],))} answers as console")


@fact
def console_is_board(case: Case, _: str) -> Answer:
    """The console line is on a board of its own, not on the processor."""
    line = case.console()
    if line is None:
        return Answer(False, "no board answers at 777560")
    board = case.wired.boards[line.board]
    return Answer(board.entry.processor is None, f"the console line is on {named((board,))}")


@fact
def several_lines(case: Case, _: str) -> Answer:
    """The machine has more than one serial line."""
    count = sum(1 for one in case.wired.registers if one.device.startswith("serial-line"))
    return Answer(count > 1, f"{count} serial lines" if count != 1 else "the console is the only serial line")


# ---- boot


@fact
def boot_rom(case: Case, _: str) -> Answer:
    """A ROM answers in a boot window."""
    roms = [rom for rom in case.wired.roms if at_boot_window(rom) and not is_empty_socket(case.wired, rom)]
    boards = tuple(dict.fromkeys(rom.board for rom in roms))
    found = tuple(case.wired.boards[index] for index in boards)
    if not found and any(is_yes_word(board) for board in case.wired.boards):
        return Answer(None, "whether the processor has a ROM of its own")
    return boards_answer(found, "no boot ROM answers here", "holds a boot ROM")


def is_yes_word(board: WiredBoard) -> bool:
    """Has the processor on this board a ROM, or is that not known?"""
    return board.entry.processor is not None and board.entry.processor.boot_rom != "no"


@fact
def known_start(case: Case, _: str) -> Answer:
    """The address of the first instruction is known: a ROM or switches give it, not memory at 24."""
    start = case.wired.boot.start
    if isinstance(start, Known):
        return Answer(True, case.wired.boot.how)
    return Answer(False, "the first instruction comes from 24, or is not known")


@fact
def boot_device(case: Case, _: str) -> Answer:
    """The loadout has a way from the ROM to a device to boot from."""
    index = case.wired.boot.device
    if index is None:
        return Answer(False, "the loadout shows no device that the ROM boots")
    return Answer(True, named((case.wired.boards[case.wired.registers[index].board],)))


@fact
def boot_medium(case: Case, _: str) -> Answer:
    """A medium is in the drive that the machine boots from."""
    cable = case.wired.boot.cable
    if cable is None or not cable.media_text:
        return Answer(False, "the loadout names no medium to boot from")
    return Answer(True, f"{cable.media_text} in what hangs on {cable.board}")


@fact
def line_printer(case: Case, _: str) -> Answer:
    """A line printer board is fitted."""
    found = tuple(one for one in case.wired.registers if one.device.endswith("printer"))
    return boards_answer(case.boards_of(found), "there is no line printer board", "drives a line printer")


@fact
def paper_tape(case: Case, _: str) -> Answer:
    """A paper tape controller is fitted."""
    found = tuple(one for one in case.wired.registers if one.device == "paper-tape")
    return boards_answer(case.boards_of(found), "there is no paper tape controller", "drives a paper tape")


_STORAGE = ("disk", "floppy", "nine-track", "tape-port")


@fact
def storage(case: Case, _: str) -> Answer:
    """A device that moves blocks is fitted, a disk, floppy or tape, or a board that does DMA."""
    found = tuple(one for one in case.wired.registers if any(word in one.device for word in _STORAGE))
    if not found:
        return dma_boards(case, "")
    return boards_answer(case.boards_of(found), "no device here moves blocks")


@fact
def drives(case: Case, _: str) -> Answer:
    """A drive hangs on a controller."""
    found = [one for one in case.wired.cables if one.registers is None]
    words = ", ".join(one.drive.kind for one in found)
    return Answer(bool(found), f"there are drives ({words})" if words else "no drive hangs on this machine")


# ---- memory, options, vectors


@fact
def floating_point(case: Case, _: str) -> Answer:
    """The processor has FPP or FIS."""
    fitted = any({"fpp", "fis"} & set(one.options) for one in case.wired.processors)
    return Answer(fitted, f"floating point is {'' if fitted else 'not '}fitted")


@fact
def software_vectors(case: Case, _: str) -> Answer:
    """A device takes its vector from the program."""
    found = tuple(board for board in case.wired.boards if any(one.vector_by_software for one in board.entry.registers))
    return boards_answer(found, "no device here takes its vector from a program")


@fact
def several_memories(case: Case, _: str) -> Answer:
    """The machine has more than one memory board."""
    boards = tuple(case.wired.boards[one.board] for one in case.wired.memories)
    said = f"the only memory is {named(boards)}" if len(boards) == 1 else "there is no memory in the loadout"
    return Answer(len(boards) > 1, named(boards) if len(boards) > 1 else said)


@fact
def parity_memory(case: Case, _: str) -> Answer:
    """A memory keeps parity."""
    found = tuple(case.wired.boards[one.board] for one in case.wired.memories if is_yes(one.parity) is not False)
    known = any(is_yes(one.parity) for one in case.wired.memories)
    return Answer(known or (None if found else False), named(found) if found else "no memory here keeps parity")


@fact
def refreshed_by_others(case: Case, _: str) -> Answer:
    """A memory needs somebody else to refresh it."""
    boards = [case.wired.boards[one.board] for one in case.wired.memories]
    verdicts = [(board, _refreshes_itself(board)) for board in boards]
    needing = tuple(board for board, itself in verdicts if itself is False)
    unsure = tuple(board for board, itself in verdicts if itself is None)
    if needing or not unsure:
        return boards_answer(needing, "no memory here needs refresh from outside", "needs refresh from outside")
    return Answer(None, f"whether {named(unsure)} refreshes itself")


def _refreshes_itself(board: WiredBoard) -> bool | None:
    """True also where nothing needs refresh."""
    memory = board.entry.memory
    if memory is None or isinstance(memory.refreshes_itself, NotApplicable):
        return True
    return is_yes(memory.refreshes_itself)


@fact
def core_memory(case: Case, _: str) -> Answer:
    """A memory is core memory, which keeps its words without power."""
    found = tuple(
        case.wired.boards[one.board]
        for one in case.wired.memories
        if case.wired.boards[one.board].entry.kind.startswith("core memory")
    )
    return boards_answer(found, "no core memory is fitted", "is core memory")


@fact
def core_only(case: Case, _: str) -> Answer:
    """Every memory is core memory."""
    kinds = [case.wired.boards[one.board].entry.kind for one in case.wired.memories]
    only = bool(kinds) and all(kind.startswith("core memory") for kind in kinds)
    return Answer(only, "all memory is core memory" if only else "not all memory is core memory")


@fact
def large_memory(case: Case, _: str) -> Answer:
    """The memory reaches beyond 256 KB."""
    ends = [span.end for span in spans(case.wired)]
    total = max(ends, default=0)
    return Answer(total > 0o1000000, f"memory ends at {max(total - 1, 0):06o}")
