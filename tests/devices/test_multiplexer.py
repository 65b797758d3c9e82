"""Asynchronous multiplexer with programmed output, section 10.1 of the facts.

Bits: derived, [mux-driver-header].  Behaviour: from memory, firm, unless a test says unconfirmed.
"""

from __future__ import annotations

from collections import deque

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

import minisim
from minisim.devices._device import Placement
from minisim.machine.machine import Machine
from minisim.machine.rings import drain

from .workbench import Workbench

CONTROL, FIFO, LINES, SEND = 0o160100, 0o160102, 0o160104, 0o160106
READY, READY_ENABLE, ALARM, ALARM_ENABLE = 0o100000, 0o40000, 0o20000, 0o10000
DONE, DONE_ENABLE, SCAN, CLEAR, LOOP = 0o200, 0o100, 0o40, 0o20, 0o10
VALID, OVERRUN, FRAMING = 0o100000, 0o40000, 0o20000
FAST = 0o17430  # receiver on, 19200 baud, eight bits
CHARACTER = 520_833  # ns: ten bits at 19200 baud
BAUDS = (50, 75, 110, 134.5, 150, 300, 600, 1200, 1800, 2000, 2400, 3600, 4800, 7200, 9600, 19200)
GARBAGE = [0, 0o177777, 0o125252, 0o052525, 0o100200, 0o017437, SCAN, SCAN | LOOP, ALARM_ENABLE | SCAN, 0o377, 0o1777]


def feed(machine: Machine, line: int, data: bytes, *, steady: bool = True) -> None:
    """The host sends on a line."""
    device = machine.device("multiplexer")
    machine._inputs.act(device, f"feed {'steadily' if steady else 'patiently'} {line}")
    machine._inputs.feed(device, f"keyboard {line}", data)


def printed(machine: Machine, line: int) -> bytes:
    """What came out of a line."""
    return drain(machine._raw, machine.device("multiplexer").rings[f"printer {line}"])


class Multiplexer(Workbench):
    """A multiplexer, scanning, with all its lines set."""

    def __init__(self, *, lines: int = 1, parameters: int = FAST, control: int = SCAN, granted: bool = True) -> None:
        vectors = ((0o310, 5), (0o314, 5))
        super().__init__(Placement("multiplexer", "main/a/3", lines=lines, vectors=vectors, granted=granted))
        self.set_up(parameters, control)

    def set_up(self, parameters: int = FAST, control: int = SCAN) -> None:
        """The parameters of all lines, then the control register."""
        for line in range(8):
            self.write(FIFO, parameters | line)
        self.write(CONTROL, control)

    def feed(self, line: int, data: bytes, *, steady: bool = True) -> None:
        """The host sends on a line."""
        feed(self.machine, line, data, steady=steady)

    def taken(self, limit: int = 1000) -> list[int]:
        """All words of the FIFO, as a program reads them: until one is not valid."""
        words: list[int] = []
        self.wait(400)
        while len(words) < limit and (word := self.read(FIFO)) & VALID:
            words.append(word)
            self.wait(400)
        return words

    def send(self, text: bytes, *, ns: int = 2_000) -> list[int]:
        """Load a character whenever one is asked for; gives the lines that asked."""
        asked = []
        for code in text:
            self.wait(ns)
            control = self.read(CONTROL)
            assert control & READY
            asked.append(control >> 8 & 0o17)
            self.write_byte(SEND, code)
        return asked


# --- every bit ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("where", "written", "read"),
    [
        (CONTROL, 0, 0),
        (CONTROL, READY_ENABLE | ALARM_ENABLE | DONE_ENABLE | SCAN | LOOP, 0o050150),  # read and write
        (CONTROL, READY | ALARM | 0o7400 | DONE | 7, 0),  # read only, and bits that are not there
        (FIFO, 0o177777, 0),  # parameters: a read gives the FIFO
        (LINES, 0o177777, 0o177777),
        (LINES, 0o052525, 0o052525),
        (SEND, 0o177777, 0),  # ring and carrier: 0 without a modem
    ],
)
def test_every_bit_that_a_program_writes_and_initialise_clears(where: int, written: int, read: int) -> None:
    bench = Workbench(Placement("multiplexer"))
    bench.write(where, written)
    assert bench.read(where) == read  # mux-driver-header
    bench.initialise()
    assert [bench.read(CONTROL + 2 * n) for n in range(4)] == [0, 0, 0, 0]  # terminal ready too


