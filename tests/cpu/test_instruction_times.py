"""Printed instruction times, word by word, on both cores.  Each row has what is printed and the key of its source."""

from __future__ import annotations

from dataclasses import replace

import pytest
from core_bench import PROFILES, STACK, prepared

from minisim.catalogue.times import MODEL, InstructionTimes, Time
from minisim.cpu._core import ffi, lib
from minisim.cpu.handle import Core
from minisim.cpu.profile import configuration, named, timing
from minisim.cpu.times import TimesError, table

HAND, USER, RECALLED, MODELLED = "handbook-1969", "timing-tests-user", "unconfirmed", MODEL
Z, N = 0o4, 0o10
AT_R0, ODD = {0: 0o2000, 1: 0o2010, 2: 0o2020, 3: 0o2030}, {1: 0o2001, 2: 0o2011}
ABOUT = {0: 0o2200}
BRANCHES = {
    "BNE": (0o001001, 0, Z), "BEQ": (0o001401, Z, 0), "BGE": (0o002001, 0, N), "BLT": (0o002401, N, 0),
    "BGT": (0o003001, 0, Z), "BLE": (0o003401, Z, 0), "BPL": (0o100001, 0, N), "BMI": (0o100401, N, 0),
    "BHI": (0o101001, 0, Z), "BLOS": (0o101401, Z, 0), "BVC": (0o102001, 0, 2), "BVS": (0o102401, 2, 0),
    "BCC": (0o103001, 0, 1), "BCS": (0o103401, 1, 0),
}  # fmt: skip

