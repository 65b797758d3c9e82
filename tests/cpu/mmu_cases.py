"""Random cases for memory management: a whole state of mapping and registers, one instruction, oracle beside core.

Each case pokes the same state into both, lets both execute one instruction, and compares all registers, PARs, PDRs,
MMR0-3 and the words written; the whole memory is compared now and then.  What the oracle leaves open is counted.
"""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from random import Random
from typing import Any

from mmu_facts import Facts, facts_of
from mmu_oracle import ACCESSED, FROZEN, MAINTENANCE, ON, TRAP_ENABLE, TRAPPED, WRITTEN, Open
from mmu_steps import Processor
from tallies import counted

from minisim.cpu._core import ffi, lib
from minisim.cpu.handle import Core
from minisim.cpu.profile import available, named

SIZE = 0o200000  # bytes of memory, so that many a page lies beyond it
FULL = {18: 0o760000, 22: 0o17000000}  # as much as there can be, by address bits
WHOLE = 500  # cases between two looks at the whole memory
REST = 0o77406  # a PDR that lets everything pass
REGISTERS = (  # those in the I/O page, when page 7 leads there
    *(0o177572, 0o177574, 0o177576, 0o172516, 0o177776, 0o170200, 0o170260),
    *range(0o172200, 0o172400, 0o20),
    *range(0o177600, 0o177700, 0o20),
)
STATE = ("r", "set", "stack", "mmr", "par", "pdr", "bus_map")
VECTORS = (0o4, 0o10, 0o14, 0o250)

Instructions = Sequence[tuple[int, int]]  # first word, bits at random
REFERENCES: Instructions = (
    *((word, 0) for word in (0o011100, 0o010011, 0o111100, 0o110011, 0o005711, 0o105711, 0o022011, 0o021100)),
    *((word, 0) for word in (0o005211, 0o105211, 0o060011, 0o012100, 0o010021, 0o014100, 0o010041, 0o013100)),
    *((word, 0) for word in (0o006511, 0o006611, 0o106511, 0o106611, 0o012711, 0o010037, 0o013700, 0o016100)),
)
WHOLE_INSTRUCTIONS: Instructions = (
    *[(word, 0o7777) for word in (0o010000, 0o110000, 0o020000, 0o120000, 0o060000)] * 3,
    *[(word, 0o77) for word in (0o005200, 0o105200, 0o005700, 0o105700, 0o000100, 0o007000)],
    *[(word, 0o77) for word in (0o006500, 0o006600, 0o106500, 0o106600)] * 4,
    *[(0o004000, 0o777)] * 3,
    *[(0o000200, 0o7)] * 2,
    (0o077000, 0o777),
    (0o007400, 0o77),
)


@dataclass
class Case:
    """One state and one instruction.  Sets and stacks by number; PARs and PDRs as in the oracle."""

    ps: int = 0
    pc: int = 0o1000
    words: Sequence[int] = (0o240, 0, 0)
    sets: Sequence[Sequence[int]] = ((0,) * 6, (0,) * 6)
    stacks: Sequence[int] = (0o1000,) * 4
    mmr: Sequence[int] = (0, 0, 0, 0)
    par: array[int] = field(default_factory=lambda: array("H", [page << 7 for page in range(8)] * 8))
    pdr: array[int] = field(default_factory=lambda: array("H", [REST] * 64))

    def told(self) -> str:
        """For a person, octal."""
        mapping = "\n".join(
            f"  {name} mode {index >> 4} {'ID'[index >> 3 & 1]}: {octal(bank[index : index + 8])}"
            for name, bank in (("PAR", self.par), ("PDR", self.pdr))
            for index in range(0, 64, 8)
            if index >> 4 != 2
        )
        registers = f"R {octal(self.sets[0])} / {octal(self.sets[1])} SP {octal(self.stacks)}"
        return f"PS {self.ps:06o} PC {self.pc:06o}: {octal(self.words)}; {registers}; MMR {octal(self.mmr)}\n{mapping}"