def test_a_board_of_four_lines_has_half_of_the_bits_and_takes_no_others() -> None:
    bench = Multiplexer(lines=4)
    bench.write(LINES, 0o177777)
    assert bench.read(LINES) == 0o007417
    assert set(bench.send(b"x" * 8)) == {0, 1, 2, 3}
    with pytest.raises(KeyError):
        bench.feed(4, b"x")


def test_each_byte_of_the_line_register_can_be_written_alone() -> None:
    bench = Multiplexer()
    bench.write_byte(LINES + 1, 0o125)
    bench.write_byte(LINES, 0o252)
    assert bench.read(LINES) == 0o052652


def test_without_a_place_of_its_own_it_stands_at_the_earliest_one() -> None:
    bench = Workbench(Placement("multiplexer", "x"))
    assert bench.read(0o160100) == 0  # mux-wiki: 760100
    with pytest.raises(minisim.BusTimeout):
        bench.read(0o160110)
    bench.write(CONTROL, SCAN | READY_ENABLE)
    bench.write(LINES, 1)
    bench.wait(2_000)
    assert bench.grants(priority=4) == [0o314]  # transmit is base + 4, here of the guessed base 310; level 5
    bench.write(LINES, 3)
    assert bench.grants(priority=5) == []


# --- receiving ----------------------------------------------------------------------------------------------------


def test_a_word_of_the_fifo_tells_line_and_character_and_each_read_takes_one() -> None:
    bench = Multiplexer()
    bench.feed(3, b"A")
    bench.feed(5, b"B")
    bench.wait(CHARACTER + 1_000)
    assert bench.read(CONTROL) == SCAN | DONE
    assert bench.read(FIFO) == VALID | 3 << 8 | 0o101
    assert bench.read(CONTROL) == SCAN
    bench.wait(100)
    assert bench.read(CONTROL) == SCAN | DONE
    assert bench.read(FIFO) == VALID | 5 << 8 | 0o102
    bench.wait(100)
    assert (bench.read(CONTROL), bench.read(FIFO)) == (SCAN, 0)


def test_nothing_is_heard_without_the_receiver_and_nothing_scanned_without_its_enable() -> None:
    bench = Multiplexer(parameters=FAST & ~0o10000)
    bench.feed(0, b"A")
    bench.wait(10 * CHARACTER)
    assert bench.read(FIFO) == 0  # parameters, bit 12
    bench.write(CONTROL, 0)
    bench.write(FIFO, FAST)
    bench.write(LINES, 0o377)
    bench.wait(10 * CHARACTER)
    assert (bench.read(CONTROL), bench.read(FIFO)) == (0, 0)  # nothing is scanned until bit 5 is 1
    bench.write(CONTROL, SCAN)
    bench.wait(2_000)
    assert bench.read(CONTROL) == SCAN | DONE | READY
    assert bench.read(FIFO) == VALID | 0o101


def test_64_characters_wait_and_the_one_after_the_next_sets_overrun() -> None:
    bench = Multiplexer()
    bench.feed(0, bytes(range(64)))
    bench.wait(65 * CHARACTER)
    bench.feed(1, b"\x40")
    bench.wait(2 * CHARACTER)
    assert [word & 0o3777 for word in bench.taken()] == [*range(64), 0o500]  # the 65th waited in its line: none lost
    bench.feed(0, bytes(range(64)))
    bench.wait(65 * CHARACTER)
    bench.feed(2, b"abc")
    bench.wait(4 * CHARACTER)
    words = bench.taken()
    assert words[:64] == [VALID | n for n in range(64)]  # mux-wiki: 64 characters
    assert words[64:] == [VALID | OVERRUN | 2 << 8 | ord("c")]  # mux-driver-header: 14


@pytest.mark.parametrize(("code", "length"), [(0, 5), (1, 6), (2, 7), (3, 8)])
def test_characters_have_the_length_of_their_line_both_ways(code: int, length: int) -> None:
    bench = Multiplexer(parameters=FAST & ~0o30 | code << 3)
    bench.feed(6, b"\xff")
    bench.write(LINES, 1 << 6)
    bench.send(b"\xff")
    bench.wait(2 * CHARACTER)
    assert bench.taken() == [VALID | 6 << 8 | (1 << length) - 1]
    assert printed(bench.machine, 6) == bytes([(1 << length) - 1])