# profile, what, words, registers, ns, source
ROWS = [
    ("first-hardwired", "MOV R1,R2", (0o010102,), {}, 2300, HAND),  # pp. 18-19
    ("first-hardwired", "ADD R1,R2", (0o060102,), {}, 2300, HAND),
    ("first-hardwired", "SUB R1,R2", (0o160102,), {}, 2300, HAND),
    ("first-hardwired", "ADC R2", (0o005502,), {}, 2300, HAND),  # pp. 33-34
    ("first-hardwired", "SBC R2", (0o005602,), {}, 2300, HAND),
    ("first-hardwired", "ROR R2", (0o006002,), {}, 2300, HAND),
    ("first-hardwired", "ROL R2", (0o006102,), {}, 2300, HAND),
    ("first-hardwired", "SWAB R2", (0o000302,), {}, 2300, HAND),
    ("first-hardwired", "MOV (R1),R2", (0o011102,), AT_R0, 3800, HAND),  # 2.3 + 1.5, p. 17
    ("first-hardwired", "MOV (R1)+,R2", (0o012102,), AT_R0, 3800, HAND),
    ("first-hardwired", "MOV -(R1),R2", (0o014102,), AT_R0, 3800, HAND),
    ("first-hardwired", "MOV @(R1)+,R2", (0o013102,), AT_R0, 4950, HAND),  # about 2.6 to 2.7: the middle
    ("first-hardwired", "MOV @X(R1),R2", (0o017102, 0), AT_R0, 6200, HAND),  # 2.3 + 3.9
    ("first-hardwired", "MOV R1,(R2)", (0o010112,), AT_R0, 3700, HAND),  # 2.3 + 1.4
    ("first-hardwired", "MOV R1,-(R2)", (0o010142,), AT_R0, 3700, HAND),
    ("first-hardwired", "MOV R1,@X(R2)", (0o010172, 0), AT_R0, 6100, HAND),  # 2.3 + 3.8
    ("first-hardwired", "MOV (R1),(R2)", (0o011112,), AT_R0, 5200, HAND),  # derived: 2.3 + 1.5 + 1.4
    ("first-hardwired", "MOV X(R1),R2", (0o016102, 0), AT_R0, 5000, MODELLED),
    ("first-hardwired", "MOV R1,X(R2)", (0o010162, 0), AT_R0, 4900, MODELLED),
    ("first-hardwired", "CMP R1,(R2)", (0o020112,), AT_R0, 3300, HAND),  # 2.3 + 1.4 - .4; the 2.3 is taken
    ("first-hardwired", "BIT R1,R2", (0o030102,), {}, 2900, HAND),  # pp. 21, 26
    ("first-hardwired", "BIT R1,(R2)", (0o030112,), AT_R0, 3900, HAND),  # 2.9 + 1.4 - .4
    ("first-hardwired", "TST (R2)", (0o005712,), AT_R0, 3300, HAND),
    ("first-hardwired", "MOVB (R1),(R2), even", (0o111112,), AT_R0, 5200, HAND),
    ("first-hardwired", "MOVB (R1),(R2), both odd", (0o111112,), ODD, 6400, HAND),  # + .6 each
    ("first-hardwired", "CLRB (R2), odd", (0o105012,), ODD, 4300, HAND),
    ("first-hardwired", "INC R2", (0o005202,), {}, 2300, MODELLED),
    ("first-hardwired", "JMP (R2)", (0o000112,), AT_R0, 2600, HAND),  # 1.2 and the destination
    ("first-hardwired", "JSR PC,(R2)", (0o004712,), AT_R0, 5600, RECALLED),  # 4.2 and the destination
    ("first-hardwired", "RTS R2", (0o000202,), AT_R0, 3500, RECALLED),
    ("first-hardwired", "EMT", (0o104000,), {}, 9900, HAND),  # p. 42
    ("first-hardwired", "TRAP", (0o104400,), {}, 9900, HAND),
    ("first-hardwired", "IOT", (0o000004,), {}, 9900, HAND),
    ("first-hardwired", "BPT", (0o000003,), {}, 9900, HAND),
    ("first-hardwired", "RTI", (0o000002,), {}, 4800, HAND),  # p. 43
    ("first-hardwired", "a reserved word", (0o070000,), {}, 9900, MODELLED),
    ("first-hardwired", "JMP R2", (0o000102,), {}, 9900, MODELLED),
    ("first-hardwired", "NOP: the average", (0o000240,), {}, 3529, "tradeoffs-1978"),
    ("microcoded-mid", "MOV R1,R2", (0o010102,), {}, 900, RECALLED),
    ("microcoded-mid", "ADD R1,R2", (0o060102,), {}, 990, RECALLED),
    ("microcoded-mid", "MUL R1,R0", (0o070001,), {}, 8880, RECALLED),
    ("microcoded-mid", "MUL (R1),R0", (0o070011,), AT_R0, 8880, MODELLED),
    ("microcoded-mid", "DIV R1,R0", (0o071001,), {}, 11300, RECALLED),
    ("microcoded-mid", "FADD R0", (0o075000,), ABOUT, 18780, RECALLED),
    ("microcoded-mid", "FSUB R0", (0o075010,), ABOUT, 19080, RECALLED),
    ("microcoded-mid", "FMUL R0", (0o075020,), ABOUT, 29000, RECALLED),
    ("microcoded-mid", "FDIV R0", (0o075030,), ABOUT, 46270, RECALLED),
    ("microcoded-mid", "MOV (R1),R2: the average", (0o011102,), AT_R0, 2087, "tradeoffs-1978"),
    ("fast-ttl-three-mode", "MOV R1,R2", (0o010102,), {}, 300, RECALLED),
    ("fast-ttl-three-mode", "ADD R1,R2", (0o060102,), {}, 300, RECALLED),
    ("fast-ttl-three-mode", "MUL R1,R0", (0o070001,), {}, 3300, RECALLED),
    ("fast-ttl-three-mode", "DIV R1,R0", (0o071001,), {}, 7050, RECALLED),
    ("fast-ttl-three-mode", "INC R2: the average", (0o005202,), {}, 863, "tradeoffs-1978"),
    ("two-board-ttl-mmu", "MOV R1,R2", (0o010102,), {}, 2030, RECALLED),
    ("two-board-ttl-mmu", "MUL R1,R0", (0o070001,), {}, 8820, RECALLED),
    ("two-board-ttl-mmu", "DIV R1,R0", (0o071001,), {}, 12480, RECALLED),
    ("two-board-ttl-mmu", "ADD R1,R2: the average", (0o060102,), {}, 3029, "tradeoffs-1978"),
    ("chipset-one-level", "MOV R1,R2", (0o010102,), {}, 3500, RECALLED),
    ("chipset-one-level", "ADD R1,R2", (0o060102,), {}, 3500, RECALLED),
    ("chipset-one-level", "BR", (0o000401,), {}, 3500, RECALLED),
    ("chipset-one-level", "SOB R1", (0o077101,), {1: 7}, 4900, RECALLED),
    ("chipset-one-level", "MUL R1,R0: middle of 24 to 64", (0o070001,), {}, 44000, RECALLED),
    ("chipset-one-level", "DIV R1,R0: 78 at most", (0o071001,), {}, 78000, RECALLED),
    ("chipset-one-level", "FADD R0", (0o075000,), ABOUT, 42100, RECALLED),
    ("chipset-one-level", "FMUL R0: middle of 52.2 to 93.7", (0o075020,), ABOUT, 72950, RECALLED),
    ("chipset-one-level", "FDIV R0: middle of 151 to 232", (0o075030,), ABOUT, 191500, RECALLED),
    ("chipset-one-level", "CLR R2: the average", (0o005002,), {}, 5883, "tradeoffs-1978"),
    ("fast-ttl-cache", "MOV R1,R2", (0o010102,), {}, 310, USER),
    ("fast-ttl-cache", "TST R0", (0o005700,), {}, 310, USER),
    ("fast-ttl-cache", "TST (R0)", (0o005710,), AT_R0, 760, USER),
    ("fast-ttl-cache", "CMP (R0),(R3)", (0o021013,), AT_R0, 1060, USER),
    ("fast-ttl-cache", "MOV -(SP),(SP)+", (0o014626,), {}, 1700, USER),
    ("fast-ttl-cache", "MOVB -(SP),(SP)+", (0o114626,), {}, 2000, USER),
    ("fast-ttl-cache", "MUL R1,R0", (0o070001,), {}, 3190, USER),
    ("fast-ttl-cache", "DIV R1,R0", (0o071001,), {}, 1980, USER),
    ("fast-ttl-cache", "clear all codes", (0o000257,), {}, 610, USER),
    ("fast-ttl-cache", "NOP", (0o000240,), {}, 610, USER),
    ("fast-ttl-cache", "MOV #1,R0", (0o012700, 1), {}, 770, USER),
    ("fast-ttl-cache", "ASHC #1,R0", (0o073027, 1), {}, 1380, USER),
    ("fast-ttl-cache", "MOV @#addr,R1", (0o013701, 0o2000), {}, 1670, USER),
    ("late-single-chip-sep", "BIT R1,R2", (0o030102,), {}, 300, USER),
    ("late-single-chip-sep", "TST (R0)", (0o005710,), AT_R0, 700, USER),
    ("late-single-chip-sep", "CMP (R0),(R3)", (0o021013,), AT_R0, 1600, USER),
    ("late-single-chip-sep", "MOV -(SP),(SP)+", (0o014626,), {}, 2100, USER),
    ("late-single-chip-sep", "MOVB -(SP),(SP)+", (0o114626,), {}, 2100, USER),
    ("late-single-chip-sep", "MUL R1,R0", (0o070001,), {}, 5700, USER),
    ("late-single-chip-sep", "DIV R1,R0", (0o071001,), {}, 9300, USER),
    ("late-single-chip-sep", "NOP", (0o000240,), {}, 800, USER),
    ("late-single-chip-sep", "MOV #1,R0", (0o012700, 1), {}, 600, USER),
    ("late-single-chip-sep", "ASHC #1,R0", (0o073027, 1), {}, 2100, USER),
    ("late-single-chip-sep", "MOV @#addr,R1", (0o013701, 0o2000), {}, 1100, USER),
    ("chipset-four-level", "MOV R1,R2", (0o010102,), {}, 1700, "wiki-chipset-four-level"),
    ("chipset-four-level-sep", "MOV R1,R2", (0o010102,), {}, 1200, "wiki-chipset-four-level"),
    ("chipset-four-level-sep", "MOV (R1),(R2)", (0o011112,), AT_R0, 2800, "wiki-chipset-four-level"),  # + 2 x .8
]  # fmt: skip
TAKEN = {  # taken, not taken
    "first-hardwired": (2600, 1500),  # handbook-1969 pp. 21, 26
    "microcoded-mid": (1760, 1400),  # unconfirmed
    "fast-ttl-three-mode": (600, 300),  # unconfirmed
    "fast-ttl-cache": (610, 310),  # timing-tests-user; which is which: unconfirmed
    "chipset-one-level": (3500, 3500),  # unconfirmed, of BR
}


