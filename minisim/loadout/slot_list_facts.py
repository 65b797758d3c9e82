"""Words of a remark from which facts can be taken: `console`, `9600 baud`, `CSR 777560`, `32K words`, `modified: ...`.

A fact is taken only where the board has such a setting and its field can read the text; anything else stays a remark,
and the reader is told why.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from minisim.catalogue.model import BoardEntry, SettingEntry
from minisim.catalogue.reader import Catalogue
from minisim.known import Known
from minisim.loadout import fields as f
from minisim.loadout.settings import setting_field
from minisim.loadout.slot_list import Entry, Sure

_MODIFIED = re.compile(
    r"(?<!not )(?<!un)\b(?:modified|modifications?|mods?|changed|rewired|patched|eco)\b\s*(?:[:=]\s*|(?=\s|$|[.,;)]))",
    re.I,
)
_ITEM = re.compile(r"\bitem\s*[:=#]?\s*([A-Za-z0-9][\w.-]{0,30})", re.I)
_NUMBER = r"\s*(?:is|=|:|at|to|of)?\s*"
_ADDRESS = re.compile(
    r"(?:\b(?:csr|addr(?:ess)?|base|registers?|at|device)\b\.?|@)" + _NUMBER + r"(?:csr|addr(?:ess)?)?\s*"
    r"(?P<address>(?:0o)?[0-9]{6,8})\b(?:\s*/\s*(?P<vector>[0-7]{2,3})\b)?",
    re.I,
)
_BARE_ADDRESS = re.compile(r"(?<![\w.])(?P<address>17776?[0-7]{4}|1777[0-7]{4}|7[67][0-7]{4}|1[67][0-7]{4})(?![\w])"
                           r"(?:\s*/\s*(?P<vector>[0-7]{2,3})\b)?")  # fmt: skip
_VECTOR = re.compile(r"\bvec(?:tor)?s?\b\.?" + _NUMBER + r"([0-9]{1,4})\b", re.I)
_START = re.compile(
    r"\b(?:start(?:s|ing)?|from|begins?|base)\b\.?\s*(?:address|addr|at|is)?\s*[:=]?\s*(?:at\s*)?([0-9]{1,8})\b(?!\s*k)",
    re.I,
)
_RANGE = re.compile(r"(?<![\w-])([0-7]{1,8})\s*-\s*([0-7]{3,8})(?![\w-])")
_SIZE = re.compile(
    r"(?<![\w.])([0-9]{1,5})\.?\s*([KM])\s*(?:x\s*16|[- ]?(words?|w|bytes?|b)(?![a-z]))?(?![A-Za-z0-9])", re.I
)
_BAUD = re.compile(r"\b(?:([0-9]{2,6})\s*(?:baud|bauds|bd|bps|bits/s)|baud" + _NUMBER + r"([0-9]{2,6}))\b", re.I)
_NO = r"(?:\bno\b|\bnot\b|\bwithout\b|\bw/o\b|\bnon\b|\blacks\b)[\s-]*(?:(?:the|a|an|used as|as|set as|set for)\s+)*"
_CONSOLE = re.compile(rf"({_NO})?\bconsole\b(?:\s*[:=]?\s*(yes|no)\b)?", re.I)
_LOOP = re.compile(r"\b20\s*mA\b|\bcurrent[- ]loop\b", re.I)
_EIA = re.compile(r"\bEIA\b|\bRS-?232\w?\b|\bvoltage levels?\b", re.I)
_ROM = re.compile(r"\b([0-7]{6,8})\s*[:=]?\s*(rom-[a-z0-9-]+)\b")
_ROM_AT = re.compile(r"\b(?:boot\s*)?roms?\b[^.;,]{0,20}?\bat\s+([0-7]{6,8})\b", re.I)
_OPTION_WORDS = {
    "eis": r"eis|extended (?:integer )?instructions",
    "fis": r"fis",
    "fpp": r"fpp|floating[- ]point",
    "cis": r"cis|commercial(?: set| instructions)?",
    "mmu": r"mmu|memory management",
    "map": r"(?:bus )?map",
}
_DESCRIBED: tuple[tuple[str, re.Pattern[str], str], ...] = (
    ("height", re.compile(r"\b(single|dual|quad|hex)(?:[- ]?(?:height|size|wide|board|card|module))?\b", re.I), ""),
    ("interrupts", re.compile(r"\binterrupts?\s*[:=]?\s*(yes|no)\b", re.I), ""),
    ("interrupts", re.compile(rf"({_NO})\binterrupts?\b", re.I), "no"),
    ("interrupts", re.compile(r"\binterrupts?\b(?!\s*(?:yes|no|grant))", re.I), "yes"),
    ("dma", re.compile(r"\bDMA\s*[:=]?\s*(yes|no)\b", re.I), ""),
    ("dma", re.compile(rf"({_NO})\bDMA\b", re.I), "no"),
    ("dma", re.compile(r"\bDMA\b(?!\s*(?:yes|no|grant))", re.I), "yes"),
    ("passes-grant", re.compile(r"\bpass(?:es)?[- ](?:the )?grants?\s*[:=]?\s*(yes|no)\b", re.I), ""),
    ("passes-grant", re.compile(r"\b(?:does not|doesn't|no|not)\s+pass(?:es)?\s+(?:the\s+)?grants?\b", re.I), "no"),
    ("passes-grant", re.compile(r"\bpass(?:es)?\s+(?:the\s+)?grants?\b(?!\s*(?:yes|no))", re.I), "yes"),
    ("words", re.compile(r"\b([0-9]{1,4})\s+(?:registers|words)\b", re.I), ""),
    ("vectors", re.compile(r"\b([0-9]{1,2})\s+vectors\b", re.I), ""),
    ("level", re.compile(r"\b(?:level|BR)\s*[:=]?\s*([4-7])\b", re.I), ""),
    ("ac", re.compile(r"\b([0-9]+(?:\.[0-9]+)?)\s+AC(?:\s+loads?)?\b"), ""),
    ("dc", re.compile(r"\b([0-9]+(?:\.[0-9]+)?)\s+DC(?:\s+loads?)?\b"), ""),
)
_RAIL = re.compile(
    r"([0-9]+(?:\.[0-9]+)?)\s*A\s+(?:at|from|of|on)\s+([+-][0-9]{1,2}(?: standby)?)(?:\s*V\b)?"
    r"|([+-][0-9]{1,2}(?: standby)?)\s*V?\s*[:=]?\s+([0-9]+(?:\.[0-9]+)?)\s*A\b"
)
_RAILS = ("+5", "+5 standby", "+12", "-12", "+15", "-15", "+20", "-5")
_KB_OF = {("K", "w"): 2, ("K", "b"): 1, ("M", "b"): 1024, ("M", "w"): 2048, ("M", ""): 1024}


def _pattern_of(name: str, setting: SettingEntry) -> re.Pattern[str]:
    """How a setting stands in a text under its own name."""
    spelt = re.escape(name).replace(r"\-", "[- ]")
    value = r"([0-9]{1,8})"
    if setting.kind == "list":
        value = f"(?:mode )?({'|'.join(sorted(map(re.escape, setting.values), key=len, reverse=True))})"
    elif setting.kind != "range" and name not in ("address", "vector", "start", "baud"):
        value = r"([\w.-]{1,20})"
    return re.compile(rf"(?<![\w-]){spelt}\s*[:= ]\s*{value}(?![\w-])", re.I)


class Facts:
    """One reading of one remark: takes facts out of the text, keeps what is left, and says what it took."""

    def __init__(self, catalogue: Catalogue, entry: Entry, board: BoardEntry | None, text: str, line: int) -> None:
        self.catalogue = catalogue
        self.entry = entry
        self.board = board
        self.text = text
        self.line = line
        self.said: list[str] = []

    def take(self) -> str:
        """Take every fact; gives what is left of the text."""
        self._modified()
        self._item()
        if self.board is None:
            self._described()
        else:
            self._known_board()
        return self.text

    # ---- tools

    def _cut(self, match: re.Match[str]) -> None:
        self.text = f"{self.text[: match.start()]} {self.text[match.end() :]}"

    def _set(self, name: str, text: str) -> bool:
        """Set a setting, if the board has it and its field can read the text."""
        assert self.board is not None
        if name not in self.board.settings:
            return False
        field: f.Field[Any] = setting_field(self.board, name)
        try:
            field.read(text)
        except f.FieldError as error:
            self.said.append(f"not taken: {name} {text}: {error}")
            return False
        before = self.entry.settings.get(name)
        if before is not None and field.read(before[0]) != field.read(text):
            self.said.append(f"{name} {text} is not taken: line {before[1]} says {before[0]}")
            return False
        if before is None:
            self.entry.settings[name] = (text, self.line)
            self.said.append(f"{name} {text}")
        return True

    def _each(self, pattern: re.Pattern[str], use: Callable[[re.Match[str]], bool]) -> None:
        """Cut every match that `use` takes; those it does not take stay."""
        at = 0
        while match := pattern.search(self.text, at):
            if use(match):
                self._cut(match)
                at = match.start()
            else:
                at = max(match.end(), at + 1)

    # ---- any board

    def _modified(self) -> None:
        match = _MODIFIED.search(self.text)
        if not match:
            return
        what = self.text[match.end() :].strip(" .;,)(") or match[0].strip(" .:;,").lower()
        self.entry.modifications.append(what)
        self.said.append(f"modified: {what}")
        self.text = self.text[: match.start()].rstrip(" (")

    def _item(self) -> None:
        match = _ITEM.search(self.text)
        if match:
            self.entry.item = match[1].rstrip(".")
            self.said.append(f"item {self.entry.item}")
            self._cut(match)

    # ---- a board of the catalogue

    def _known_board(self) -> None:
        assert self.board is not None
        if self.board.rom is not None:
            self._roms(self.board)
        self._named_settings(self.board)
        self._each(_VECTOR, lambda match: self._set("vector", match[1]))
        if self.board.memory is not None:
            self._memory(self.board)
        self._each(_ADDRESS, self._address)
        self._each(_BARE_ADDRESS, self._address)
        self._each(_BAUD, lambda match: self._set("baud", (match[1] or match[2]).lstrip("0") or "0"))
        self._each(_CONSOLE, self._console)
        self._each(_LOOP, lambda _: self._set("wiring", "current-loop"))
        self._each(_EIA, lambda _: self._set("wiring", "eia"))
        if self.board.processor is not None:
            self._options(self.board)

    def _named_settings(self, board: BoardEntry) -> None:
        """`power-up 2`, `event-line on`: a setting by its own name."""
        for name, setting in board.settings.items():
            spelt = re.escape(name).replace(r"\-", "[- ]")
            words = (
                "|".join(sorted(map(re.escape, setting.values), key=len, reverse=True))
                if setting.kind == "list"
                else ""
            )
            value = f"(?:mode )?({words})" if words else r"([0-9]{1,8})"
            if setting.kind in ("unknown", "choices", "floating") and name not in (
                "address",
                "vector",
                "start",
                "baud",
            ):
                value = r"([\w.-]{1,20})"
            pattern = re.compile(rf"(?<![\w-]){spelt}\s*[:= ]\s*{value}(?![\w-])", re.I)
            self._each(pattern, lambda match, name=name: self._set(name, match[1].lower()))  # type: ignore[misc]

    def _address(self, match: re.Match[str]) -> bool:
        taken = self._set("address", match["address"])
        if taken and match["vector"]:
            self._set("vector", match["vector"])
        return taken

    def _console(self, match: re.Match[str]) -> bool:
        no = bool(match[1]) or (match[2] or "").lower() == "no"
        if match[1] and match[2]:
            no = match[2].lower() == "no"
        return self._set("console", "no" if no else "yes")

    def _options(self, board: BoardEntry) -> None:
        assert board.processor is not None
        found = []
        for option, how in board.processor.options.items():
            words = _OPTION_WORDS.get(option, re.escape(option))
            if match := re.search(rf"({_NO})?\b(?:{words})\b", self.text, re.I):
                found.append((match.start(), option, how, match))
        found.sort(key=lambda one: one[0])
        taken = [match for _, option, how, match in found if self._option(option, how, no=bool(match[1]))]
        for match in reversed(taken):  # the last one first, so that cutting it out moves no other
            self._cut(match)

    def _option(self, option: str, how: str, *, no: bool) -> bool:
        """One option of a processor; False where the words stay a remark."""
        if no:
            self.said.append(f"{option} is not fitted")
        elif how == "never":
            self.said.append(f"not taken: {option}, this board never has it")
            return False
        else:
            if option not in self.entry.options:
                self.entry.options.append(option)
            self.said.append(f"option {option}")
        return True

    def _roms(self, board: BoardEntry) -> None:
        self._each(_ROM, lambda match: self._rom(board, match[1], match[2]))
        match = _ROM_AT.search(self.text)
        if match:
            self.said.append(f"a ROM at {match[1]}; which one is not said")

    def _rom(self, board: BoardEntry, address: str, rom: str) -> bool:
        assert board.rom is not None
        try:
            at = f.REGISTER_ADDRESS.read(address)
        except f.FieldError as error:
            self.said.append(f"not taken: ROM at {address}: {error}")
            return False
        places = {*board.rom.windows, *(place for place, _ in board.rom.sockets)}
        if (places and at not in places) or not self.catalogue.has("roms", rom):
            self.said.append(
                f"not taken: {rom} at {address}: the board has no such place, or the catalogue no such ROM"
            )
            return False
        self.entry.roms[f.show_register_address(at)] = rom
        self.said.append(f"{rom} at {address}")
        return True

    # ---- memory

    def _memory(self, board: BoardEntry) -> None:
        self._each(_START, lambda match: self._set("start", match[1]))
        self._each(_RANGE, self._range)
        self._each(_SIZE, lambda match: self._size(board, match))

    def _range(self, match: re.Match[str]) -> bool:
        """First and last address, such as 000000-077777."""
        first, last = int(match[1], 8), int(match[2], 8)
        size = (last | 1) + 1 - first
        if size <= 0 or size % 1024 or not self._set("start", match[1].lstrip("0") or "0"):
            return False
        self._set("kb", str(size // 1024))
        return True

    def _size(self, board: BoardEntry, match: re.Match[str]) -> bool:
        number, unit = int(match[1]), match[2].upper()
        word = "w" if "x" in match[0].lower() else (match[3] or "")[:1].lower()
        if number == 0:
            return False
        factor = _KB_OF.get((unit, word))
        sizes = self._sizes(board)
        if factor is None:  # "32K": words or bytes?
            fits = [kb for kb in (number, number * 2) if kb in sizes]
            if len(fits) != 1:
                self.entry.size_text = match[0].strip()
                self.said.append(f"{match[0].strip()}: words or bytes?")
                return False
            factor = fits[0] // number
            self.entry.unsure = Sure.LIKELY
        kb = number * factor
        if "kb" in board.settings:
            return self._set("kb", str(kb))
        if sizes and kb not in sizes:
            known = " or ".join(f"{size}" for size in sizes)
            self.said.append(f"{kb} KB is written; the catalogue says {known} KB")
        return len(sizes) == 1 and kb in sizes

    @staticmethod
    def _sizes(board: BoardEntry) -> tuple[int, ...]:
        kb = board.memory.kb if board.memory else None
        return tuple(kb.peek) if isinstance(kb, Known) else ()

    # ---- a board nobody knows

    def _described(self) -> None:
        facts = self.entry.described
        self._each(_RAIL, self._rail)
        for name, pattern, fixed in _DESCRIBED:
            match = pattern.search(self.text)
            if match and name not in facts:
                facts[name] = (fixed or match[1]).lower()
                self.said.append(f"{name} {facts[name]}")
                self._cut(match)
        self._number("vector", _VECTOR, f.VECTOR)
        self._number("address", _ADDRESS, f.REGISTER_ADDRESS)
        self._number("address", _BARE_ADDRESS, f.REGISTER_ADDRESS)

    def _number(self, name: str, pattern: re.Pattern[str], field: f.Field[int]) -> None:
        match = pattern.search(self.text)
        if not match or name in self.entry.described:
            return
        groups = match.groupdict()
        written = groups.get("address") or match[1]
        try:
            self.entry.described[name] = field.show(field.read(written))
        except f.FieldError as error:
            self.said.append(f"not taken: {name} {written}: {error}")
            return
        self.said.append(f"{name} {self.entry.described[name]}")
        self._cut(match)
        if groups.get("vector"):
            self.entry.described.setdefault("vector", groups["vector"])
            self.said.append(f"vector {groups['vector']}")

    def _rail(self, match: re.Match[str]) -> bool:
        amps, rail = (match[1], match[2]) if match[1] else (match[4], match[3])
        if rail not in _RAILS or rail in self.entry.amps:
            return False
        self.entry.amps[rail] = amps
        self.said.append(f"{amps} A from {rail} V")
        return True