@pytest.mark.parametrize("code", range(16))
def test_each_code_gives_its_speed_both_ways(code: int) -> None:
    bench = Multiplexer(parameters=FAST & ~0o7400 | code << 8)
    bits = 11 if BAUDS[code] <= 110 else 10  # 1.6 of the facts: the teleprinter's eleven units
    character = int(bits * 1_000_000_000 / BAUDS[code])
    bench.feed(0, b"xyz")
    bench.write(LINES, 2)
    bench.send(b"12")
    bench.wait(3 * character - 8_000)
    assert len(bench.taken()) == 2
    bench.wait(8_000)
    assert len(bench.taken()) == 1
    assert printed(bench.machine, 1) == b"12"


def test_each_line_has_its_own_parameters() -> None:
    bench = Multiplexer()
    bench.write(FIFO, FAST & ~0o7400 | 2)  # line 2: 50 baud
    for line in (1, 2, 3):
        bench.feed(line, b"q")
    bench.wait(2 * CHARACTER)
    assert [word >> 8 & 7 for word in bench.taken()] == [1, 3]
    bench.wait(220_000_000)
    assert [word >> 8 & 7 for word in bench.taken()] == [2]


def test_a_break_from_the_host_is_a_framing_error_with_data_0() -> None:
    bench = Multiplexer()
    bench.machine._inputs.act(bench.machine.device("multiplexer"), "break 4")
    bench.wait(1_000)
    assert bench.taken() == [VALID | FRAMING | 4 << 8]  # mux-driver-header: 13
    bench.feed(4, b"A")
    bench.wait(2 * CHARACTER)
    assert bench.taken() == [VALID | 4 << 8 | 0o101]


def test_somebody_at_a_keyboard_waits_and_a_machine_does_not() -> None:
    text = bytes(range(200))
    patient, steady = Multiplexer(), Multiplexer()
    patient.feed(0, text, steady=False)
    steady.feed(0, text)
    for bench in (patient, steady):
        bench.wait(300 * CHARACTER)
    words = patient.taken()
    assert 16 <= len(words) < 64  # enough for the alarm, never too many
    while len(words) < len(text):
        patient.wait(10 * CHARACTER)
        words += patient.taken()
    assert words == [VALID | code for code in text]
    assert [word & 0o377 for word in steady.taken()] == [*range(64), 199]


# --- interrupts ---------------------------------------------------------------------------------------------------


def test_each_character_interrupts_where_the_alarm_is_not_enabled() -> None:
    bench = Multiplexer(control=SCAN | DONE_ENABLE)
    bench.feed(0, b"abc")
    bench.wait(CHARACTER + 1_000)
    assert bench.grants() == [0o310]
    assert bench.grants() == []  # one for one character
    bench.wait(3 * CHARACTER)
    assert bench.grants() == []  # it was not read: no edge
    for _ in range(2):
        bench.read(FIFO)
        bench.wait(400)
        assert bench.grants() == [0o310]  # the next one comes to the exit
    bench.read(FIFO)
    bench.wait(400)
    assert bench.grants() == []


def test_a47_seventeen_unread_characters_with_the_alarm_interrupt_once_at_the_16th() -> None:
    bench = Multiplexer(control=SCAN | DONE_ENABLE | ALARM_ENABLE)
    bench.feed(0, bytes(17))
    bench.wait(15 * CHARACTER + 10_000)
    assert bench.grants() == []
    assert not bench.read(CONTROL) & ALARM
    bench.wait(CHARACTER)
    assert bench.read(CONTROL) & ALARM
    assert bench.grants() == [0o310]  # A47, firm
    bench.wait(10 * CHARACTER)
    assert bench.grants() == []
    bench.read(FIFO)
    assert not bench.read(CONTROL) & ALARM  # reading the FIFO clears the alarm
    assert len(bench.taken()) == 16


def test_the_alarm_comes_again_after_sixteen_more() -> None:
    bench = Multiplexer(control=SCAN | DONE_ENABLE | ALARM_ENABLE)
    for _ in range(3):
        bench.feed(2, bytes(16))
        bench.wait(17 * CHARACTER)
        assert bench.grants() == [0o310]
        assert len(bench.taken()) == 16