def ready(profile: str, words: tuple[int, ...], registers: dict[int, int] | None = None, ps: int = 0) -> Core:
    """A processor before these words; what they lead to is memory."""
    core = prepared(profile, *words, ps=ps, sp=STACK, registers=registers)
    core.put(0o2000, *[0o2100] * 16)
    core.put(0o2200, 0o40200, 0, 0o40200, 0)  # two numbers 1.0 for FIS
    core.put(STACK, 0o3000, 0)
    return core


def spent(core: Core) -> int:
    """Nanoseconds of one instruction; on the fast core too, if it has a handler for it."""
    core.raw.core = lib.MS_CORE_REFERENCE
    core.run(1)
    return int(core.raw.time_ns)


def ahead(core: Core) -> int | None:
    """The same on the fast core alone; None where it leaves the word to the other."""
    return int(core.raw.time_ns) if lib.ms_one_ahead(core.raw) else None


@pytest.mark.parametrize(
    ("profile", "words", "registers", "ns"),
    [pytest.param(row[0], *row[2:5], id=f"{row[0]}: {row[1]} ({row[5]})") for row in ROWS],
)
def test_an_instruction_takes_its_printed_time_on_both_cores(
    profile: str, words: tuple[int, ...], registers: dict[int, int], ns: int
) -> None:
    assert spent(ready(profile, words, registers)) == ns
    assert ahead(ready(profile, words, registers)) in (None, ns)