def octal(words: Sequence[int]) -> str:
    """Words in a row."""
    return " ".join(f"{word:06o}" for word in words)


class Palettes:
    """256 choices for each thing, so that a byte picks one: most of them lead somewhere, some to every odd corner."""

    def __init__(self, rng: Random, facts: Facts, size: int = SIZE) -> None:
        self.rng, self.facts, self.blocks = rng, facts, size >> 6
        self.seen = WRITTEN | (ACCESSED if facts.access_bits else 0)
        self.pars = [self.par() for _ in range(256)]
        self.pdrs = [self.pdr() for _ in range(256)]
        self.addresses = [self.address() for _ in range(256)]
        self.statuses = [self.status(0.3) for _ in range(256)]
        self.services = [self.status(0.9) & ~0o20 for _ in range(256)]
        self.mmr0s = [self.mmr0() for _ in range(256)]

    def par(self) -> int:
        """Most lead into memory; some to its end, beyond it, to the I/O page, out to the bus."""
        kind = self.rng.randrange(100)
        if kind < 85:
            return self.rng.randrange(0, self.blocks - (0o200 if kind < 75 else 0))
        choices = (0o7600, 0o177600, 0o170000 + self.rng.randrange(0o7600), self.rng.getrandbits(16))
        return self.rng.choice(choices) & ((1 << self.facts.par_bits) - 1)

    def pdr(self) -> int:
        """Half of them let everything pass."""
        bits = 0o77716 | (1 if self.facts.access_bits else 0) | (0o200 if self.facts.access_bits else 0)
        bits = (bits | 0o100000) if self.facts.bypass else bits
        if self.rng.random() < 0.5:
            return REST | (self.seen if self.rng.random() < 0.6 else self.rng.getrandbits(16) & bits & 0o100300)
        word = self.rng.getrandbits(16) & bits
        return word | 6 if self.rng.random() < 0.5 else word

    def address(self) -> int:
        """Any, mostly even; some of registers in the I/O page where page 7 leads there."""
        at = self.rng.getrandbits(16)
        if self.rng.random() < 0.14:
            at = self.rng.choice(REGISTERS) + at % 16
        return at & (0o177777 if self.rng.random() < 0.12 else 0o177776)

    def modes(self) -> tuple[int, ...]:
        """The defined modes but kernel."""
        return (1, 3) if self.facts.modes == 3 else (3,)

    def status(self, kernel: float) -> int:
        """A PS; one in sixteen of its modes is undefined, one in thirty has T."""
        rng = self.rng
        current = 0 if rng.random() < kernel else rng.choice(self.modes())
        previous = rng.choice((0, *self.modes()))
        current = rng.choice((2, current, 1)) if rng.random() < 0.06 else current
        previous = rng.choice((2, previous, 1)) if rng.random() < 0.06 else previous
        low = rng.getrandbits(8) & ~0o20 | (0o20 if rng.random() < 0.03 else 0)
        return current << 14 | previous << 12 | low | (rng.getrandbits(1) << 11 if self.facts.sets == 2 else 0)

    def mmr0(self) -> int:
        """Mostly on, sometimes frozen, off, or maintenance."""
        rng, word = self.rng, ON if self.rng.random() < 0.88 else 0
        if rng.random() < 0.12:
            word |= rng.choice((0o100000, 0o40000, 0o20000, 0o60000, 0o140000)) | rng.getrandbits(7) << 1
        elif rng.random() < 0.3:
            word |= rng.getrandbits(6) << 1
        if self.facts.maintenance and rng.random() < (0.05 if word & ON else 0.8):
            word |= MAINTENANCE
        if self.facts.trap_bits:
            word |= rng.choice((0, TRAP_ENABLE, TRAP_ENABLE, TRAPPED | TRAP_ENABLE, TRAPPED))
        return word

    def case(self, instructions: Instructions) -> Case:
        """A whole state; where the instruction stands, the vectors and the kernel stack are mostly to be had."""
        rng, addresses = self.rng, self.addresses
        picks = rng.randbytes(160)
        par = array("H", [self.pars[pick] for pick in picks[:64]])
        pdr = array("H", [self.pdrs[pick] for pick in picks[64:128]])
        ps, bits = self.statuses[picks[128]], rng.getrandbits(64)
        word, mask = instructions[bits % len(instructions)]
        # a code page, and a kernel stack
        pc = bits >> 8 & 0o177776
        stacks = [addresses[picks[129 + mode]] for mode in range(4)]
        if picks[156] > 150:
            par[7::8] = array("H", [0o177600 & (1 << self.facts.par_bits) - 1] * 8)
        if picks[133] > 15:
            self.make_room(par, pdr, ps >> 14 << 4 | pc >> 13, picks[134])
        if picks[135] > 12:
            stacks[0] = stacks[0] & ~1 | 0o1000
            for index in (stacks[0] >> 13, stacks[0] >> 13 | 8):
                self.make_room(par, pdr, index, picks[136])
        if picks[137] > 12:
            par[0] = par[8] = 0
            pdr[0] = pdr[8] = REST
        mmr0 = self.mmr0s[picks[138]]
        mmr1 = picks[139] << 8 | picks[140] if mmr0 & FROZEN and self.facts.modes == 3 else 0
        mmr = (mmr0, mmr1, bits >> 24 & 0o177776, self.mmr3(picks[141]))
        words = (word | bits >> 40 & mask, addresses[picks[142]], addresses[picks[143]])
        registers = [addresses[pick] for pick in picks[144:156]]
        return Case(ps, pc, words, (registers[:6], registers[6:]), stacks, mmr, par, pdr)

    def mmr3(self, pick: int) -> int:
        """The bits it has; an 18-bit bus behind 22 bits is left alone."""
        bits = (7 if self.facts.data_space else 0) | (0o10 if self.facts.call else 0)
        if self.facts.wide and self.facts.address_bits == 22:
            bits |= 0o60
        return pick & bits

    def make_room(self, par: array[int], pdr: array[int], index: int, pick: int) -> None:
        """A page that lets everything pass and leads into memory; mostly it was written before, as handlers like it."""
        par[index], pdr[index] = pick * (self.blocks - 0o200) >> 8, REST | (self.seen if pick & 3 else 0)