def test_without_its_enable_there_is_no_alarm_and_dropping_it_clears_the_alarm() -> None:
    bench = Multiplexer()
    bench.feed(0, bytes(20))
    bench.wait(21 * CHARACTER)
    assert not bench.read(CONTROL) & ALARM  # unconfirmed: held at 0
    bench.write(CONTROL, SCAN | ALARM_ENABLE | DONE_ENABLE)
    assert bench.grants() == []
    bench.feed(0, b"x")
    bench.wait(2 * CHARACTER)
    assert bench.read(CONTROL) & ALARM
    assert bench.grants() == [0o310]
    bench.write(CONTROL, SCAN | DONE_ENABLE)
    assert bench.grants() == []  # the first character asked before, in another way; the condition did not fall


def test_a_character_that_is_read_before_the_grant_does_not_interrupt() -> None:
    bench = Multiplexer(control=SCAN | DONE_ENABLE)
    bench.feed(0, b"a")
    bench.wait(2 * CHARACTER)
    bench.read(FIFO)
    assert bench.grants() == []  # handbook-1969 p. 54: the edge rule


def test_receive_goes_before_transmit_and_both_have_their_vectors() -> None:
    bench = Multiplexer(control=SCAN | DONE_ENABLE | READY_ENABLE)
    bench.write(LINES, 1)
    bench.wait(2_000)
    bench.feed(0, b"a")
    bench.wait(2 * CHARACTER)
    assert bench.grants() == [0o310, 0o314]  # firm: transmit is base + 4


def test_where_no_grant_arrives_the_registers_answer_and_nothing_interrupts() -> None:
    bench = Multiplexer(control=SCAN | DONE_ENABLE | READY_ENABLE, granted=False)
    bench.write(LINES, 1)
    bench.feed(0, b"a")
    bench.wait(2 * CHARACTER)
    assert bench.read(CONTROL) & (READY | DONE) == READY | DONE
    assert bench.grants() == []
    assert bench.machine.counters().refused == {"main/a/3": 2}


# --- sending ------------------------------------------------------------------------------------------------------


def test_the_scanner_offers_each_enabled_line_in_turn_and_the_number_stands_in_11_to_8() -> None:
    bench = Multiplexer()
    bench.write(LINES, 0o245)  # lines 0, 2, 5, 7
    assert bench.send(b"abcdefgh") == [0, 2, 5, 7, 0, 2, 5, 7]
    bench.wait(3 * CHARACTER)
    assert [printed(bench.machine, line) for line in range(8)] == [b"ae", b"", b"bf", b"", b"", b"cg", b"", b"dh"]


def test_loading_clears_ready_and_it_comes_back_for_a_free_line_only() -> None:
    bench = Multiplexer(control=SCAN | READY_ENABLE)
    bench.write(LINES, 0o20)
    bench.wait(2_000)
    assert (bench.read(CONTROL) & 0o107400, bench.grants()) == (READY | 4 << 8, [0o314])
    bench.write_byte(SEND, 0o101)
    assert not bench.read(CONTROL) & READY
    bench.wait(2_000)
    assert bench.grants() == [0o314]  # the line has taken it, its buffer is free
    bench.write_byte(SEND, 0o102)
    bench.wait(10_000)
    assert not bench.read(CONTROL) & READY  # both its places are full
    bench.wait(CHARACTER)
    assert (printed(bench.machine, 4), bench.grants()) == (b"A", [0o314])
    bench.write(SEND, 0o103)
    bench.wait(3 * CHARACTER)
    assert printed(bench.machine, 4) == b"BC"


def test_dropping_the_enable_takes_the_offer_back() -> None:
    bench = Multiplexer(control=SCAN | READY_ENABLE)
    bench.write(LINES, 2)
    bench.wait(2_000)
    bench.write(LINES, 4)
    assert not bench.read(CONTROL) & READY
    assert bench.grants() == []
    bench.wait(2_000)
    assert bench.read(CONTROL) & 0o107400 == READY | 2 << 8
    bench.write_byte(SEND + 1, 0)
    assert bench.read(CONTROL) & READY  # only the low byte loads
    bench.write(LINES, 0)
    bench.write_byte(SEND, 0o101)
    bench.wait(3 * CHARACTER)
    assert [printed(bench.machine, line) for line in range(8)] == [b""] * 8  # unconfirmed: nothing was offered


