"""Facts that rest on the owner's words: the numbers in them, held against the machine."""

from __future__ import annotations

from minisim.why.case import Case, base_of, named
from minisim.why.fact_register import boards_answer, fact, of_words, of_words_with
from minisim.why.letters import boots_of, device_boards, expected_offset, rom_of
from minisim.why.lists import answering, near_vectors
from minisim.why.model import Answer
from minisim.why.numbers import WINDOWS, WORD
from minisim.wiring.model import GrantKind, Passes

# ---- boot ROMs


@of_words_with
def rom_window(case: Case, argument: str) -> Answer:
    """The address in the words lies in this window: high (773000) or low (765000)."""
    address, start = case.number("address"), WINDOWS[argument]
    inside = address is not None and start <= address <= start + 0o1000
    return Answer(inside, f"the address is {'' if inside else 'not '}in the window at 7{start & 0o77777:05o}")


@of_words
def rom_word_known(case: Case, _: str) -> Answer:
    """The word in the words is the first word of a ROM of the catalogue."""
    rom = rom_of(case)
    return Answer(rom is not None, rom.kind if rom else "no ROM of the catalogue begins so")


@of_words
def rom_boots_known(case: Case, _: str) -> Answer:
    """What the ROM with this word boots is known."""
    found = boots_of(case)
    return Answer(bool(found), found or "what this ROM boots is not known")


@fact
def rom_device_here(case: Case, _: str) -> Answer:
    """A device that the ROM with this word boots is in this machine."""
    found = device_boards(case)
    return boards_answer(found, "no such device is in this machine", "has such a device")


@fact
def rom_at_other_address(case: Case, _: str) -> Answer:
    """The device is here, but not where the ROM goes to."""
    wanted, boards = expected_offset(case), {board.index for board in device_boards(case)}
    bases = [base_of(one) for one in case.wired.registers if one.board in boards]
    if wanted is None or not boards or None in bases:
        return Answer(False if not boards else None, "at which address it answers")
    return Answer(wanted not in bases, f"it is{'' if wanted in bases else ' not'} at the address the ROM goes to")


# ---- vectors


@of_words_with
def vector(case: Case, argument: str) -> Answer:
    """The words name this vector (octal)."""
    return Answer(case.vector == int(argument, 8), "the vector is another one")


_OF_PROCESSOR = (0, 0o4, 0o10, 0o14, 0o20, 0o24, 0o30, 0o34, 0o114, 0o240, 0o244, 0o250)
_SYSTEM_CALLS = (0o20, 0o30, 0o34)


@of_words
def device_vector(case: Case, _: str) -> Answer:
    """The vector is one for devices, not one that the processor keeps for its own traps."""
    found = case.vector is not None and case.vector not in _OF_PROCESSOR
    return Answer(found, f"vector {case.vector or 0:03o} is {'for devices' if found else 'a trap of the processor'}")


@of_words
def system_call_vector(case: Case, _: str) -> Answer:
    """The vector belongs to an instruction that calls a system: IOT, EMT or TRAP."""
    return Answer(case.vector in _SYSTEM_CALLS, "the vector is none of 020, 030, 034")


@of_words
def no_stop(case: Case, _: str) -> Answer:
    """The words name the vector itself, not a stop."""
    return Answer(case.number("stop") is None, "the words name a stop")


@fact
def vector_of_device(case: Case, _: str) -> Answer:
    """A device of this machine interrupts through the vector."""
    boards = case.boards_of(case.at_vector())
    return boards_answer(boards, "no device of this machine has that vector", "has that vector")


@fact
def near_vector(case: Case, _: str) -> Answer:
    """A device has a vector that differs in one bit from that in the words."""
    found = case.boards_of(tuple(near_vectors(case)))
    return boards_answer(found, "no vector of this machine is one bit away", "has a vector one bit away")


@fact
def vector_reached(case: Case, _: str) -> Answer:
    """A grant reaches a device with the vector."""
    reached = [case.wired.reached(one.board, GrantKind.INTERRUPT) for one in case.at_vector()]
    if Passes.YES in reached:
        return Answer(True, "the grant reaches it")
    if Passes.UNKNOWN in reached:
        return Answer(None, "whether a grant reaches it")
    return Answer(False, "no grant reaches a device with that vector, so none can have interrupted")


@of_words
def stop_at_halt(case: Case, _: str) -> Answer:
    """The address is that of the HALT itself, two behind the vector."""
    stop = case.number("stop")
    return Answer(stop is not None and stop % 4 == 2, "the address is four behind the vector")


# ---- memory


@fact
def inside_memory(case: Case, _: str) -> Answer:
    """Memory of the loadout answers at the address."""
    found = tuple(case.wired.boards[span.memory.board] for span in case.spans_there())
    return boards_answer(found, "no memory of the loadout answers there", "answers there")


@fact
def register_there(case: Case, _: str) -> Answer:
    """A register or ROM of the loadout answers at the address."""
    boards = answering(case)
    return boards_answer(boards, "no register of the loadout is there", "answers there")


@fact
def something_there(case: Case, _: str) -> Answer:
    """Memory, a register or a ROM of the loadout answers at the address."""
    found = (*(case.wired.boards[span.memory.board] for span in case.spans_there()), *answering(case))
    return boards_answer(found, "nothing of the loadout is there", "answers there")


@fact
def memory_there_twice(case: Case, _: str) -> Answer:
    """Two memories of the loadout answer at the address."""
    found = tuple(case.wired.boards[span.memory.board] for span in case.spans_there())
    return Answer(len(found) > 1, named(found) if len(found) > 1 else "only one memory answers there")


@of_words
def same_word(case: Case, _: str) -> Answer:
    """Expected and found word are equal."""
    return Answer(case.xor == 0, "the two words differ")


@of_words
def one_bit(case: Case, _: str) -> Answer:
    """Exactly one bit differs."""
    return Answer(len(case.bits) == 1, f"{len(case.bits)} bits differ")


@of_words
def one_byte(case: Case, _: str) -> Answer:
    """More than one bit differs, all in one byte."""
    xor = case.xor or 0
    inside = len(case.bits) > 1 and (not xor & 0o377 or not xor & 0o177400)
    return Answer(inside, "the bits are in both bytes" if len(case.bits) > 1 else "one bit differs")


@of_words
def found_extreme(case: Case, _: str) -> Answer:
    """The word found is 000000 or 177777."""
    return Answer(case.number("found") in (0, WORD), "the word found is neither all zeros nor all ones")


@of_words
def two_words(case: Case, _: str) -> Answer:
    """The words hold an expected and a found word."""
    return Answer(case.xor is not None, "no expected and found words are given")


@of_words
def one_profile_case(case: Case, _: str) -> Answer:
    """The trial case in the words exists."""
    from minisim.why.trial import case_of

    found = case_of(case.text("case"))
    return Answer(found is not None, found.about if found else "there is no such trial case")


@fact
def trial_option_missing(case: Case, _: str) -> Answer:
    """The trial case needs an option that this processor has not."""
    from minisim.why.trial import missing_options

    missing = missing_options(case)
    said = ", ".join(missing).upper()
    return Answer(bool(missing), f"{said} not fitted" if missing else "every option it needs is fitted")


@of_words
def trial_of_option(case: Case, _: str) -> Answer:
    """The trial case is one of FPP, FIS or CIS."""
    from minisim.why.trial import needs_of

    found = {"fpp", "fis", "cis"} & set(needs_of(case))
    return Answer(bool(found), ", ".join(found).upper() or "the case is none of FPP, FIS or CIS")