@pytest.mark.parametrize("name", BRANCHES)
@pytest.mark.parametrize("profile", TAKEN)
def test_a_branch_takes_longer_if_it_is_taken(profile: str, name: str) -> None:
    word, goes, stays = BRANCHES[name]
    taken, passed = TAKEN[profile]
    for ps, ns in ((goes, taken), (stays, passed)):
        assert spent(ready(profile, (word,), ps=ps)) == ns
        assert ahead(ready(profile, (word,), ps=ps)) == ns


def test_a_branch_to_the_next_instruction_is_taken_all_the_same() -> None:
    word = 0o001000  # BNE .+2
    assert spent(ready("first-hardwired", (word,))) == 2600
    assert ahead(ready("first-hardwired", (word,))) == 2600
    assert ahead(ready("first-hardwired", (word,), ps=Z)) == 1500


def test_the_fast_core_runs_what_it_can_by_printed_times() -> None:
    """Bytes in memory are left alone only where an odd address takes longer."""
    byte, word = (0o105012,), (0o005012,)  # CLRB (R2), CLR (R2)
    assert ahead(ready("first-hardwired", byte, AT_R0)) is None
    assert ahead(ready("first-hardwired", word, AT_R0)) == 3700
    assert ahead(ready("fast-ttl-cache", byte, AT_R0)) == 1240  # model: .31 + .93


def test_a_long_run_adds_up_the_same_times_on_both_cores() -> None:
    loop = (0o012700, 0o1000, 0o012701, 0o2000, 0o005221, 0o020127, 0o2400, 0o001374, 0o005300, 0o001367, 0)
    times = set()
    for core in (lib.MS_CORE_FAST, lib.MS_CORE_REFERENCE):
        machine = ready("first-hardwired", loop)
        machine.raw.core = core
        for _ in range(50):
            machine.run(997)
        times.add((int(machine.raw.time_ns), int(machine.raw.instructions), machine.pc))
    assert len(times) == 1


def test_an_instruction_given_up_in_its_fetch_takes_the_shortest_time_and_the_trap() -> None:
    core = ready("first-hardwired", ())
    core.pc = 0o160000
    assert spent(core) == 10_000 + 9900  # the time-out, seen [handbook-1969], and the trap