class Bench:
    """One processor twice: the oracle, and the core with `fast` handlers where they do the instruction or without."""

    def __init__(self, profile: str, *, memory: bytes = bytes(SIZE)) -> None:
        self.profile, self.facts, self.size = profile, facts_of(profile), len(memory)
        options = tuple(available(named(profile)))
        self.core = Core(profile, options, memory=self.size, address_bits=self.facts.address_bits)
        self.raw: Any = self.core.raw
        self.oracle = Processor(self.facts, bytearray(memory))
        self.bytes: Any = ffi.buffer(self.raw.memory, self.size)
        self.bytes[:] = memory
        self.words = memoryview(self.bytes).cast("H")
        self.views = {name: ffi.buffer(getattr(self.raw, name)) for name in STATE}
        self.cases = self.by_handlers = 0
        self.by_handler = False
        self.open: Counter[str] = Counter()
        self.traps: Counter[int] = Counter()

    # --- both sides -------------------------------------------------------------------------------------------------

    def put(self, address: int, word: int) -> None:
        """A word of memory in both, where there is memory."""
        if address + 1 < self.size and not address & 1:
            self.words[address >> 1] = word
            self.oracle.memory[address] = word & 0o377
            self.oracle.memory[address + 1] = word >> 8

    def put_map(self, pairs: Sequence[Sequence[int]]) -> None:
        """The bus map in both."""
        self.oracle.bus_map = [[low & 0o177776, high & 0o77] for low, high in pairs]
        self.views["bus_map"][:] = array("H", [word for pair in self.oracle.bus_map for word in pair]).tobytes()

    def physical(self, virtual: int) -> int | None:
        """Where the oracle's processor would fetch this word from, whatever the PDR says."""
        oracle = self.oracle
        if not oracle.mmr[0] & ON:
            return virtual if virtual < 0o160000 else None
        owner = oracle.owner(oracle.ps >> 14)
        if owner is None:
            return None
        try:
            par = oracle.par[owner << 4 | virtual >> 13]
            return oracle.relocated(par, virtual >> 6 & 0o177, virtual & 0o77)
        except Open:
            return None

    def load(self, case: Case) -> None:
        """The same state into both."""
        oracle, raw, views = self.oracle, self.raw, self.views
        ps = case.ps & oracle.ps_bits
        oracle.ps, oracle.pc = ps, case.pc
        oracle.sets = [list(case.sets[0]), list(case.sets[1])]
        oracle.stacks, oracle.mmr = list(case.stacks), list(case.mmr)
        oracle.par[:], oracle.pdr[:] = case.par, case.pdr
        oracle.written.clear()
        lib.ms_set_ps(raw, ps)
        current = ps >> 11 & 1
        sp = case.stacks[oracle.stack_of(ps >> 14)]
        views["r"][:] = array("H", [*case.sets[current], sp, case.pc]).tobytes()
        views["set"][:] = array("H", [*case.sets[0], *case.sets[1]]).tobytes()
        views["stack"][:] = array("H", case.stacks).tobytes()
        views["mmr"][:] = array("H", case.mmr).tobytes()
        views["par"][:] = case.par.tobytes()
        views["pdr"][:] = case.pdr.tobytes()
        raw.halted = raw.waiting = raw.hold_interrupts = 0
        lib.ms_mapping_changed(raw)
        for number, word in enumerate(case.words):
            if (at := self.physical(case.pc + 2 * number & 0o177777)) is not None:
                self.put(at, word)

    def execute(self, fast: bool) -> None:
        """One instruction of the core."""
        self.by_handler = bool(fast and lib.ms_one_ahead(self.raw))
        if self.by_handler:
            self.by_handlers += 1
            lib.ms_run(self.raw, 0)
        else:
            lib.ms_run(self.raw, 1)

    def check(self, case: Case, fast: bool, whole: bool = False) -> str | None:
        """One case; AssertionError tells of a difference.  Gives what the oracle leaves open, if it does."""
        self.load(case)
        self.cases += 1
        self.execute(fast)
        try:
            self.oracle.step()
        except Open as why:
            self.oracle.memory[:] = self.bytes
            lib.ms_power_up(self.raw, 0, 0)  # whatever it has left behind in registers that no case sets
            self.put_map(self.oracle.bus_map)
            self.open[str(why)] += 1
            return str(why)
        if found := self.difference(whole):
            raise AssertionError(f"{self.profile}{', fast' * fast}: {found}\nfrom {case.told()}")
        return None

    # --- comparing --------------------------------------------------------------------------------------------------

    def expected(self) -> tuple[bytes, bytes, bytes]:
        """Registers, MMRs and the set not in use, as the core has them."""
        oracle = self.oracle
        current = oracle.ps >> 11 & 1
        sp = oracle.stacks[oracle.stack_of(oracle.ps >> 14)]
        registers = array("H", [*oracle.sets[current], sp, oracle.pc]).tobytes()
        return registers, array("H", oracle.mmr).tobytes(), array("H", oracle.sets[1 - current]).tobytes()

    def difference(self, whole: bool) -> str:
        """In words what is not the same, or nothing."""
        oracle, raw, views = self.oracle, self.raw, self.views
        registers, mmr, other = self.expected()
        mask = 0o177760 if oracle.ps_written else 0o177777
        if oracle.mmr1_open or oracle.pc_open or self.by_handler:
            self.adopt_open()
            registers, mmr, other = self.expected()
        at = 12 * (1 - (oracle.ps >> 11 & 1))
        good = views["r"][:] == registers and views["mmr"][:] == mmr and not raw.halted
        good = good and views["pdr"][:] == oracle.pdr.tobytes() and views["par"][:] == oracle.par.tobytes()
        good = good and not (lib.ms_get_ps(raw) ^ oracle.ps) & mask
        good = good and (self.facts.sets < 2 or views["set"][at : at + 12] == other)
        for address in oracle.written:
            good = good and self.words[address >> 1] == oracle.memory[address] | oracle.memory[address + 1] << 8
        good = good and self.stacks_agree() and (not whole or self.bytes[:] == oracle.memory)
        return "" if good else self.told()

    def adopt_open(self) -> None:
        """What the oracle leaves open, from the core: MMR1, or PC of a fetch that aborted before or behind its word.

        Handlers don't keep MMR1 and MMR2: the last instruction of a run is never theirs (compared in tests/lockstep).
        """
        oracle, raw = self.oracle, self.raw
        if oracle.mmr1_open:
            oracle.mmr[1] = raw.mmr[1]
        if self.by_handler and not oracle.mmr[0] & FROZEN:
            oracle.mmr[1], oracle.mmr[2] = raw.mmr[1], raw.mmr[2]
        if oracle.pc_open:
            at = oracle.written[-1]
            pushed = oracle.memory[at] | oracle.memory[at + 1] << 8
            if self.words[at >> 1] == pushed - 2 & 0o177777:
                oracle.memory[at : at + 2] = self.bytes[at : at + 2]

    def stacks_agree(self) -> bool:
        """Of the modes that are not the current one."""
        expected, found = self.other_stacks()
        return expected == found

    def other_stacks(self) -> tuple[list[int], list[int]]:
        """Stack pointers of the modes that are not the current one: the oracle's, the core's."""
        oracle, current = self.oracle, self.oracle.stack_of(self.oracle.ps >> 14)
        modes = [mode for mode in range(4) if mode != current and oracle.stack_of(mode) == mode]
        return [oracle.stacks[mode] for mode in modes], [self.raw.stack[mode] for mode in modes]

    def told(self) -> str:
        """Everything that differs, expected and found."""
        oracle, raw = self.oracle, self.raw
        pairs: list[tuple[str, Sequence[int], Sequence[int]]] = [
            ("registers", array("H", self.expected()[0]), list(raw.r)),
            ("PS", [oracle.ps], [lib.ms_get_ps(raw)]),
            ("MMR0-3", oracle.mmr, list(raw.mmr)),
            ("stacks", *self.other_stacks()),
            ("PARs", oracle.par, array("H", self.views["par"][:])),
            ("PDRs", oracle.pdr, array("H", self.views["pdr"][:])),
            ("other set", array("H", self.expected()[2]), list(raw.set[1 - (oracle.ps >> 11 & 1)])),
            ("halted", [0], [raw.halted]),
        ]
        changed = [at for at in range(0, self.size, 2) if self.bytes[at : at + 2] != oracle.memory[at : at + 2]]
        pairs += [
            (f"memory {at:06o}", [oracle.memory[at] | oracle.memory[at + 1] << 8], [self.words[at >> 1]])
            for at in changed[:6]
        ]
        texts = [f"{name}: expected {octal(a)}, found {octal(b)}" for name, a, b in pairs if list(a) != list(b)]
        return "\n  ".join(texts)


def run_cases(profile: str, count: int, seed: str, instructions: Instructions, size: int = SIZE) -> Bench:
    """Random cases until so many are settled and agree."""
    rng = Random(seed)
    bench = Bench(profile, memory=Random(seed).randbytes(size))
    with counted("mmu") as run:
        while run.cases < count:
            palettes = Palettes(rng, bench.facts, size)
            renew(bench, palettes)
            for number in range(WHOLE):
                case = palettes.case(instructions)
                settled = bench.check(case, fast=bool(number & 1), whole=number == WHOLE - 1) is None
                run.cases += settled
    return bench


def renew(bench: Bench, palettes: Palettes) -> None:
    """Vectors that lead somewhere, and another bus map."""
    rng = palettes.rng
    for vector in VECTORS:
        bench.put(vector, rng.getrandbits(16) & ~1)
        bench.put(vector + 2, rng.choice(palettes.services))
    if bench.facts.bus_map == "fitted":
        bench.put_map([(rng.getrandbits(16), rng.choice((0, 0, 0, 1, 0o17))) for _ in range(32)])
