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
    how = rng.choice(("plain", "plain", "plain", "plain", "pause", "address", "text", "request", "typing", "halt line"))
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
    raw.until.pc = rng.choice(
        (rng.choice(plain_addresses(raw.plain_top)), (raw.r[7] + rng.randrange(-10, 20, 2)) & 0o177777)
    )
    raw.until.on_pc = 1
    stop = int(lib.ms_run(raw, limit))
    raw.until.on_pc = 0
    return stop


def text(machine: Any, limit: int, rng: Random) -> int:
    """Until a byte is printed on the paper of the bells."""
    until = machine._raw.until
    until.text[0], until.text_length, until.text_matched = rng.choice((0, 2, rng.randrange(0o200))), 1, 0
    until.ring, until.on_text = 0, 1
    stop = int(lib.ms_run(machine._raw, limit))
    until.on_text = 0
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
    "text": text,
    "request": request,
    "typing": typing,
    "halt line": halt_line,
}
