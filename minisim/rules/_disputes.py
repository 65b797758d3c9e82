"""Points on which documents differ: each reading with its sources, the one the rules take, and the test that decides.

One place for all of them.  A formatter prints `dispute(number)` under a finding that rests on the point; the page
docs/reference/rules/disputes.md and `as_data` show the same parts one by one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Reading:
    """One side: what it says, the keys of the documents that say it, and how well it stands where none was seen."""

    says: str
    sources: tuple[str, ...] = ()
    known: str = ""

    @property
    def origin(self) -> str:
        """`float-post-2016`, `cpu-guides, from memory`, or that no document was seen."""
        return ", ".join([*self.sources, *([self.known] if self.known else [])]) or "no document seen"

    def __str__(self) -> str:
        return f"{self.says} ({self.origin})"


@dataclass(frozen=True, slots=True)
class Dispute:
    """One point: the question, the reading the rules take, the other one, and the test that tells them apart."""

    number: str
    question: str
    taken: Reading
    other: Reading
    test: str

    @property
    def sentence(self) -> str:
        """Everything in one breath, without a full stop at the end."""
        return f"{self.question}. Taken here: {self.taken}. Otherwise: {self.other}. What decides: {self.test}"


MEMORY = "from memory, firm"

_ALL = (
    Dispute(
        "D1",
        "how far the gap behind a kind of floating address reaches",
        Reading("one word at the next place of the same kind", ("float-address-wiki",)),
        Reading("on by the step of the next kind", ("float-post-2016",)),
        "set the board to either address and let the system software that is to run size the machine: it names the "
        "kind at one of them only",
    ),
    Dispute(
        "D2",
        "whether the first Ethernet board floats",
        Reading("it is fixed at 774510 or, on the multiplexed bus, 774440", known="unconfirmed"),
        Reading("it floats like the kinds it is listed with", ("float-address-wiki",), "the list does not say"),
        "read the address switches of a board that comes from a machine in use with one such board, or the words at "
        "both addresses from its console",
    ),
    Dispute(
        "D3",
        "on what a kind with three or more vectors is aligned",
        Reading("on a multiple of 10, as printed for two vectors", ("float-vector-wiki",)),
        Reading("on a multiple of 20 or 40", known="lists recalled, unconfirmed"),
        "set the board to a multiple of 10 that is none of 20, let each source of it interrupt, and look which "
        "vectors come",
    ),
    Dispute(
        "D4",
        "how strong the weak terminator is",
        Reading("330 ohm to +5 and 680 to ground, 222 together", ("cpu-guides",), MEMORY),
        Reading("240 ohm, elsewhere 220 or 250", ("desk-box-wiki",), "the other figures recalled"),
        "with power off and the terminator out, measure one of its lines to +5 and ground joined together",
    ),
    Dispute(
        "D5",
        "which processor boards hold 120 ohm and which weak resistors",
        Reading("as the board's entry has it; where that does not know, the stricter limit", ("cpu-guides",), MEMORY),
        Reading("the other strength, and with it the other limit", known="no board of either kind was seen in print"),
        "with power off and the board out, measure a data line of the board to +5 and ground joined together: about "
        "120 ohm, or well over 200",
    ),
    Dispute(
        "D6",
        "which way the grants step behind the last private-link slot",
        Reading("from 4AB to 5AB, 5CD, 6CD, 6AB", ("slot-order-posts-1999",), "one post"),
        Reading("from 4AB to 4CD", ("slot-order-posts-1999",), "another post"),
        "with power off and all boards out, an ohm-meter from AN2 of 4AB to AM2 of 5AB and to CM2 of 4CD: one of the "
        "two is connected",
    ),
    Dispute(
        "D7",
        "whether the first of three backplanes is ended at its far end",
        Reading("a bus is ended at its two ends only", ("cpu-guides",), MEMORY),
        Reading("a figure shows a terminator there", ("three-backplane-post",)),
        "run the memory test for an hour with that terminator in and an hour with it out, and look at the low level "
        "of a data line both times",
    ),
    Dispute(
        "D8",
        "whether a plain or turnaround terminator may stand in a modified slot",
        Reading("it shorts supplies", ("modified-slot-post-2016", "sep-termination-post-2006")),
        Reading("it may", known="a reference page"),
        "with power off and the slot empty, measure from each pin of its rows A-B to each supply and to ground, and "
        "hold it against the pins that the terminator joins",
    ),
    Dispute(
        "D9",
        "whether exactly 20 unit loads are allowed on the separate-line bus",
        Reading("up to 20", known=f"handbooks, {MEMORY}"),
        Reading("less than 20", ("sep-loading-post-2016",)),
        "with all boards in and warm, measure the idle level of a bus line amid the boards: near 3.4 V there is room, "
        "near 2.5 V there is none",
    ),
    Dispute(
        "D10",
        "whether the vector space ends at 774 or 776",
        Reading("at 774", ("voice-manual",)),
        Reading("at 776", ("float-vector-wiki", "sync-mux-manual")),
        "none is needed: a vector is two words, and the last one starts at 774 by both",
    ),
    Dispute(
        "D11",
        "whether one end is enough below 20 AC loads",
        Reading("it is, in a single backplane", ("termination-post-2005",), "an engineering note quoted there"),
        Reading("both ends always", ("architecture-handbook",), "quoted in termination-post-2005"),
        "run the memory test for an hour without a far terminator and an hour with one, machine warm",
    ),
    Dispute(
        "D12",
        "whether the first quad disk-protocol port holds bus resistors",
        Reading("not known", known="left open"),
        Reading("it does", known="one list"),
        "with power off and the board out, measure a data line of the board to +5: some hundred ohm, or open",
    ),
    Dispute(
        "D13",
        "whether figures recalled and never seen printed are right",
        Reading("they are used, and named as unconfirmed", known="recalled"),
        Reading("another figure", known="whatever the board's manual prints"),
        "read the figure in the manual of the board, or measure it: the current of a board as the difference of the "
        "rail's current with the board in and out",
    ),
    Dispute(
        "D14",
        "how link memory is damaged in a twin-bus slot",
        Reading("it is damaged, however it happens", ("mux-backplanes-wiki", "engineering-note-28", "mos-memory-wiki")),
        Reading("no other reading; the mechanism is not understood", known="no document explains it"),
        "none that risks a board: with power off and the board out, measure its rows C-D for connections to supplies, "
        "and hold them against what a twin-bus slot has on these pins",
    ),
    Dispute(
        "D15",
        "whether the AC load of the backplane itself counts",
        Reading("it does not: a limit for all the modules", ("enclosure-manual",)),
        Reading("it does, as part of the line", known="derived: the backplane loads the line as boards do"),
        "run the memory test with all boards in, machine warm, and look at the edges of a data line at the far end",
    ),
    Dispute(
        "D16",
        "the lowest speed of the four-line board of the multiplexed bus",
        Reading("150 baud, and 110 only by a clock from the current-loop box", known=MEMORY),
        Reading("110 baud", ("serial-boards-wiki",)),
        "set a line to 110 baud, send a string of U, and time ten characters of eleven bits: one second",
    ),
    Dispute(
        "D17",
        "the request level of disks, floppies and Ethernet on the multiplexed bus",
        Reading("4", known=MEMORY),
        Reading("5, as the address table prints it without telling the buses apart", ("processor-handbook",), MEMORY),
        "set the processor's priority to 4 and let the device interrupt: at level 5 it comes through",
    ),
    Dispute(
        "D18",
        "what a two-line memory board and two serial boards take and load",
        Reading("the larger figures: 0.1 A at +12 of the first, 1.6 and 2.2 AC loads of the others", known="recalled"),
        Reading(
            "0.01 A, and 1 AC load each",
            ("module-comparison-multifunction", "module-comparison-serial"),
            "a table of second hand",
        ),
        "the current as the difference of the rail's current with the board in and out; of a load the board's manual",
    ),
)


DISPUTES: dict[str, Dispute] = {one.number: one for one in _ALL}
"""The points by number, in order."""


def dispute(number: str) -> str:
    """`D6: which way ... Taken here: ... Otherwise: ... What decides: ...`; a number nobody knows stands alone."""
    one = DISPUTES.get(number)
    return f"{number}: {one.sentence}" if one else f"{number}: told of in the catalogue entry, and nowhere else"


def as_data(number: str) -> dict[str, object]:
    """The same for machines: number, question, both readings with their sources, and the deciding test."""
    one = DISPUTES.get(number)
    if one is None:
        return {"number": number, "question": "", "readings": [], "test": ""}
    readings = [_reading(one.taken, True), _reading(one.other, False)]
    return {"number": number, "question": one.question, "readings": readings, "test": one.test}


def _reading(reading: Reading, taken: bool) -> dict[str, object]:
    return {"says": reading.says, "sources": list(reading.sources), "known": reading.known, "taken": taken}


def sources() -> Iterator[str]:
    """Every source key named here."""
    return (key for one in _ALL for reading in (one.taken, one.other) for key in reading.sources)
