"""The listing: line number, address, words in six digits, source."""

from __future__ import annotations

from minisim.cpu.assembler import assemble
from minisim.cpu.listing import listing_text

SOURCE = """; a remark
        . = 1000
size    = 4
start:  MOV  #size,R0
        MOV  2000,@#3000        ; three words
x:
        .word 1, 2, 3, 4
        .asciz /seven!/
        .even
"""

LISTING = """\
demo.s
    1                              ; a remark
    2 001000                               . = 1000
    3        000004                size    = 4
    4 001000 012700 000004         start:  MOV  #size,R0
    5 001004 016737 000770 003000          MOV  2000,@#3000        ; three words
    6 001012                       x:
    7 001012 000001 000002 000003          .word 1, 2, 3, 4
      001020 000004
    8 001022 163 145 166 145 156           .asciz /seven!/
      001027 041 000
    9 001031 000                           .even
"""


def test_a_listing_shows_lines_addresses_words_and_source() -> None:
    assert listing_text(assemble([("demo.s", SOURCE)])) == LISTING


def test_each_file_has_its_own_part_and_line_numbers() -> None:
    text = listing_text(assemble([("a.s", "NOP\n"), ("b.s", "HALT\n")]))
    assert text == ("a.s\n    1 000000 000240                NOP\n\nb.s\n    1 000002 000000                HALT\n")
