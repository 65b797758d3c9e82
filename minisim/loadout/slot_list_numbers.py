"""Numbers on handles inside a line of text: which words may be one, and what the catalogue says they are."""

from __future__ import annotations

import re
from dataclasses import dataclass

from minisim.catalogue.model import BoardEntry
from minisim.catalogue.reader import Catalogue
from minisim.loadout.slot_list import Sure
from minisim.stock.identify import LIKELY, identify
from minisim.stock.model import Candidate, Identified

_TOKEN = re.compile(
    r"(?<![\w.+-])(?:[A-Za-z]{1,2}[- ]?(?=[A-Za-z0-9]{0,4}[0-9])[0-9OoIlSsBZzQDG]{3,5}"
    r"(?:-?[A-Za-z]{1,2}[0-9]?(?![a-z0-9]))?(?:-[A-Za-z0-9]{1,4})?|[0-9]{2}-[0-9]{5}(?:-[0-9]{2})?)(?![\w])"
)
_BARE_NUMBER = re.compile(r"^\s*([0-9]{4})(-[A-Z]{1,2})?(?![\w.-])")
_ID = re.compile(r"(?<![\w-])[a-z][a-z0-9]*(?:-[a-z0-9]+)+(?![\w-])")
_NOT_A_NUMBER = re.compile(r"^(?:RS|BR|NPG|SN|PS|SLOT|ROW|REV|CS|AM|LS|DM)[- ]?[0-9]", re.I)
_ITEM_BEFORE = re.compile(r"\bitem\s*[:=#]?\s*\Z", re.I)
_FOLDERS = ("boards", "backplanes", "supplies", "chassis", "drives", "cables")
_AS_GOOD_AS_EXACT = 0.95  # the number with the letter of a revision behind it


@dataclass(frozen=True, slots=True)
class Found:
    """A number inside a text, and what it is."""

    start: int
    end: int
    text: str
    identified: Identified

    def of(self, kind: str) -> tuple[Candidate, ...]:
        """The candidates of one folder of the catalogue."""
        return tuple(one for one in self.identified.candidates if one.kind == kind)


class Numbers:
    """Finds numbers in texts; asks the catalogue once for each."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self._known: dict[str, Identified] = {}

    def found_in(self, text: str, *, first_bare: bool = False) -> list[Found]:
        """Every number of a text, in order; `first_bare`: 8044 at the start may be a number without its letter."""
        tokens = [match for match in _TOKEN.finditer(text) if not _NOT_A_NUMBER.match(match[0])]
        found = [self._found(match) for match in tokens if not _ITEM_BEFORE.search(text, 0, match.start())]
        found += [self._by_id(match) for match in _ID.finditer(text) if self._kind_of_id(match[0])]
        if first_bare and not found and (match := _BARE_NUMBER.match(text)):
            guess = self.identify(match[0])
            if guess.candidates:
                found.append(Found(match.start(1), match.end(), match[0].strip(), guess))
        return sorted(found, key=lambda one: one.start)

    def identify(self, text: str) -> Identified:
        """What a number means."""
        key = text.upper().replace(" ", "")
        if key not in self._known:
            self._known[key] = self._ask(key)
        return self._known[key]

    def _found(self, match: re.Match[str]) -> Found:
        return Found(match.start(), match.end(), match[0], self.identify(match[0]))

    def _kind_of_id(self, word: str) -> str:
        return next((folder for folder in _FOLDERS if self.catalogue.has(folder, word)), "")

    def _by_id(self, match: re.Match[str]) -> Found:
        candidate = Candidate(self._kind_of_id(match[0]), match[0], match[0], 1.0, "the id of the catalogue", "seen")
        return Found(match.start(), match.end(), match[0], Identified(match[0], (candidate,), True))

    def _ask(self, key: str) -> Identified:
        guess = identify(key, catalogue=self.catalogue)
        near = tuple(one for one in guess.candidates if one.score >= LIKELY)
        return Identified(key, near, guess.sure)

    # ---- choosing

    def board_of(self, found: Found, text: str) -> tuple[str, Sure, str]:
        """Id of the board a number means, how sure, and how it was found; "" where nobody can tell."""
        boards = found.of("boards")
        names = list(dict.fromkeys(one.entry for one in boards))
        if not names:
            return "", Sure.SURE, ""
        best = boards[0]
        if len(names) == 1 and (found.identified.sure or len(found.identified.candidates) == 1):
            sure = Sure.SURE if best.score >= _AS_GOOD_AS_EXACT else Sure.LIKELY
            return names[0], sure, "" if best.score == 1 else best.how
        level = [one.entry for one in boards if one.score == best.score]
        by_words = self._by_words(list(dict.fromkeys(level)), text) if len(level) > 1 else ""
        return (by_words, Sure.LIKELY, "told apart by the words beside it") if by_words else ("", Sure.GUESS, best.how)

    def _by_words(self, names: list[str], text: str) -> str:
        """The one of several boards whose description shares most words with the text, if it stands out."""
        words = set(re.findall(r"[a-z]{4,}", text.lower()))
        scores = sorted(((self._shared(name, words), name) for name in names), reverse=True)
        if len(scores) < 2:
            return ""
        return scores[0][1] if scores[0][0] > scores[1][0] else ""

    def _shared(self, name: str, words: set[str]) -> int:
        kind = set(re.findall(r"[a-z]{4,}", self.catalogue.board(name).kind.lower()))
        return len(kind & words) * 10 - len(kind - words)


def short_kind(kind: str, width: int = 24) -> str:
    """The beginning of a description, for one column: up to the first comma, bracket or colon, whole words only."""
    head = re.split(r"[,:(;]", kind)[0].strip()
    while len(head) > width and " " in head:
        head = head.rsplit(" ", 1)[0]
    return re.sub(r"(?: (?:of|the|a|an|and|for|that|with|on|in|to|by))+$", "", head[:width].rstrip(" -"))


def without_kind(text: str, board: BoardEntry) -> str:
    """The text without the board's own description, so that no fact is taken from it."""
    for words in (board.kind, short_kind(board.kind)):
        at = text.lower().find(words.lower())
        if at >= 0 and re.match(r"\s*(?:$|,)|\s{2}", text[at + len(words) :]):
            return f"{text[:at]}  {text[at + len(words) :]}"
    return text