def test_a_break_of_the_program_is_told_once_and_stops_what_is_sent_in_it() -> None:
    bench = Multiplexer()
    bench.write(LINES, 2)
    breaks = bench.machine.device("multiplexer").rings["breaks 1"]
    bench.write_byte(SEND + 1, 2)
    bench.write_byte(SEND + 1, 2)
    bench.send(b"a")
    bench.wait(2 * CHARACTER)
    assert (drain(bench.raw, breaks), printed(bench.machine, 1)) == (b"\0", b"")
    bench.write_byte(SEND + 1, 0)
    bench.send(b"b")
    bench.wait(2 * CHARACTER)
    assert (drain(bench.raw, breaks), printed(bench.machine, 1)) == (b"", b"b")


# --- maintenance, clear, initialise -------------------------------------------------------------------------------


def test_looped_lines_hear_what_they_send_and_nothing_else() -> None:
    bench = Multiplexer(control=SCAN | LOOP)
    bench.feed(3, b"!")
    bench.write(LINES, 0o377)
    assert bench.send(b"01234567") == list(range(8))
    bench.wait(2 * CHARACTER)
    assert sorted(bench.taken()) == [VALID | n << 8 | 0o60 + n for n in range(8)]
    bench.write_byte(SEND + 1, 0o10)
    bench.wait(1_000)
    assert bench.taken() == [VALID | FRAMING | 3 << 8]
    bench.write(CONTROL, SCAN)
    bench.wait(2 * CHARACTER)
    assert bench.taken() == [VALID | 3 << 8 | ord("!")]  # it waited with the host


