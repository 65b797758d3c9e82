"""A program of ours that lets a disk read one sector."""

from __future__ import annotations

from minisim.consequence._asking import Moving
from minisim.consequence._bench import IO_PAGE, STACK


def read_sector(base: int, moving: Moving, buffer: int) -> str:
    """Reads the first sector to `buffer`, of which the controller takes 18 bits, and waits until it is done."""
    at = IO_PAGE + base
    first = [f"        mov #{word:o}, @#{at + offset:o}      ; {each}" for offset, word, each in moving.first]
    if first:
        first += [f"first:  tstb @#{at + moving.status:o}", "        bpl first"]
    *before, (go_at, go, what) = moving.writes
    lines = [f"        mov #{word:o}, @#{at + offset:o}      ; {each}" for offset, word, each in before]
    go |= (buffer >> 16 & 3) << moving.high_shift
    return "\n".join(
        (
            f"        mov #{STACK:o}, sp",
            *first,
            *lines,
            f"        mov #{buffer & 0o177777:o}, @#{at + moving.address:o}      ; low 16 bits of the buffer's address",
            f"        mov #{go:o}, @#{at + go_at:o}      ; {what}; bits 17 and 16 of the address go with it",
            f"loop:   tstb @#{at + moving.status:o}     ; waits until it is done",
            "        bpl loop",
            f"        mov @#{at + moving.status:o}, status       ; its status",
            f"        mov @#{at + moving.errors:o}, errors       ; its errors",
            "        halt",
            "status: .word 0",
            "errors: .word 0",
        )
    )
