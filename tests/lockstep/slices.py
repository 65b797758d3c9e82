"""Two machines run by whole slices, as a host runs them, and all of their state compared behind each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from random import Random
from typing import Any

from machine.states import raw_state

from minisim.cpu._core import ffi, lib

from .pairs import STOPS, Pair, name_at
from .programs import Writer, writers_for
from .trials import plain as plain_addresses

TABLES = ("registers", "timers", "lines")
PROGRAM = 40  # slices of one program
ENDINGS = ("address", "register", "trap", "text", "request", "typing", "halt line")


def run_slices(
    pair: Pair,
    rng: Random,
    slices: int,
    longest: int,
    phrases: int = 20_000,
    *,
    writers: Sequence[Writer] | None = None,
    begin: Callable[[], None] | None = None,
) -> Counter[str]:
    """So many slices of random programs; gives how often each reason ended one.  `begin` comes before each program."""
    seen, stop = Counter[str](), "none"
    writers, begin = writers or writers_for(pair, rng, phrases), begin or pair.unmapped
    for number in range(slices):
        writer = rng.choice(writers)
        if number % PROGRAM == 0:
            begin()
            pair.put(0, writer.image())
        if number % PROGRAM == 0 or stop != "limit" or rng.random() < 0.1:
            start_elsewhere(pair, writer)
        stop, how = one_slice(pair, rng, rng.randint(1, longest))
        seen[stop] += 1
        compare(pair, f"slice {number}, {how}, ended by {stop}")
    return seen


def start_elsewhere(pair: Pair, writer: Writer) -> None:
    """Registers, PS, timers and a piece of program anew, the same in both machines; nothing is run."""
    lib.ms_lockstep_trials(*pair.raw, writer.trials(1), 1, 0, pair.report)
    assert not pair.report.differences, pair.difference()


def one_slice(pair: Pair, rng: Random, limit: int) -> tuple[str, str]:
    """Run both alike; gives why they stopped, which must be the same, and how they were run."""
    how = rng.choice(("plain", "plain", "plain", "plain", "pause", *ENDINGS))
    chance = rng.random()
    stops = [STOPS[RUN[how](machine, limit, Random(f"{how} {chance}"))] for machine in pair.machines]
    assert stops[0] == stops[1], f"{how} run of {limit}: {stops[0]}, fast {stops[1]}"
    return stops[0], f"{how} run of {limit}"


def compare(pair: Pair, when: str) -> None:
    """AssertionError if anything differs, also what is left out between two instructions of a run."""
    reference, fast = (everything(machine) for machine in pair.machines)
    for name, bytes_there in reference.items():
        if bytes_there != fast[name]:
            raise AssertionError(f"{when}: {name} differs at {where(name, first_difference(bytes_there, fast[name]))}")


def everything(machine: Any) -> dict[str, bytes]:
    """All bytes of the state: memory, struct, the tables of the devices, what lies in the rings."""
    raw = machine._raw
    return {
        "memory": bytes(ffi.buffer(raw.memory, raw.memory_bytes)),
        "the struct": raw_state(machine),
        **{name: rows_of(raw, name) for name in TABLES},
        "rings": b"".join(content(raw, number) for number in range(raw.ring_count)),
    }


def where(name: str, offset: int) -> str:
    """A place in one of these in words."""
    return name_at(ffi.typeof("ms_machine"), offset) if name == "the struct" else f"byte {offset:o}"


def rows_of(raw: Any, name: str) -> bytes:
    """All rows of a table."""
    rows = getattr(raw, name)
    return bytes(ffi.buffer(rows, ffi.sizeof(rows[0]) * count_of(raw, name)))


def count_of(raw: Any, name: str) -> int:
    """Rows of a table."""
    return int(getattr(raw, f"{name[:-1]}_count"))


def content(raw: Any, number: int) -> bytes:
    """Counters of a ring and the bytes in it."""
    ring = raw.rings[number]
    room = ffi.new("uint8_t[]", max(int(ring.count), 1))
    lib.ms_ring_copy(raw, number, room, ring.count)
    return b"%d %d %d " % (ring.count, ring.total, ring.lost) + bytes(ffi.buffer(room, ring.count))


def first_difference(a: bytes, b: bytes) -> int:
    """Where two byte strings differ first."""
    return next((at for at, (left, right) in enumerate(zip(a, b, strict=False)) if left != right), min(len(a), len(b)))


# --- ways to run ------------------------------------------------------------------------------------------------------


def plain(machine: Any, limit: int, rng: Random) -> int:
    """To the limit, or a stop of its own."""
    return int(lib.ms_run(machine._raw, limit))


def pause(machine: Any, limit: int, rng: Random) -> int:
    """With a guest time at which the host wants it back, as a session does it."""
    raw = machine._raw
    lib.ms_pause_at(raw, raw.time_ns + rng.choice((1, rng.randrange(1, 10_000), rng.randrange(1, 5_000_000))))
    stop = int(lib.ms_run(raw, limit))
    lib.ms_pause_at(raw, lib.MS_NEVER)
    return stop


def address(machine: Any, limit: int, rng: Random) -> int:
    """Until an address: one near PC, or any."""
    raw = machine._raw
    near = (raw.r[7] + rng.randrange(-10, 20, 2)) & 0o177777
    at = rng.choice((rng.choice(plain_addresses(raw.plain_top)), near))
    return until(raw, limit, {"kind": lib.MS_TERM_PC, "value": at})


def text(machine: Any, limit: int, rng: Random) -> int:
    """Until a byte is printed on the paper of the bells."""
    raw = machine._raw
    raw.until.term[0].text[0] = rng.choice((0, 2, rng.randrange(0o200)))
    return until(raw, limit, {"kind": lib.MS_TERM_TEXT, "length": 1})


def register(machine: Any, limit: int, rng: Random) -> int:
    """Until a register holds what is near, or any; alone, or together with a trap."""
    raw, number = machine._raw, rng.randrange(8)
    value = rng.choice((0, raw.r[number], (raw.r[number] + rng.randrange(-4, 5)) & 0o177777, rng.randrange(0o200000)))
    together = rng.choice(([], [trap_term(rng)]))
    return until(raw, limit, {"kind": lib.MS_TERM_REGISTER, "number": number, "value": value}, *together)


def trap(machine: Any, limit: int, rng: Random) -> int:
    """Until a trap or an interrupt."""
    return until(machine._raw, limit, trap_term(rng))


def trap_term(rng: Random) -> dict[str, int]:
    """A trap, most often one that programs take."""
    vector = rng.choice((0o4, 0o10, 0o14, 0o20, 0o34, 0o250, 4 * rng.randrange(0o200)))
    return {"kind": lib.MS_TERM_TRAP, "value": vector}


def until(raw: Any, limit: int, *terms: dict[str, int]) -> int:
    """A run until all these terms hold."""
    for term, fields in zip(raw.until.term, terms, strict=False):
        for name, value in fields.items():
            setattr(term, name, value)
    raw.until.count, raw.until.first = len(terms), raw.instructions
    lib.ms_until_settle(raw)
    stop = int(lib.ms_run(raw, limit))
    lib.ms_until_clear(raw)
    return stop


def request(machine: Any, limit: int, rng: Random) -> int:
    """With a request to stop that is there already."""
    lib.ms_request_stop(machine._raw)
    return int(lib.ms_run(machine._raw, limit))


def typing(machine: Any, limit: int, rng: Random) -> int:
    """With something typed at the console line before."""
    machine.console.feed(rng.randbytes(rng.randrange(1, 20)))
    return int(lib.ms_run(machine._raw, limit))


def halt_line(machine: Any, limit: int, rng: Random) -> int:
    """With the halt line asserted: by a switch, or by a break that is over when it has halted the processor."""
    raw = machine._raw
    raw.halt_switch, raw.break_halt = 1, rng.randrange(2)
    stop = int(lib.ms_run(raw, limit))
    raw.halt_switch = raw.break_halt = 0
    return stop


RUN = {
    "plain": plain,
    "pause": pause,
    "address": address,
    "register": register,
    "trap": trap,
    "text": text,
    "request": request,
    "typing": typing,
    "halt line": halt_line,
}
