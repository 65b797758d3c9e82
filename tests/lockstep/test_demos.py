"""The machines of the station on both cores, from power-up until their program has ended."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

import pytest

import minisim

from .pairs import Pair
from .slices import compare

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"
DEMOS = {"gauge": b"HIGH", "desk": b"HIGH", "ledger": b"TOTAL", "chart": b"TOTAL"}  # and a word each prints
RECKON = ("gauge", "desk")  # most of the ledger is waiting for tape and line, out of a ROM: no work for the fast core
LIMIT = 50_000_000  # instructions, decimal; the programs halt long before
PART = 10_000


def booted(name: str) -> Pair:
    """A demo machine twice, switched on, with something typed."""
    loadout = minisim.read_loadout(KITTIWAKE / f"{name}.yaml")
    machines = [minisim.build(loadout) for _ in range(2)]
    for machine in machines:
        machine.console.feed(b"tide\r")
    return Pair(*machines)


def frozen(machine: minisim.Machine) -> str:
    """The hash of all that a machine is."""
    return sha256(machine.freeze()).hexdigest()


@pytest.mark.parametrize("name", DEMOS)
def test_a_demo_machine_ends_alike_on_both_cores(name: str) -> None:
    pair = booted(name)
    stops = [machine.run(LIMIT) for machine in pair.machines]
    assert stops[0] == stops[1]
    assert str(stops[0].reason) == "HALTED"
    assert stops[0].instructions > 1_000_000
    printed = [machine.console.take() for machine in pair.machines]
    assert printed[0] == printed[1] and DEMOS[name] in printed[0]
    hashes = [frozen(machine) for machine in pair.machines]
    assert hashes[0] == hashes[1]
    compare(pair, "at the end")


@pytest.mark.parametrize("name", RECKON)
def test_a_demo_machine_runs_alike_instruction_by_instruction_for_a_while(name: str) -> None:
    pair = booted(name)
    pair.run(20_000)
    for machine in pair.machines:
        machine.run(2_300_000)
    pair.run(20_000)
    assert pair.report.instructions == 40_000
    assert pair.share > 0.3


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMOS)
def test_a_demo_machine_is_the_same_at_every_ten_thousandth_instruction(name: str) -> None:
    pair, parts, hashes = booted(name), 0, set()
    while True:
        stops = [machine.run(PART) for machine in pair.machines]
        assert stops[0] == stops[1], f"in part {parts}"
        compare(pair, f"behind part {parts}")
        both = [frozen(machine) for machine in pair.machines]
        assert both[0] == both[1], f"behind part {parts}"
        hashes.add(both[0])
        parts += 1
        if str(stops[0].reason) == "HALTED":
            break
    assert len(hashes) == parts > 100


@pytest.mark.slow
@pytest.mark.parametrize("name", RECKON)
def test_a_demo_machine_runs_alike_instruction_by_instruction_to_its_end(name: str) -> None:
    pair = booted(name)
    pair.run(LIMIT)
    assert pair.machines[0].instructions > 1_000_000
    assert pair.raw[0].halted and pair.raw[1].halted
    assert pair.share > 0.5
