"""The generated page of trial cases: docs/reference/trials-format.md, made from the keys the reader knows."""

from __future__ import annotations

from pathlib import Path

from minisim.trials import card
from minisim.trials.keys import KINDS, MASKS, Kind
from minisim.trials.model import Evidence
from minisim.trials.plan import STACKS
from minisim.trials.reader import VERSION
from minisim.trials.runner import LATER, USUAL_KB
from minisim.trials.scope import modules

PAGE = Path("reference/trials-format.md")

EXAMPLE = """\
trials: 1
title: "Two trials of our own"
needs: [base]
source: null
evidence: derived
tables:
  - id: add
    about: "ADD of two words"
    program: "ADD R0,R1"
    given: [r0, r1, nzvc]
    then: [r1, nzvc]
    rows:
      - [plain, "000001", "000002", "1111", "000003", "0000"]
      - [overflow, "000001", "077777", "0101", "100000", "1010"]
  - id: swap-codes
    about: "SWAB and its V"
    row: D06
    program: "SWAB R1"
    given: [r1, nzvc]
    then: [r1, nzvc]
    columns-first: [profile, evidence, source]
    rows:
      - [of-077777, "first-hardwired", seen, handbook-1969, "077777", "1111", "177577", "00x0"]
      - [of-077777, "late-ttl-commercial small-single-chip", firm, null, "077777", "1111", "177577", "0000"]
"""
"""Stands on the page; a test reads it."""

_HEAD = f"""# Trial cases, version {VERSION}

A trial case says what a processor is documented to do: what is set up, what runs, and what must be found.
`minisim compare` runs cases on the processor profiles. Made from the tables the reader itself uses; `minisim schema
trials` prints the same as JSON Schema.

```yaml
{EXAMPLE}```

- A row is a case; its id is `<table>/<row>`. Cells stand in the order: row id, the `columns-first`, the columns of
  `given`, the columns of `then`. An empty cell says nothing. `given` or `then` may also be a mapping of values that
  hold for all rows.
- A row may be a mapping too, for what happens once: `id`, `given` and `then` as mappings, and any key of the table.
- Rows of one table with the same id are one case: each names its profiles, and the values hold for them alone. A
  profile that none of them names is "not documented". Rows without `profile` speak for every profile.
- Numbers are octal; `steps`, `digits`, `memory-kb`, `instructions` and `time-ns` are decimal. Expected values are
  written out: nothing is worked out from the profile.
- In `then`, `x` is not compared and `-` keeps the value that was given.
"""

_FIELDS = (
    ("needs", f"Modules the machine must have: {', '.join(modules())} (the last stands for {', '.join(LATER)}). "
              "The case counts for the first."),
    ("without", "Modules it must not have. Where an option can be left out, it is."),
    ("source", "Key of the bibliography, several with spaces; `null`: derived from the rules."),
    ("place", "Page or section of the source."),
    ("evidence", f"How strong the values are: {', '.join(each.value for each in Evidence)}. What differs from an "
                 "unconfirmed value is a doubt, not a difference."),
    ("about", "One plain sentence."),
    ("row", "The row of the table of differences, when the case is one."),
    ("program", "Assembler text. In a text of one line, semicolons part the statements."),
    ("words", "The program as octal words instead."),
    ("at", "Where the program lies and starts; usually 001000."),
    ("steps", "How many instructions run (decimal); usually 1. An interrupt taken before one is no step of its own."),
    ("mask", f"What is not compared: {', '.join(MASKS)}, or any key of `then`."),
    ("note", "What a reader of a difference should know."),
    ("profile", "In a row: the profiles it speaks for, with spaces between."),
)  # fmt: skip

_KEEPS = f"""## What need not be said

Power-up, then memory, then words of the I/O page (777572 last), then the PS, then registers. What is not given is 0,
but for the stack pointers: {STACKS[0]:06o} kernel, {STACKS[1]:06o} supervisor, {STACKS[3]:06o} user. Memory has
{USUAL_KB[16]} KB on 16 address bits, {USUAL_KB[18]} KB on 18, {USUAL_KB[22]} KB on 22, or all that fits where a case
names a higher address. A case whose set-up meets a register or memory that is not there is "not fitted".

Compared without being asked for: R0 to R5 and SP keep their values, and AC0 to AC5 in cases that need fpp; memory named
in `given` keeps its values; PC stands just past the instructions that ran, and no trap is taken. Where a trap is
expected, SP, PC and the words it pushes are left out. Where `pc` is given or masked and `trap` is not, traps are not
looked at. Condition codes and PS are compared only where they are listed. `virtual` with `physical` needs no program:
a read of that address is run.

## The trial card

Every machine of a comparison has a board that no real machine has.

"""


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    return {PAGE: trials_page()}


def trials_page() -> str:
    """The whole page."""
    fields = "".join(f"| `{name}` | {what} |\n" for name, what in _FIELDS)
    head = "| key | what it is |\n|---|---|\n"
    sections = [
        "## Keys of file, table and row\n\nWhat stands nearer wins. `row` and `about` stand in tables and rows; "
        f"`title` only in the file.\n\n{head}{fields}",
        "## Keys of `given` and `then`\n\n| key | where | value | what it is |\n|---|---|---|---|\n"
        + "".join(map(_kind, KINDS)),
        _KEEPS + _card(),
    ]
    return _HEAD + "".join(f"\n{section}" for section in sections)


def _kind(kind: Kind) -> str:
    return f"| `{kind.written}` | {kind.side} | {kind.value} | {kind.what} |\n"


def _card() -> str:
    """What the card's own text says, indented as code."""
    lines = (card.__doc__ or "").splitlines()[2:]
    return "".join(f"{line}\n" if line else "\n" for line in lines)
