"""Which boards of the catalogue a board without a number may be, by what can be seen on it.

Each feature is held against the figure of the catalogue that says the same.  A figure that differs leaves a board out,
one that is not known does not, and one that is unconfirmed only puts it behind the others.  Never sure: the catalogue
does not hold every board there is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from minisim.catalogue import Catalogue
from minisim.catalogue.model import BoardEntry
from minisim.known import Evidence, Figure, Known, NotApplicable, Unknown, worst
from minisim.stock.model import Candidate, Identified

PACKAGES = ("processor", "memory", "rom", "serial", "resistors")
"""What can be made out among the packages on a board: what it must then be or have."""

AGREES = 0.5
"""From this score on nothing differs."""

_SERIAL = ("serial-line", "multiplexer")
_FITS, _OPEN, _DIFFERS = "fits", "not known", "differs"


@dataclass(frozen=True, slots=True)
class Verdict:
    """One feature against one board: how it came out, and the figure of the catalogue behind it."""

    feature: str
    outcome: str  # fits, not known, differs
    figure: Known[object] | None = None


@dataclass(frozen=True, slots=True)
class _Match:
    board: BoardEntry
    verdicts: tuple[Verdict, ...] = field(default_factory=tuple)

    def of(self, outcome: str) -> list[Verdict]:
        return [verdict for verdict in self.verdicts if verdict.outcome == outcome]

    @property
    def possible(self) -> bool:
        """Nothing differs, or one thing does that the catalogue itself is not sure of."""
        differing = self.of(_DIFFERS)
        return not differing or (len(differing) == 1 and _weak(differing[0]))

    @property
    def score(self) -> float:
        share = 0.4 * len(self.of(_FITS)) / len(self.verdicts)
        return round(share if self.of(_DIFFERS) else AGREES + share, 2)


def _weak(verdict: Verdict) -> bool:
    return verdict.figure is not None and verdict.figure.evidence.needs_saying


def identify_features(
    *,
    height: str = "",
    rows: str = "",
    connectors: int | None = None,
    packages: Sequence[str] = (),
    loops_through: bool | None = None,
    dma_grant_through: bool | None = None,
    bus: str = "",
    catalogue: Catalogue | None = None,
) -> Identified:
    """Boards that have what was seen, the best first.

    `height`: single, dual, quad or hex.  `rows`: letters of the rows with fingers (AB), or how many (2).
    `connectors`: for cables, at the edge opposite the fingers; no entry of the catalogue says how many a board has.
    `packages`: words of PACKAGES.  `loops_through`: whether the grant's two fingers are joined on the solder side or by
    its circuits; `dma_grant_through` the same for the DMA grant of the separate-line bus.  `bus`: mux or sep.

    `how` of a candidate says which figures of the catalogue were used and which are not known.  Never sure.
    """
    there = catalogue or Catalogue()
    tests = list(_tests(height, rows, connectors, packages, loops_through, dma_grant_through, bus))
    text = ", ".join(name for name, _ in tests)
    if not tests:
        return Identified(text)
    matches = [
        _Match(board, tuple(_verdict(name, test, board) for name, test in tests))
        for board in map(there.board, there.ids("boards"))
    ]
    fitting = sorted((one for one in matches if one.possible and one.of(_FITS)), key=_order)
    return Identified(text, tuple(map(_candidate, fitting)))


def _order(match: _Match) -> tuple[float, str]:
    return (-match.score, match.board.id)


_Test = Callable[[BoardEntry], tuple[bool | None, Figure[object]]]


def _tests(
    height: str, rows: str, connectors: int | None, packages: Iterable[str], loops: bool | None,
    dma_loops: bool | None, bus: str,
) -> Iterator[tuple[str, _Test]]:  # fmt: skip
    """The features given, each with what it asks of a board."""
    if bus:
        yield f"bus {bus}", lambda board: (board.bus == bus, Known(board.bus, Evidence.SEEN))
    if height:
        yield f"height {height}", lambda board: _equal(board.height, height)
    if rows:
        name = f"{rows} rows with fingers" if rows.isdigit() else f"fingers in rows {rows}"
        yield name, lambda board: _has_rows(board, rows)
    if loops is not None:
        yield f"grants {'loop through' if loops else 'end here'}", lambda board: _passes(board.passes_grant, loops)
    if dma_loops is not None:
        name = f"DMA grant {'loops through' if dma_loops else 'ends here'}"
        yield name, lambda board: _passes(board.passes_dma_grant, dma_loops)
    for word in packages:
        yield f"{word} on it", lambda board, word=word: _carries(board, word)  # type: ignore[misc]
    if connectors is not None:
        yield f"{connectors} connectors", lambda board: (None, Unknown(f"connectors of board {board.id}"))


def _verdict(name: str, test: _Test, board: BoardEntry) -> Verdict:
    fits, figure = test(board)
    known = figure if isinstance(figure, Known) else None
    return Verdict(name, _OPEN if fits is None else _FITS if fits else _DIFFERS, known)


def _equal(figure: Figure[str], wanted: str) -> tuple[bool | None, Figure[object]]:
    return (figure.peek == wanted if isinstance(figure, Known) else None), figure  # type: ignore[return-value]


def _has_rows(board: BoardEntry, rows: str) -> tuple[bool | None, Figure[object]]:
    if board.rows is None:
        return None, Unknown("rows")
    evidence = board.height.evidence if isinstance(board.height, Known) else Evidence.UNCONFIRMED
    fits = len(board.rows) == int(rows) if rows.isdigit() else set(board.rows) == set(rows)
    return fits, Known(board.rows, evidence)


def _passes(figure: Figure[str], loops: bool) -> tuple[bool | None, Figure[object]]:
    """A board that stands where no grants pass loops none through."""
    if isinstance(figure, NotApplicable):
        return not loops, figure
    return _equal(figure, "yes" if loops else "no")


def _carries(board: BoardEntry, word: str) -> tuple[bool | None, Figure[object]]:
    """Whether the board is or has what was made out on it; the catalogue lists all of these for each board."""
    if word == "resistors":
        ends = board.terminates
        return (ends.peek != "no" if isinstance(ends, Known) else None), ends  # type: ignore[return-value]
    has = {
        "processor": board.processor is not None,
        "memory": board.memory is not None,
        "rom": board.rom is not None,
        "serial": any(_is_serial(registers.device) for registers in board.registers),
    }[word]
    return has or None if word == "rom" else has, Known(has, Evidence.SEEN)


def _is_serial(device: str) -> bool:
    return device.startswith(_SERIAL)


def _candidate(match: _Match) -> Candidate:
    """The board with what was used; its evidence is the weakest of the figures used."""
    board = match.board
    marking = "/".join(board.markings.peek) if isinstance(board.markings, Known) else ""
    used = [verdict.figure for verdict in match.verdicts if verdict.figure and verdict.outcome == _FITS]
    sources = tuple(dict.fromkeys(source for figure in used for source in figure.sources))
    evidence = str(worst(used)) if used else ""
    return Candidate("boards", board.id, marking, match.score, "; ".join(_said(match)), evidence, sources)


def _said(match: _Match) -> Iterator[str]:
    for outcome in (_FITS, _DIFFERS, _OPEN):
        listed = [_with_evidence(verdict) for verdict in match.of(outcome)]
        if listed:
            yield f"{outcome}: {', '.join(listed)}"


def _with_evidence(verdict: Verdict) -> str:
    figure = verdict.figure
    if verdict.outcome == _DIFFERS and figure is not None:
        return f"{verdict.feature} (the catalogue says {figure.peek}, {figure.evidence})"
    return f"{verdict.feature} ({figure.evidence})" if figure is not None and _weak(verdict) else verdict.feature
