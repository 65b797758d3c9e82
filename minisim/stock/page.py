"""The generated page of the stock lists: docs/reference/stock-format.md, from the tables the reader itself uses."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from minisim.cli._help import reflowed
from minisim.stock.header import ENDING, KEYS
from minisim.stock.sheets import MOST_BYTES, MOST_COLUMNS, MOST_ROWS
from minisim.stock.words import ANSWERS, COLUMNS, CONDITIONS, HEADINGS, MARKS, OUR_COLUMNS, SUMS, UNITS

PAGE = Path("reference/stock-format.md")


def _listed(words: Iterable[str]) -> str:
    return ", ".join(f"`{word}`" for word in words)


_MEANINGS = {
    "item": "your own name of the piece, such as K-017; no two pieces have the same",
    "marking": "the number etched on the handle, as you read it",
    "count": "how many pieces; nothing is one piece",
    "condition": "works, untested, unknown, incomplete or faulty",
    "box": "box or shelf",
    "what": "your words for what it is",
    "notes": "anything",
    "photo": "the name of a picture",
    "history": "conditions with date, initials and what was measured; only in lists of minisim",
    "conflict": "what another list says otherwise, until you have decided; only in lists of minisim",
}
_HEAD = f"""
Made from the tables that the reader itself uses. How to make a list: [count the pile](../how-to/count-the-pile.md).

Read is CSV in any dress, `.xlsx` and `.ods`, with up to {MOST_ROWS} rows, {MOST_COLUMNS} columns and
{MOST_BYTES // 1_000_000} MB. A list of yours is only read and never written; what minisim writes is always a new file,
or one that it wrote before. `minisim stock read FILE` shows how every column and every row was taken.

- CSV: separated by commas, semicolons, tabs or bars; in UTF-8 or UTF-16 with or without a byte-order mark, else in the
western 8-bit set, which is said; another encoding is named with `--encoding`. A quotation mark that is never closed
costs its row and no other.
- Spreadsheets: the first sheet with anything in it, or `--sheet NAME`; which ones are not read is said. A formula
counts with the value it had when the file was saved and is never worked out. Hidden rows are read and told. A cell
that is one for several rows counts for each of them where it is a box or a condition. Numbers lose a `.0`; a number
shown with zeros in front keeps them.
- The names of the columns may stand in any of the first rows; what is above them is not read, and said. A list without
names is taken by what stands in its columns. Columns that nobody knows are kept as they are.
- A row with one cell that begins with {_listed(HEADINGS)} is the box of the rows under it. A row that begins with
{_listed(SUMS)} is a sum and no piece.
- A repair that is certain is told; what is not certain is a doubt, and the row stands under "not understood".
"""


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    parts = ["# Stock lists", _prose(_HEAD), *_columns(), *_counts(), *_conditions(), *_own_words(), *_our_format()]
    return {PAGE: "\n\n".join(parts) + "\n"}


def _prose(text: str) -> str:
    return reflowed(text.strip("\n"), 118).rstrip("\n")


def _columns() -> Iterator[str]:
    yield "## Columns"
    yield _prose(
        "A name is compared without capitals, accents and points. An exact name goes before one that is only part of "
        "a longer name, the first word of a row before a later one. A column that only numbers the rows is no marking; "
        "one called item that is the only one with markings or words is the marking, or what it is. "
        "`--map marking=NAME` says it yourself, with the name of the column or its letter; `--map count=` says that "
        "there is none."
    )
    rows = [f"| `{name}` | {what} | {_listed(COLUMNS[name])} |" for name, what in _MEANINGS.items()]
    yield "\n".join(["| column | what stands there | names it is known by |", "|---|---|---|", *rows])


def _counts() -> Iterator[str]:
    yield "## Counts"
    yield _prose(
        f"`3`, `3x`, `x3`, `3.0`, `3,0`, `two`, `a dozen`, and a number with one of {_listed(UNITS)}. `2 (1 faulty)` "
        "is two rows, one piece each, where the word is a known condition. A count within the marking (`3x M0000`, "
        "`M0000 x3`) is taken out of it. Everything else (`ca. 3`, `2?`, `2-3`) is a doubt; it counts as the number it "
        "begins with, else as 1."
    )


def _conditions() -> Iterator[str]:
    yield "## Conditions"
    yield _prose(
        "In a longer text the longest phrase decides; two that contradict each other are a doubt, and the worse one "
        "counts. A question mark behind a word makes it unknown, and so does every word that is not here."
    )
    rows = [f"| `{condition}` | {_listed(words)} |" for condition, words in CONDITIONS.items()]
    yield "\n".join(["| condition | words |", "|---|---|", *rows])
    answers = [
        f"`{word}` is {condition} in a column called `{stem}...`"
        for stem, said in ANSWERS.items()
        for word, condition in said.items()
    ]
    yield _prose(f"Where the name of the column is a question: {', '.join(answers)}.")
    yield _prose(
        "Columns that are called after a condition and hold numbers (`Good`, `Bad`, `Untested`) count the pieces in it "
        "where no other column is the count."
    )
    yield _prose(f"Signs: {', '.join(f'`{sign}` {condition}' for sign, condition in MARKS.items())}.")


def _own_words() -> Iterator[str]:
    yield f"## Your own words: NAME{ENDING}"
    yield _prose(
        f"A small YAML file beside the list (`pile{ENDING}` for `pile.ods`), or any file named with `--header`. Every "
        "command that reads the list takes it; the command line goes before it."
    )
    rows = [f"| `{key}` | {what} |" for key, what in KEYS.items()]
    yield "\n".join(["| key | what stands there |", "|---|---|", *rows])
    yield (
        "```yaml\ncolumns: {marking: Board no, box: D}\nconditions: {green dot: works, red dot: faulty}\n"
        "sheet: Boards\nnames-in-row: 3\n```"
    )


def _our_format() -> Iterator[str]:
    yield "## Lists that minisim writes"
    yield _prose(
        f"CSV in UTF-8 with commas and the columns `{','.join(OUR_COLUMNS)}`, then those of your list that say more. "
        "Such a list can be added to (`minisim stock add`) and noted in (`minisim stock note`). One that a spreadsheet "
        "has saved with other separators or another encoding is a list of yours from then on.\n\n"
        "- `history`: entries such as `2026-11-26 AB works: 4.98 V at +5`, ` | ` between them; a bar, a backslash or a "
        "line end within stands behind a backslash.\n"
        "- A cell that a spreadsheet would take for a formula (it begins with `=`, `+`, `-`, `@` or a tab, or these "
        "stand right behind a semicolon) has an apostrophe before it, and so has one that begins with an apostrophe. "
        "Reading takes it away again."
    )
