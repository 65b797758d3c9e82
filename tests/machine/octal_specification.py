"""What the octal console prints, key by key: an executable reading of the published table, apart from the core.

The keys and their effects: [wiki-terminal-debugger] [course-systems-lab] (seen); what stands here behind `unconfirmed`
is told by neither.  Memory is a dict of words by even physical address; a word that is not there does not answer.
"""

from __future__ import annotations

from dataclasses import dataclass, field

NEW_LINE = "\r\n"
PROMPT = NEW_LINE + "@"


class NoAnswer(Exception):  # noqa: N818
    """Time-out on the bus."""


@dataclass
class OctalConsole:
    """`first`: of the first chip set, else a later one.  R7 is the PC."""

    first: bool
    bits: int
    memory: dict[int, int]
    registers: list[int]
    status: int = 0
    typed: str = ""  # digits since the last key of another kind
    name: str = ""  # "", "R" (a name must follow), "R3", "RS"
    place: tuple[str, int] | None = None  # open location: ("memory", address) or ("register", number), 8 for PS
    last: tuple[str, int] | None = None
    ran_from: int | None = None  # G or P was given
    said: list[str] = field(default_factory=list)

    def enter(self) -> str:
        """On a halt: CR LF, six digits of PC, CR LF, @ (seen)."""
        self.typed, self.name, self.place, self.last = "", "", None, None
        return NEW_LINE + f"{self.registers[7]:06o}" + PROMPT

    def key(self, key: str) -> str:
        """What one key prints."""
        try:
            return self._key(key)
        except NoAnswer:
            return self._refused()

    # --- helpers

    def _prompt(self) -> str:
        self.typed, self.name, self.place = "", "", None
        return PROMPT

    def _refused(self) -> str:
        return "?" + self._prompt()

    def _cell(self, place: tuple[str, int]) -> int:
        kind, number = place
        if kind == "register":
            return self.status if number == 8 else self.registers[number]
        if number not in self.memory:
            raise NoAnswer
        return self.memory[number]

    def _store(self) -> None:
        """The last six digits count for data, of which a word keeps 16 bits (seen)."""
        assert self.place is not None
        if not self.typed:
            return
        kind, number = self.place
        value = int(self.typed[-6:], 8) & 0o177777
        if kind == "memory":
            if number not in self.memory:
                raise NoAnswer
            self.memory[number] = value
        elif number == 8:
            kept = 0 if self.first else 0o20  # T can't be changed on the later ones (unconfirmed)
            self.status = (value & 0o357 & ~kept) | (self.status & kept)
        else:
            self.registers[number] = value

    def _opened(self, place: tuple[str, int], echo: str) -> str:
        """Space, six digits, space (seen); a time-out: ? CR LF @."""
        self.typed, self.name = "", ""
        self.place = self.last = place
        try:
            return echo + f" {self._cell(place):06o} "
        except NoAnswer:
            return echo + self._refused()

    def _at(self, address: int) -> str:
        """The next location on a line of its own: address, /, contents."""
        address &= (1 << self.bits) - 2
        digits = 8 if self.bits == 22 else 6
        return self._opened(("memory", address), NEW_LINE + f"{address:0{digits}o}/")

    def _neighbour(self, step: int) -> str:
        if self.place is None or self.place == ("register", 8):  # unconfirmed
            if self.place is not None:
                self._store()
            return self._refused()
        self._store()
        kind, number = self.place
        if kind == "memory":
            return self._at(number + 2 * step)
        number = (number + step) % 8  # after R7 R0 again (seen for the later ones)
        return self._opened(("register", number), NEW_LINE + f"R{number}/")

    # --- keys

    def _key(self, key: str) -> str:
        if key in "01234567":
            if self.name:
                self.name = "R" + key  # the last name counts (unconfirmed)
            else:
                self.typed = (self.typed + key)[-8:]
            return key
        if self.name == "R":
            if key == "S":
                self.name = "RS"
                return key
            return self._refused()
        if self.name and key != "/":
            return self._refused()
        return self._command(key)

    def _command(self, key: str) -> str:
        if key == "/":
            return self._slash()
        if key == "\r":
            if self.place is not None:
                self._store()
            return self._prompt()
        if key == "\n":
            return self._neighbour(1)
        if key in "$R":
            self.typed, self.name = "", "R"
            return key
        if key in "GP":
            return self._run(key)
        return self._of_first(key) if self.first else self._refused()

    def _slash(self) -> str:
        if self.name:
            return self._opened(("register", 8 if self.name == "RS" else int(self.name[1])), "/")
        if self.typed:
            digits = 8 if self.bits == 22 else 6  # the last 6 (18 bits) or 8 (22 bits) count for addresses (seen)
            return self._opened(("memory", int(self.typed[-digits:], 8) & (1 << self.bits) - 2), "/")
        return self._opened(self.last, "/") if self.last is not None else "/" + self._refused()

    def _run(self, key: str) -> str:
        if key == "G":
            self.registers[7] = int(self.typed[-6:] or "0", 8) & 0o177777
            self.status = 0
        self.ran_from = self.registers[7]
        self.typed, self.place = "", None
        return key

    def _of_first(self, key: str) -> str:
        """^ _ @ M RUBOUT (seen)."""
        if key == "^":
            return "^" + self._neighbour(-1)
        if key in "_@":
            return key + self._follow(key)
        if key == "M":
            return "M000000" + self._prompt()  # the cause of a HALT is 0; the other digits unconfirmed
        if key == "\x7f":
            self.typed = self.typed[:-1] if len(self.typed) > 1 else "0" * bool(self.typed)
            return "\\"
        return self._refused()

    def _follow(self, key: str) -> str:
        if self.place is None:
            return self._refused()
        self._store()
        kind, number = self.place
        value = self._cell(self.place)
        if key == "@":
            return self._at(value)
        return self._at(number + 2 + value) if kind == "memory" else self._refused()