def test_bit_4_clears_control_fifo_and_lines_but_not_terminal_ready_and_drops_after_15_us() -> None:
    bench = Multiplexer(control=SCAN | DONE_ENABLE | READY_ENABLE)
    bench.write(LINES, 0o125377)
    bench.feed(0, bytes(30))
    bench.send(b"ab")
    bench.wait(20 * CHARACTER + CHARACTER // 2)
    bench.write(CONTROL, SCAN | CLEAR)
    assert bench.read(CONTROL) == CLEAR
    bench.write(CONTROL, SCAN | DONE_ENABLE)
    assert (bench.read(CONTROL), bench.read(FIFO)) == (CLEAR, 0)  # the program must wait
    bench.wait(14_999)
    assert bench.read(CONTROL) == CLEAR
    bench.wait(1)
    assert [bench.read(CONTROL + 2 * n) for n in range(4)] == [0, 0, 0o125000, 0]
    assert bench.grants() == []
    printed(bench.machine, 0)
    bench.wait(30 * CHARACTER)
    assert bench.read(FIFO) == 0  # its receivers are off
    bench.set_up()
    bench.write(LINES, 0o125001)
    bench.wait(20 * CHARACTER)
    assert bench.send(b"c") == [0]
    bench.wait(2 * CHARACTER)
    assert len(bench.taken()) == 9  # twenty had come, one was on its way and is lost, nine were with the host
    assert printed(bench.machine, 0) == b"c"


def test_initialise_in_the_middle_of_everything_clears_at_once() -> None:
    bench = Multiplexer(control=SCAN | LOOP | DONE_ENABLE)
    bench.write(LINES, 0o177777)
    bench.send(b"abcdefghij")
    bench.wait(CHARACTER + CHARACTER // 2)
    bench.initialise()
    assert [bench.read(CONTROL + 2 * n) for n in range(4)] == [0, 0, 0, 0]
    bench.set_up(control=SCAN)
    bench.wait(10 * CHARACTER)
    assert (bench.taken(), bench.grants()) == ([], [])
    bench.write(LINES, 1)
    assert bench.send(b"k") == [0]


def test_frozen_in_the_middle_and_thawed_it_goes_on_the_same() -> None:
    bench = Multiplexer(control=SCAN | DONE_ENABLE | READY_ENABLE | ALARM_ENABLE)
    bench.write(LINES, 0o377)
    for line in range(8):
        bench.feed(line, bytes(range(line, line + 20)), steady=line % 2 == 0)
    bench.send(b"abcdefghijkl")
    bench.wait(9 * CHARACTER // 2)
    other = Multiplexer.__new__(Multiplexer)
    other.machine = minisim.thaw(bench.machine.freeze())
    other.raw = other.machine._raw
    other.read, other.write = other.machine.read, other.machine.write
    other.write_byte = other.machine.write_byte
    seen = []
    for one in (bench, other):
        one.wait(5 * CHARACTER)
        seen.append((one.taken(), one.send(b"xyz"), one.grants(), one.machine.state_hash()))
    assert seen[0] == seen[1]
    assert len(seen[0][0]) > 30


# --- a program in the machine -------------------------------------------------------------------------------------

ECHO = """
; Sends back on each line what comes on it, one character at a time.
. = 1000
begin:  mov #begin, sp
        mov #10, r1             ; eight lines
        mov #17430, r0          ; receiver on, 19200 baud, eight bits
set:    mov r0, @#160102
        inc r0
        dec r1
        bne set
        mov #40, @#160100       ; scan
loop:   mov @#160102, r0        ; a word of the FIFO
        bpl loop
        mov r0, r1
        swab r1
        bic #177770, r1         ; its line
        mov #1, r2
        ash r1, r2
        mov r2, @#160104        ; ask for this line alone
wait:   tst @#160100
        bpl wait
        movb r0, @#160106
        br loop
"""


def test_a_program_sends_back_on_each_line_what_came_on_it() -> None:
    bench = Workbench(Placement("multiplexer", "main/a/3"))
    machine = bench.machine
    text = [bytes(48 + (line * 7 + n) % 70 for n in range(100)) for line in range(8)]
    program = minisim.assemble(ECHO)
    for block in program.blocks:
        machine.memory[block.address : block.address + len(block.data)] = block.data
    machine.power_up(pc=0o1000, ps=0o340)
    for line in range(8):
        feed(machine, line, text[line], steady=False)
    machine.run(limit=1_000_000)
    assert [printed(machine, line) for line in range(8)] == text


# --- any program --------------------------------------------------------------------------------------------------


class AnyProgram(RuleBasedStateMachine):
    """Legal and illegal programs against queues: no character is lost, changes place or comes twice, but where the
    overrun bit says so; and whatever was written, a clear makes the board as new.
    """

    @initialize(lines=st.sampled_from([4, 8]))
    def begin(self, lines: int) -> None:
        """A board that scans."""
        self.lines = lines
        self.bench = Multiplexer(lines=lines)
        self.fed = [0] * lines  # how many characters the host sent
        self.seen = [0] * lines  # how many of them the program has seen or missed
        self.may_miss = [False] * lines  # a clear or garbage came in between
        self.loaded: list[deque[int]] = [deque() for _ in range(lines)]
        self.next_code = 0
        self.wild = False  # garbage was written: nothing is compared until the next clear

    @rule(data=st.data(), count=st.integers(1, 120), steady=st.booleans())
    def host_sends(self, data: st.DataObject, count: int, steady: bool) -> None:
        """Numbered characters."""
        line = data.draw(st.integers(0, self.lines - 1))
        codes = bytes((self.fed[line] + n) % 256 for n in range(count))
        self.fed[line] += count
        self.bench.feed(line, codes, steady=steady)

    @rule(characters=st.integers(0, 100), ns=st.integers(0, CHARACTER))
    def time_passes(self, characters: int, ns: int) -> None:
        """Any time."""
        self.bench.wait(characters * CHARACTER + ns)

    @rule(limit=st.sampled_from([1, 5, 20, 1000]))
    def program_reads(self, limit: int) -> None:
        """Some words of the FIFO."""
        for word in self.bench.taken(limit):
            if not self.wild:
                self.heard(word >> 8 & 7, word)

    def heard(self, line: int, word: int) -> None:
        """The next character of its line, or after an overrun a later one that the host has sent."""
        missed = ((word & 0o377) - self.seen[line]) % 256
        if word & OVERRUN:
            assert missed > 0
        elif not self.may_miss[line]:
            assert missed == 0
        self.may_miss[line] = False
        self.seen[line] += missed + 1
        assert self.seen[line] <= self.fed[line]

    @rule(enabled=st.integers(0, 0o377), count=st.integers(1, 12), ns=st.sampled_from([1_200, 50_000, CHARACTER]))
    def program_sends(self, enabled: int, count: int, ns: int) -> None:
        """A character whenever the board asks for one."""
        self.bench.write_byte(LINES, enabled)
        for _ in range(count):
            self.bench.wait(ns)
            control = self.bench.read(CONTROL)
            if control & READY:
                line = control >> 8 & 0o17
                assert self.wild or enabled >> line & 1
                self.bench.write_byte(SEND, self.next_code)
                self.loaded[line].append(self.next_code)
                self.next_code = (self.next_code + 1) % 256

    @rule()
    def printed_in_order(self) -> None:
        """What came out of each line, but for what is still on its way."""
        for line in range(self.lines):
            for code in printed(self.bench.machine, line):
                if not self.wild:
                    assert self.loaded[line].popleft() == code
            if not self.wild:
                assert len(self.loaded[line]) <= 2

    @rule(alarm=st.booleans(), enables=st.sampled_from([0, DONE_ENABLE, READY_ENABLE, DONE_ENABLE | READY_ENABLE]))
    def program_enables(self, alarm: bool, enables: int) -> None:
        """Interrupt enables while it scans."""
        if not self.wild:
            self.bench.write(CONTROL, SCAN | enables | (ALARM_ENABLE if alarm else 0))

    @rule()
    def program_is_interrupted(self) -> None:
        """Each line asks once at most."""
        assert len(self.bench.grants()) <= 2

    @precondition(lambda self: self.is_garbage_due())
    @rule(where=st.sampled_from([CONTROL, FIFO, LINES, SEND]), word=st.sampled_from(GARBAGE), byte=st.booleans())
    def program_writes_garbage(self, where: int, word: int, byte: bool) -> None:
        """Anything, anywhere."""
        self.wild = True
        if byte:
            self.bench.write_byte(where + (word & 1), word & 0o377)
        else:
            self.bench.write(where, word)

    @rule(code=st.integers(0, 15), line=st.integers(0, 7))
    def program_changes_a_speed(self, code: int, line: int) -> None:
        """Between characters or in one: none is lost by it."""
        self.bench.write(FIFO, FAST & ~0o7400 | (code << 8 if code > 6 else 0o7400) | line)

    @rule(by_initialise=st.booleans())
    def program_clears(self, by_initialise: bool) -> None:
        """As new: the lines begin afresh, and whatever the host has left comes."""
        bench = self.bench
        if by_initialise:
            bench.initialise()
        else:
            bench.write(CONTROL, CLEAR)
            bench.wait(15_000)
            assert bench.read(CONTROL) == 0
        assert bench.read(FIFO) == 0
        bench.set_up()
        bench.write(LINES, 1)
        bench.wait(2_000)
        assert bench.read(CONTROL) & READY
        bench.write(LINES, 0)
        self.resume()

    def resume(self) -> None:
        """Forget what the clear threw away."""
        for line in range(self.lines):
            self.loaded[line].clear()
            printed(self.bench.machine, line)
            waiting = self.bench.raw.rings[self.bench.machine.device("multiplexer").rings[f"keyboard {line}"]].count
            on_the_way = self.bench.machine.device("multiplexer").registers["receiving"][0]
            waiting += self.bench.raw.registers[on_the_way].value >> line & 1
            self.seen[line] = self.fed[line] - waiting
            self.may_miss[line] = False
        self.wild = False

    def is_garbage_due(self) -> bool:
        """On boards of four lines only: programs on those of eight are legal, and all they see is compared."""
        return self.lines == 4

    @precondition(lambda self: hasattr(self, "bench"))
    @invariant()
    def the_count_is_that_of_the_fifo(self) -> None:
        """Never more than 64, and none is counted that is not there."""
        device = self.bench.machine.device("multiplexer")
        values = {name: self.bench.raw.registers[device.registers[name][0]].value for name in ("waiting", "receive")}
        waiting = self.bench.raw.rings[device.rings["characters"]].count
        assert self.bench.raw.rings[device.rings["tags"]].count == waiting
        assert values["waiting"] <= 64
        if not self.wild:
            assert values["waiting"] == waiting + (values["receive"] >> 15)


class ManyPrograms(AnyProgram):
    """The same for longer."""


AnyProgram.TestCase.settings = settings(max_examples=20, stateful_step_count=30, derandomize=True, deadline=None)
ManyPrograms.TestCase.settings = settings(max_examples=1500, stateful_step_count=30, derandomize=True, deadline=None)
test_any_program = AnyProgram.TestCase
test_many_programs = pytest.mark.slow(ManyPrograms.TestCase)
