"""Where the first instruction comes from: the start switches of a board with ROM."""

from __future__ import annotations

import re
from collections.abc import Iterator

from minisim.findings import Finding
from minisim.fixing.repairs._framework import Changes, repair
from minisim.fixing.repairs.registers import changes, peeked, switch
from minisim.fixing.situation import Situation

_ADDRESS = re.compile(r"\b1[67]\d{4}\b")  # in the I/O page, as a program sees it
_IO_PAGE = 0o160000

BEYOND = {
    "no-boot-path": "the machine needs one boot ROM at each window, and one that knows a device of this machine",
    "power-up-starts-nowhere": "the processor needs a ROM where it starts",
}


@repair("power-up-starts-nowhere")
def start_at_the_program(situation: Situation, finding: Finding) -> Iterator[Changes]:
    """The start switches to the address the finding names, to the program of a ROM, or to the other window."""
    wired = situation.wired
    named = _ADDRESS.findall(finding.fix)
    starts = [f"{start:o}" for rom in wired.roms if (start := peeked(rom.start)) is not None]
    windows = [f"{_IO_PAGE + rom.base:o}" for rom in wired.roms if rom.fitted is not None]
    for board in wired.boards:
        if board.entry.rom is None or board.entry.memory is not None:
            continue
        for start in dict.fromkeys([*named, *starts, *windows]):
            yield changes(switch(board, "start", start))
        for window in ("high", "low"):
            yield changes(switch(board, "start-from", window))