def test_machines_with_and_without_printed_times_do_not_share_a_decode_table() -> None:
    """Both have the same modules fitted, so without the times they would."""
    timed, plain = Core("first-hardwired"), Core("first-hardwired")
    configured = replace(plain.configuration, raw_times=ffi.NULL)
    assert lib.ms_configure(plain.raw, configured.raw, configured.option_bits, ffi.NULL) == ffi.NULL
    assert timed.raw.decoded != plain.raw.decoded
    assert timed.raw.times != ffi.NULL
    assert plain.raw.times == ffi.NULL


def test_two_machines_of_one_profile_share_their_decode_table() -> None:
    assert Core("first-hardwired").raw.decoded == Core("first-hardwired").raw.decoded


# --- what stands in the profiles ---


def times_of(profile: str) -> InstructionTimes:
    """The table of a profile that has one."""
    times = named(profile).times
    assert times is not None
    return times


def test_these_profiles_have_a_table_of_instruction_times() -> None:
    tables = {name for name in PROFILES if named(name).times is not None}
    assert tables == {row[0] for row in ROWS} - {"chipset-four-level", "chipset-four-level-sep"}


def test_what_is_not_printed_says_what_the_model_takes_and_why() -> None:
    for name in PROFILES:
        times = named(name).times
        for time in times.times() if times else ():
            assert (time.evidence == MODEL) == bool(time.because), (name, time)


def test_a_range_counts_by_its_middle_and_says_so() -> None:
    line = next(line for line in times_of("chipset-one-level").lines if line.instructions == ("MUL",))
    assert (line.time.reading, line.time.ns) == ("middle", 44000)
    assert line.time.printed.peek == (24000, 64000)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("profile", "basis", "rest", "base"),
    [
        ("first-hardwired", "instruction table", "average", 3529),
        ("fast-ttl-cache", "instruction table", "model", 310),
        ("chipset-four-level", "cycle table", "cycle table", 1700),
        ("one-board-ttl-basic", "average", "average", 4043),
        ("late-ttl-commercial", "assumed", "assumed", 3000),
    ],
)
def test_each_profile_says_how_its_times_are_known(profile: str, basis: str, rest: str, base: int) -> None:
    time = timing(named(profile))
    assert (time.basis, time.rest, time.base_ns) == (basis, rest, base)


# --- what can't be ---


def changed(times: InstructionTimes, number: int, **values: object) -> InstructionTimes:
    """The times with another value in one line."""
    lines = list(times.lines)
    lines[number] = replace(lines[number], **values)  # type: ignore[arg-type]
    return replace(times, lines=tuple(lines))


def test_an_instruction_nobody_has_is_refused() -> None:
    with pytest.raises(TimesError, match="no instruction MUV"):
        table(changed(times_of("two-board-ttl-mmu"), 0, instructions=("MUV",)), 3029, 0)


def test_as_many_modes_are_wanted_as_there_are_operands() -> None:
    with pytest.raises(TimesError, match="MOV has 2 operands with a mode, not 1"):
        table(changed(times_of("two-board-ttl-mmu"), 0, modes=(0,)), 3029, 0)


def test_a_time_of_not_taken_belongs_to_all_branches_and_to_nothing_else() -> None:
    with pytest.raises(TimesError, match=r"every conditional branch.*see MOV"):
        table(changed(times_of("two-board-ttl-mmu"), 0, not_taken_ns=1000), 3029, 0)
    with pytest.raises(TimesError, match=r"every conditional branch.*see BCC"):
        table(changed(times_of("fast-ttl-three-mode"), 1, instructions=("BEQ", "BNE")), 863, 0)


def test_the_core_refuses_more_times_than_its_prices_can_tell_apart() -> None:
    chosen = configuration("first-hardwired")
    times = times_of("first-hardwired")
    many = changed(times, 0, instructions=("MOV",))
    for number in range(1, len(times.lines)):
        many = changed(many, number, time=Time(times.lines[number].time.printed, 7 + number * 1013))
    raw = table(many, 3529, 0)
    for mode in range(1, 8):
        raw.source_ns[mode], raw.destination_ns[mode] = 10_000 + 37 * mode, 70_000 + 911 * mode
    core = Core("first-hardwired")
    wrong = lib.ms_configure(core.raw, chosen.raw, chosen.option_bits, raw)
    assert wrong != ffi.NULL
    assert b"impossible instruction times" in ffi.string(wrong)
