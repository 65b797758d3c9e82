"""Registers and ROM window of the boot and diagnostic boards of the multiplexed bus.

777520 page register, 777522 scratch register, 777524 switches (read) and lamps (write); the window at 773000 shows
two pages of 128 words, chosen by the low byte for its lower and by the high byte for its upper half (from memory,
unconfirmed).
"""

from __future__ import annotations

from minisim.devices._device import Device, Effect, Field, Placement, Register, Window
from minisim.devices.boot_rom import words_of

NOT_MODELLED = (
    "Which page the window shows after bus initialise is not documented: here the page register keeps its value.",
    "The registers of the newest processor boards, which have another order; there 777520 to 777524 only keep words.",
    "The writable set-up memory of the newest processor boards.",
)

PLACE, WINDOW = 0o17520, 0o13000
PAGE_WORDS, HALF = 128, 0o400  # words of a page; bytes of half the window
PAGED = "paged-window"  # the feature that the catalogue names


def switches_of(placement: Placement) -> int:
    """The board's switches as an octal word; 0 where the loadout does not state them."""
    text = placement.settings.get("switches", "").removeprefix("0o")
    return int(text, 8) & 0o7777 if text and all(digit in "01234567" for digit in text) else 0


def registers(placement: Placement) -> tuple[Register, ...]:
    """The three registers, kept through bus initialise."""
    word = 0o177777
    lamps = Effect("STORE", "lamps", "", word)
    kept = "unconfirmed"
    return (
        Register(
            "page", 0, (Field("page", word, "RW", "pages shown by the two halves of the window", kept, kept=True),)
        ),
        Register("scratch", 2, (Field("scratch", word, "RW", "for the program", kept, kept=True),)),
        Register(
            "switches",
            4,
            (Field("switches", word, "R", "the switches of the board", kept, reset=switches_of(placement), kept=True),),
            on_write=(lamps,),
        ),
        Register("lamps", None),
    )


def paged_windows(placement: Placement) -> tuple[Window, ...]:
    """The two halves of the window, over all words that are at hand."""
    size = max(
        [2 * PAGE_WORDS, *((rom.at - WINDOW) // 2 + len(rom.words) for rom in placement.roms if rom.at >= WINDOW)]
    )
    words = words_of((WINDOW, size), placement.roms)
    return tuple(
        Window(WINDOW + half * HALF, words, PAGE_WORDS, "page", PAGE_WORDS, page_shift=8 * half) for half in range(2)
    )


def build(placement: Placement) -> tuple[Device, ...]:
    """Registers, and the window where the board pages it; plain windows elsewhere."""
    plain = tuple(
        Window(offset, words_of((offset, shown), placement.roms), shown) for offset, shown in placement.windows
    )
    return (
        Device(
            id="boot-registers",
            place=placement.place,
            base=placement.at(PLACE),
            registers=registers(placement),
            windows=paged_windows(placement) if placement.features((PAGED,)) and placement.windows else plain,
            notes=NOT_MODELLED,
        ),
    )
