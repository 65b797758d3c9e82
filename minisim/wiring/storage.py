"""Memory and ROM: which addresses each board answers as storage, and what stands in the ROM windows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from minisim.catalogue.model import MemoryEntry, RomBlock, RomEntry
from minisim.findings import Mark
from minisim.known import Evidence, Figure, Known, NotApplicable, Unknown
from minisim.loadout.model import RomFitted
from minisim.wiring.model import WiredBoard, WiredMemory, WiredRom
from minisim.wiring.places import Layout
from minisim.wiring.register_drafts import number_of, word
from minisim.wiring.sidecar import Sidecar, read_sidecar
from minisim.wiring.source import Catalogue

KB = 1024
LOW_WINDOW = 0o5000  # I/O-page offset of 765000, the window of console and checks
_GUESSED_WORDS = 256  # where the catalogue gives no size of a window


# ---- memory


def wire_memories(layout: Layout) -> tuple[WiredMemory, ...]:
    """Memory of every board that has any, in the order of the boards."""
    return tuple(_memory(board, board.entry.memory) for board in layout.boards if board.entry.memory)


def _memory(board: WiredBoard, entry: MemoryEntry) -> WiredMemory:
    start = board.placed.settings.get("start")
    mark: Mark = start.mark if start else board.mark
    return WiredMemory(board.index, _start(board), _size(board, entry), entry.parity, mark)


def _start(board: WiredBoard) -> Figure[int]:
    setting = number_of(board.placed.settings.get("start"))
    if setting is not None:
        return Known(setting, Evidence.OWNER)
    if "start" not in board.entry.settings:
        return Known(0, Evidence.ASSUMED, (), "the board has no known switch for the start of its memory: taken as 0")
    return Unknown("start of the memory")


def _size(board: WiredBoard, entry: MemoryEntry) -> Figure[int]:
    setting = number_of(board.placed.settings.get("kb"))
    if setting is not None:
        return Known(setting * KB, Evidence.OWNER)
    if isinstance(entry.kb, Known) and len(entry.kb.peek) == 1:
        return Known(entry.kb.peek[0] * KB, entry.kb.evidence, entry.kb.sources, entry.kb.note)
    return Unknown("size of the memory")


# ---- ROM


@dataclass(frozen=True, slots=True)
class _Piece:
    """A stretch of a window: offset, words, and what is fitted there."""

    base: int
    words: int
    fitted: RomFitted | None
    words_known: bool = True


def wire_roms(layout: Layout, catalogue: Catalogue) -> tuple[WiredRom, ...]:
    """ROM windows of every board; InputError only for a broken description beside an image."""
    return tuple(rom for board in layout.boards for rom in _roms(board, catalogue))


def _roms(board: WiredBoard, catalogue: Catalogue) -> Iterator[WiredRom]:
    if board.entry.rom is None and not board.placed.roms:
        return
    facts = {fitted.at: _Facts.of(fitted, catalogue) for fitted in board.placed.roms}
    pieces = _pieces(board, facts)
    for piece in pieces:
        yield _rom(board, piece, facts.get(piece.fitted.at) if piece.fitted else None)


@dataclass(frozen=True, slots=True)
class _Facts:
    """What is known of the contents of one ROM."""

    fitted: RomFitted
    entry: RomEntry
    sidecar: Sidecar | None

    @classmethod
    def of(cls, fitted: RomFitted, catalogue: Catalogue) -> _Facts:
        """Look the ROM up, and read the description beside its image."""
        return cls(fitted, catalogue.rom(fitted.rom), read_sidecar(fitted.image) if fitted.image else None)

    @property
    def words(self) -> int | None:
        """Words of the contents: by the description, the catalogue, or the file."""
        if self.sidecar and self.sidecar.words:
            return self.sidecar.words
        if isinstance(self.entry.words, Known) and self.entry.words.peek.isdigit():
            return int(self.entry.words.peek)
        return _file_words(self.fitted.image)


def _file_words(image: Path | None) -> int | None:
    try:
        return image.stat().st_size // 2 if image else None
    except OSError:
        return None


def _pieces(board: WiredBoard, facts: dict[int, _Facts]) -> list[_Piece]:
    """The windows of a board, divided where single ROMs stand in them."""
    block = board.entry.rom
    windows = _windows(board, block) if block else ()
    each = block.words_each if block else Unknown("words of the ROM")
    size = each.peek if isinstance(each, Known) else _GUESSED_WORDS
    pieces: list[_Piece] = []
    placed: set[int] = set()
    for window in windows:
        end = window + 2 * size
        inside = sorted(at for at in facts if window <= at < end)
        placed.update(inside)
        pieces += _divide(window, end, [facts[at] for at in inside], block, isinstance(each, Known))
    for at in sorted(set(facts) - placed):
        words = facts[at].words
        pieces.append(_Piece(at, words or size, facts[at].fitted, words is not None))
    return pieces


def _windows(board: WiredBoard, block: RomBlock) -> tuple[int, ...]:
    """The windows that answer as the board is set."""
    if block.choose_one and block.windows:
        return (_chosen(board, block),)
    removed = word(board.placed.settings.get("low-window")) == "out"
    return tuple(window for window in block.windows if not (removed and window == LOW_WINDOW))


def _chosen(board: WiredBoard, block: RomBlock) -> int:
    """One window of several: as set, else where a ROM is fitted, else the first of the list."""
    address = number_of(board.placed.settings.get("address"))
    if address is not None:
        return address
    return next((fitted.at for fitted in board.placed.roms if fitted.at in block.windows), block.windows[0])


def _divide(window: int, end: int, inside: list[_Facts], block: RomBlock | None, known: bool) -> list[_Piece]:
    """Fitted ROMs where they stand, and what is left between them."""
    if not inside:
        return [_Piece(window, (end - window) // 2, None, known)]
    sockets = dict(block.sockets) if block else {}
    pieces: list[_Piece] = []
    free = window
    for number, facts in enumerate(inside):
        at = facts.fitted.at
        limit = inside[number + 1].fitted.at if number + 1 < len(inside) else end
        if free < at:
            pieces.append(_Piece(free, (at - free) // 2, None, known))
        words = _words_of(facts, sockets.get(at), (limit - at) // 2)
        pieces.append(_Piece(at, words, facts.fitted, facts.words is not None or known))
        free = at + 2 * words
    if free < end:
        pieces.append(_Piece(free, (end - free) // 2, None, known))
    return pieces


def _words_of(facts: _Facts, socket: int | None, room: int) -> int:
    """Words a fitted ROM answers: its socket, more where it is written across several; without sockets all there is."""
    return min(max(socket, facts.words or 0), room) if socket else room


def _rom(board: WiredBoard, piece: _Piece, facts: _Facts | None) -> WiredRom:
    if facts is None:
        unsaid = f"what the ROM at {0o760000 + piece.base:o} holds"
        return WiredRom(
            board.index,
            piece.base,
            piece.words,
            None,
            None,
            Unknown(unsaid),
            Unknown(unsaid),
            words_known=piece.words_known,
        )
    return WiredRom(
        board=board.index,
        base=piece.base,
        words=piece.words,
        fitted=facts.fitted,
        entry=facts.entry,
        boots=_boots(facts),
        expects=_expects(facts),
        start=_program_start(facts),
        words_known=piece.words_known,
    )


def _boots(facts: _Facts) -> Figure[tuple[str, ...]]:
    if facts.sidecar and facts.sidecar.boots:
        return Known(facts.sidecar.boots, Evidence.OWNER, (), "by the description beside the image")
    return facts.entry.boots


def _expects(facts: _Facts) -> Figure[int]:
    if facts.sidecar and facts.sidecar.expects is not None:
        return Known(facts.sidecar.expects, Evidence.OWNER, (), "by the description beside the image")
    return facts.entry.expects_csr


def _program_start(facts: _Facts) -> Figure[int]:
    if facts.sidecar and facts.sidecar.start is not None:
        return Known(facts.sidecar.start, Evidence.OWNER)
    return NotApplicable()
