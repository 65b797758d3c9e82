"""Boot ROM: words in windows of the I/O page that can only be read; a write gets no answer [boot-terminator-posts].

On the later ROM and terminator board of the separate-line bus the pair at 773024 and 773026 (or 765024 and 765026)
comes from the board's switches: the start word, and 000340 for the PS [boot-terminator-wiki]; that the PS is 340 is
from memory, firm.
"""

from __future__ import annotations

from minisim.devices._device import Device, Placement, RomWords, Window

NOT_MODELLED = (
    "ROM contents that are not at hand: such a window answers with 0.",
    "The boot button, which imitates a power failure and return.",
    "The earlier ROM and terminator board: its ten switches are not read.",
)

START_PAIR = 0o24  # offset of the start word within the window
START_PS = 0o340  # from memory, firm
SWITCHES = 0o776  # bits of the start word that S1-3 to S1-10 set [boot-terminator-wiki]


def words_of(window: tuple[int, int], roms: tuple[RomWords, ...]) -> tuple[int, ...]:
    """The words one window shows: each ROM at its place, 0 where none is known."""
    offset, shown = window
    words = [0] * shown
    for rom in roms:
        first = (rom.at - offset) // 2
        for number, word in enumerate(rom.words, start=first):
            if rom.at >= offset and number < shown:
                words[number] = word
    return tuple(words)


def with_start(placement: Placement, offset: int, words: tuple[int, ...]) -> tuple[int, ...]:
    """The start pair laid over the window it is taken from."""
    low = placement.settings.get("start-from") == "low"
    window = 0o5000 if low else 0o13000
    if placement.start is None or offset != window:
        return words
    at = START_PAIR // 2
    start = (0o160000 + window) | (placement.start & SWITCHES)
    return (*words[:at], start, START_PS, *words[at + 2 :])


def build(placement: Placement) -> tuple[Device, ...]:
    """One device with all windows of the board."""
    low_out = placement.settings.get("low-window") == "out"
    windows = tuple(
        Window(offset, with_start(placement, offset, words_of((offset, shown), placement.roms)), shown)
        for offset, shown in placement.windows
        if not (low_out and offset == 0o5000)
    )
    return (Device(id="boot-rom", place=placement.place, base=0, windows=windows, notes=NOT_MODELLED),)
