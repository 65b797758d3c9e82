"""The wrong handler: an interrupt comes through a vector that belongs to something else."""

from __future__ import annotations

from minisim.catalogue.reader import Catalogue
from minisim.consequence._asking import Asking, askers, writes_text
from minisim.consequence._bench import STACK, Bench
from minisim.consequence._framework import shows
from minisim.consequence._places import base_of, board_at, name_of
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.known import Known
from minisim.wiring.model import Wired, WiredRegisters

SHARED = """
        mov #{sp:o}, sp
        mov #mine, @#{vector:o}       ; the handler of the {name}
        mov #other, @#{vector:o}      ; the handler of the {other}, which is loaded later
{writes}
        mov #1000., r1
wait:   dec r1
        bne wait
        halt
mine:   inc own                 ; the right handler runs
        rti
other:  inc strange             ; the handler of the {other} runs
        rti
own:    .word 0
strange: .word 0
"""

TAKEN = """
        mov #{sp:o}, sp
        mov #mine, @#{wanted:o}       ; where software expects the {name}
        mov #other, @#{vector:o}      ; the handler that belongs to {vector:03o}
{writes}
        mov #1000., r1
wait:   dec r1
        bne wait
        halt
mine:   inc own                 ; the right handler runs
        rti
other:  inc strange             ; the handler of {vector:03o} runs
        rti
own:    .word 0
strange: .word 0
"""


@shows("vector-shared")
def shared_vector(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Two devices with one vector: the driver that is loaded last has it, and gets the requests of both."""
    mine, asking, vector, other = _sharers(finding, wired)
    name, second = name_of(wired, mine), name_of(wired, other)
    writes = writes_text(base_of(mine), asking)
    bench = Bench(wired, catalogue, granted=True)
    bench.load(SHARED.format(sp=STACK, vector=vector, name=name, other=second, writes=writes))
    bench.settle(asking.settles_ns)
    bench.run()
    return _told(
        bench, finding, vector,
        does=f"Two drivers put their handlers at {vector:03o}: first that of the {name}, then that of the {second}. "
        f"Then the {name} asks for an interrupt{_which(asking)}.",
        whose=f"the {second}", name=name,
    )  # fmt: skip


@shows("vector-outside-floating-space", "vector-on-trap")
def taken_vector(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """A device at a vector of something else: software expects it at that of its kind."""
    mine, asking, vector = _asker(finding, wired)
    first = mine.vectors[0].vector
    wanted = mine.computed_vector.value if isinstance(mine.computed_vector, Known) else 0o300
    wanted += vector - first
    if wanted == vector:
        raise NotShownError(f"software would expect it at {vector:03o} too")
    name = name_of(wired, mine)
    bench = Bench(wired, catalogue, granted=True)
    writes = writes_text(base_of(mine), asking)
    bench.load(TAKEN.format(sp=STACK, vector=vector, wanted=wanted, name=name, writes=writes))
    bench.settle(asking.settles_ns)
    bench.run()
    return _told(
        bench, finding, vector,
        does=f"Software expects the {name} at {wanted:03o} and puts its handler there; {vector:03o} has a handler of "
        f"its own. Then the {name} asks for an interrupt{_which(asking)}.",
        whose=f"{vector:03o}", name=name,
    )  # fmt: skip


def _sharers(finding: Finding, wired: Wired) -> tuple[WiredRegisters, Asking, int, WiredRegisters]:
    """A device that can be made to ask through a vector that another one has too; one of them is of the finding."""
    board = board_at(wired, finding.place)
    rest = tuple(one.index for one in wired.boards if one.index != board)
    for mine, asking in askers(wired, rest if board is None else (board, *rest)):
        vector = mine.vectors[asking.vector].vector
        for other in wired.registers:
            same = any(each.vector == vector for each in other.vectors)
            if same and board in (mine.board, other.board) and other.board != mine.board:
                return mine, asking, vector, other
    raise NotShownError(f"no device of those that share a vector with {finding.place} can be made to ask through it")


def _asker(finding: Finding, wired: Wired) -> tuple[WiredRegisters, Asking, int]:
    """A device of the finding's board that can be made to ask, and the vector it then uses."""
    board = board_at(wired, finding.place)
    found = next(askers(wired, () if board is None else (board,)), None)
    if found is None:
        raise NotShownError(f"the device at {finding.place} has no model that can be made to ask for an interrupt")
    registers, asking = found
    return registers, asking, registers.vectors[asking.vector].vector


def _which(asking: Asking) -> str:
    return ", through the second of its vectors" if asking.vector == 1 else ""


def _told(bench: Bench, finding: Finding, vector: int, *, does: str, whose: str, name: str) -> Shown:
    own, strange = bench.word("own"), bench.word("strange")
    return Shown(
        kind="the wrong handler",
        does=does,
        expected=f"The handler of the {name} runs once.",
        happened=f"The handler of the {name} runs {own} times, the one of {whose} {strange} time"
        f"{'' if strange == 1 else 's'}: it takes the interrupt for its own, and the request is never served.",
        trace=tuple(bench.trace),
        facts={
            "place": finding.place,
            "vector": f"{vector:03o}",
            "right_handler": own,
            "wrong_handler": strange,
        },
        program=bench.source,
    )
