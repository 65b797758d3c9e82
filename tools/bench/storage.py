"""Devices at work: a copy of 1 MB from one cartridge to another by DMA, and characters through the multiplexer."""

from __future__ import annotations

import statistics
from collections.abc import Sequence

import minisim
from bench.engines import CORES, FOR_EVER, BenchError, begin, put, set_core
from bench.race import ROUNDS, timed
from bench.report import number, table
from minisim.catalogue import Catalogue
from minisim.cpu.profile import configuration
from minisim.devices._controller import Drive
from minisim.devices._device import Device, Placement, model_of
from minisim.machine.assemble import put_together
from minisim.media import geometry_of
from minisim.media.held import HeldMedium

PROFILE = "two-board-ttl-mmu"
MEGABYTE = 1 << 20
CHUNK = 16 * 1024  # bytes a transfer
KIND, DRIVE = "cartridge-2mb", "cartridge-disk-2mb-drive"
COPY = f"""
control = 177404
        . = 1000
        MOV     #{MEGABYTE // CHUNK}., R2
        CLR     R3              ; where the first drive is read
        MOV     #20000, R4      ; where the second one is written
1$:     MOV     #control+10, R1
        MOV     R3, -(R1)
        MOV     #10000, -(R1)
        MOV     #-{CHUNK // 2}., -(R1)
        MOV     #5, -(R1)
2$:     TSTB    (R1)
        BPL     2$
        MOV     10-2(R1), R3    ; the next sector
        MOV     #control+10, R1
        MOV     R4, -(R1)
        MOV     #10000, -(R1)
        MOV     #-{CHUNK // 2}., -(R1)
        MOV     #3, -(R1)
3$:     TSTB    (R1)
        BPL     3$
        MOV     10-2(R1), R4
        TST     (R1)
        BMI     4$
        SOB     R2, 1$
4$:     HALT
"""

CHARACTERS = 10_000
PLACE = 0o160100
SEND = f"""
        . = 1000
        MOV     #{PLACE:o}, R1
        MOV     #17030, 2(R1)   ; line 0: receiver on, 9600 baud, 8 bits
        MOV     #1, 4(R1)       ; transmit enable
        MOV     #40, (R1)       ; scan
        MOV     #{CHARACTERS}., R2
        MOV     #40, R0
1$:     TST     (R1)
        BPL     1$
        MOVB    R0, 6(R1)
        INC     R0
        BIC     #177600, R0
        BIS     #40, R0
        SOB     R2, 1$
        HALT
"""


def machine(core: str, *placements: Placement) -> minisim.Machine:
    """A machine with these devices and nothing in memory."""
    devices: list[Device] = []
    for placement in placements:
        model = model_of(placement.device)
        assert model is not None
        devices += model.build(placement)
    made = put_together(configuration(PROFILE), [(0, 0o160000)], devices, address_bits=18)
    set_core(made, CORES[core])
    return made


def cartridges() -> tuple[Drive, Drive]:
    """A full one and an empty one."""
    geometry = geometry_of(Catalogue().medium(KIND))
    assert geometry is not None
    content = bytes(range(256)) * (geometry.size // 256)
    full, empty = HeldMedium(geometry, content), HeldMedium(geometry, bytes(geometry.size))
    return Drive(0, DRIVE, "disk:0", (KIND,), full), Drive(1, DRIVE, "disk:1", (KIND,), empty)


def copied(core: str) -> tuple[float, float]:
    """Seconds of ours and of the guest for the copy.  BenchError: something else arrived."""
    drives = cartridges()
    made = machine(core, Placement("cartridge-disk-2mb", "disk", drives=drives))
    put(made, COPY)
    begin(made)
    seconds = timed(made.run, limit=FOR_EVER)
    source, target = drives[0].medium, drives[1].medium
    assert source is not None
    assert target is not None
    sectors = MEGABYTE // source.geometry.bytes_each
    if target.read(0, sectors) != source.read(0, sectors):
        raise BenchError(f"the copy of the {core} is not what was copied")
    return seconds, made.time_ns / 1e9


def sent(core: str) -> float:
    """Seconds for all characters through one line of the multiplexer.  BenchError: others were sent."""
    made = machine(core, Placement("multiplexer", "mux", lines=8))
    put(made, SEND)
    begin(made)
    seconds = timed(made.run, limit=FOR_EVER)
    code, wanted = 0o40, bytearray()
    for _ in range(CHARACTERS):
        wanted.append(code)
        code = (code + 1) & 0o177 | 0o40
    if made.line("mux").take() != wanted:
        raise BenchError(f"the multiplexer of the {core} sent something else than it should")
    return seconds


def lines(cores: Sequence[str] = tuple(CORES), rounds: int = ROUNDS) -> list[str]:
    """Both tables: medians."""
    copies = {core: [copied(core) for _ in range(rounds)] for core in cores}
    rows = [("DMA copy of 1 MB, cartridge to cartridge", "seconds", "MB moved a second", "times the guest's time")]
    for core, taken in copies.items():
        seconds = statistics.median(each for each, _ in taken)
        rows.append((core, number(seconds, "", 3), number(2 / seconds), f"{taken[0][1] / seconds:,.0f}"))
    shown = [*table(rows), ""]
    rows = [("multiplexer, one line at 9600 baud, polled", "characters a second", "times the line's own speed", "")]
    for core in cores:
        rate = CHARACTERS / statistics.median(sent(core) for _ in range(rounds))
        rows.append((core, f"{rate:,.0f}", f"{rate / 960:,.0f}", ""))
    return shown + table(rows)
