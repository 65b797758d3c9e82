"""resolve(loadout, catalogue) -> Wired: the one place that knows what is connected to what.

It judges nothing: an impossible loadout (a place taken twice, a board of the other bus) resolves too, and the rules say
what is wrong with it.
"""

from __future__ import annotations

from collections.abc import Sequence

from minisim.loadout.model import Loadout
from minisim.wiring.boot import boot_path, event_line, wire_processors
from minisim.wiring.cables import wire_cables
from minisim.wiring.chains import grant_chains
from minisim.wiring.ends import wire_terminators
from minisim.wiring.model import GrantChain, Wired, WiredProcessor
from minisim.wiring.places import Layout, lay_out
from minisim.wiring.power import dc_loads, wire_boxes
from minisim.wiring.processor_registers import ProcessorRegisters, processor_registers
from minisim.wiring.registers import wire_registers
from minisim.wiring.source import Catalogue
from minisim.wiring.storage import wire_memories, wire_roms


def resolve(loadout: Loadout, catalogue: Catalogue | None = None) -> Wired:
    """What is connected to what in one machine, by `catalogue` (the one that comes with the project if not given).

    Raises InputError only for a broken description beside a ROM image (`boot.rom.yaml`); everything else the reader
    of the loadout has looked at already.
    """
    catalogue = _with_owners(catalogue or _own_catalogue(), loadout)
    layout = lay_out(loadout, catalogue)
    chains = grant_chains(layout)
    registers = wire_registers(layout, bus_order(layout, chains[0]))
    roms = wire_roms(layout, catalogue)
    boxes = wire_boxes(loadout, layout, catalogue)
    processors = wire_processors(layout, catalogue)
    return Wired(
        loadout=loadout,
        bus=layout.bus,
        units=layout.units,
        slots=layout.slots,
        boards=layout.boards,
        chains=chains,
        registers=registers,
        memories=wire_memories(layout),
        roms=roms,
        boxes=boxes,
        dc=dc_loads(layout),
        terminators=wire_terminators(layout, chains[0]),
        cables=wire_cables(loadout, layout.boards, registers, catalogue),
        processors=processors,
        boot=boot_path(loadout, layout, processors, roms, registers),
        processor_registers=_own_registers(processors, catalogue),
        event_line=event_line(layout, boxes, processors),
    )


def _own_registers(processors: Sequence[WiredProcessor], catalogue: Catalogue) -> tuple[ProcessorRegisters, ...]:
    first = next(iter(processors), None)
    return processor_registers(catalogue.profile(first.profile), first.options) if first else ()


def _own_catalogue() -> Catalogue:
    from minisim.catalogue import Catalogue as Reader

    return Reader()


def _with_owners(catalogue: Catalogue, loadout: Loadout) -> Catalogue:
    """The catalogue with the owner's entries that lie beside the loadout, where it can look for them."""
    from minisim.catalogue import Catalogue as Reader

    return catalogue.beside(loadout.path) if isinstance(catalogue, Reader) else catalogue


def bus_order(layout: Layout, chain: GrantChain) -> dict[int, int]:
    """Each board's place along the bus: its first position of the chain, else by unit and slot."""
    placed: dict[int, int] = {}
    for hop in chain.hops:
        if hop.board is not None:
            placed.setdefault(hop.board, hop.number)
    rest = sorted(
        (board for board in layout.boards if board.index not in placed),
        key=lambda board: (board.unit, board.place.slots[0], board.rows),
    )
    return placed | {board.index: len(chain.hops) + number for number, board in enumerate(rest, 1)}
