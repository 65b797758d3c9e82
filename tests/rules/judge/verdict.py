"""All of it together, under every reading that a wrongly placed board allows."""

from __future__ import annotations

from dataclasses import dataclass, replace

from judge.book import Tree
from judge.grants import grants, mux_order, sep_order
from judge.machine import Board, Machine, read
from judge.places import Said, misplaced, taken_twice
from judge.registers import boot, registers
from judge.storage import cables, memory, options
from judge.supplies import chips_at_risk, power


@dataclass(frozen=True)
class Verdict:
    """What must be said, and what may be said besides."""

    must: frozenset[Said]
    may: frozenset[Said]

    def missed(self, said: set[Said]) -> set[Said]:
        """What should have been said and was not."""
        return set(self.must) - said

    def beyond(self, said: set[Said]) -> set[Said]:
        """What was said without a reason."""
        return said - self.must - self.may


def verdict(tree: Tree) -> Verdict:
    """Judge one loadout."""
    machine = read(tree)
    wrong, twice = misplaced(machine), taken_twice(machine)
    must = {said[0] for said in wrong.values() if said[0][0]} | {
        ("SLOT-009", machine.boards[later].place) for _, later in twice
    }
    may = {one for said in wrong.values() for one in said[1:]}
    readings = [_rest(machine)]
    for board in {*wrong, *(one for pair in twice for one in pair)}:
        readings.append(_rest(_without(machine, {machine.boards[board].place})))
    if len(wrong) > 1:
        readings.append(_rest(_without(machine, {machine.boards[one].place for one in wrong})))
    must |= set.intersection(*(sure for sure, _ in readings))
    may |= set.union(*(sure | perhaps for sure, perhaps in readings))
    may |= {("SLOT-010", machine.boards[one].place) for one in wrong}
    if any(rule == "OPT-001" for rule, _ in must):
        may |= {one for one in must if one[0] == "DMA-003"}  # the map asked for and not there: told as that
        must -= may
    if wrong and len(machine.processors()) > 1:  # which of them is the first, if one stands beside the bus?
        may |= {("SLOT-011", cpu.place) for cpu in machine.processors()}
        must -= may
    gravest = {said[0] for said in wrong.values()}
    follow = {one for one in must if one[1] in {place for _, place in gravest} and one not in gravest}
    must, may = must - follow, may | follow
    return Verdict(frozenset(must), frozenset(may - must))


def _without(machine: Machine, places: set[str]) -> Machine:
    return replace(machine, boards=[board for board in machine.boards if board.place not in places])


def _rest(machine: Machine) -> tuple[set[Said], set[Said]]:
    must = _processor(machine) | power(machine) | chips_at_risk(machine) | cables(machine)
    may: set[Said] = set()
    for part in (grants, registers, boot, memory, options):
        sure, perhaps = part(machine)
        must |= sure
        may |= perhaps
    return must, may


def _processor(machine: Machine) -> set[Said]:
    """The processor stands first; memory on its own private link may stand before it."""
    stops = mux_order(machine) if machine.bus == "mux" else sep_order(machine, dma=False)
    order = [stop.board for stop in stops]
    cpus = sorted(machine.processors(), key=lambda cpu: order.index(cpu) if cpu in order else len(order))
    if not cpus:
        return {("SLOT-011", machine.first_box)}
    said: set[Said] = {("SLOT-011", cpu.place) for cpu in cpus[1:]}
    link = cpus[0].processor and cpus[0].processor.get("memory-link") == "yes"
    for stop in stops:
        if stop.board is cpus[0]:
            return said
        if not (link and stop.board and _on_link(stop.board)):
            return said | {("SLOT-011", cpus[0].place)}
    return said


def _on_link(board: Board) -> bool:
    return board.memory is not None and board.about["slots"] == ["private-link"]
