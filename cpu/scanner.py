"""Words and signs of one source line, taken from left to right, each with its column."""

from __future__ import annotations

import re
from dataclasses import dataclass

TOKEN = re.compile(
    r"""(?P<local>\d+\$)
      | (?P<number>\d+\.?)
      | (?P<name>[A-Za-z_$][A-Za-z0-9_$]*)
      | (?P<directive>\.[A-Za-z]\w*)
      | (?P<character>'[\x20-\x7e])
      | (?P<sign>[-+*/&!()<>@\#,:=.])""",
    re.VERBOSE,
)
BLANKS = re.compile(r"[ \t]*")
LONGEST = 255  # characters of a line: it also bounds how deep < > can be nested


class LineError(Exception):
    """What is wrong with a source line, and from which column on; the assembler adds file and line.

    `by_address`: it follows from where things lie, so it means nothing while other lines are wrong.
    """

    by_address = False

    def __init__(self, column: int, message: str) -> None:
        self.column = column
        self.message = message
        super().__init__(message)


class PlaceError(LineError):
    """A complaint about addresses and distances."""

    by_address = True


@dataclass(frozen=True, slots=True)
class Token:
    """A word or a sign; `kind` is local, number, name, directive, character, sign or end; columns count from 1."""

    kind: str
    text: str
    column: int


class Scanner:
    """One source line being read."""

    def __init__(self, text: str) -> None:
        if len(text) > LONGEST:
            raise LineError(LONGEST + 1, f"the line has {len(text)} characters; {LONGEST} are allowed")
        self.text = text.rstrip()
        self._at = 0
        self._skip()

    def _skip(self) -> None:
        blanks = BLANKS.match(self.text, self._at)
        assert blanks is not None  # the pattern matches nothing, too
        self._at = blanks.end()
        if self._at < len(self.text) and self.text[self._at] == ";":
            self._at = len(self.text)

    @property
    def column(self) -> int:
        """Column of the next token."""
        return self._at + 1

    @property
    def at_end(self) -> bool:
        """Nothing but a comment is left."""
        return self._at >= len(self.text)

    def peek(self) -> Token:
        """The next token, left in place."""
        if self.at_end:
            return Token("end", "", self.column)
        match = TOKEN.match(self.text, self._at)
        if match is None:
            raise LineError(self.column, f'"{self.text[self._at]}" has no meaning here')
        return Token(str(match.lastgroup), match.group(), self.column)

    def take(self) -> Token:
        """The next token, passed over."""
        token = self.peek()
        self._at += len(token.text)
        self._skip()
        return token

    def take_sign(self, sign: str) -> bool:
        """Pass over `sign` if it stands next."""
        if self.peek().text != sign or self.peek().kind != "sign":
            return False
        self.take()
        return True

    def peek_character(self) -> str:
        """The next character, whatever it is; nothing at the end."""
        return self.text[self._at : self._at + 1]

    def take_delimited(self) -> str:
        """Text between two equal characters, as `/text/`; the first of them stands next."""
        mark = self.text[self._at]
        end = self.text.find(mark, self._at + 1)
        if end < 0:
            raise LineError(self.column, f"the text has no closing {mark}")
        found = self.text[self._at + 1 : end]
        self._at = end + 1
        self._skip()
        return found

    def position(self) -> int:
        """Where reading stands, for `back`."""
        return self._at

    def back(self, position: int) -> None:
        """Read again from a former `position`."""
        self._at = position


def shown(token: Token) -> str:
    """A token as a message names it."""
    return "the end of the line" if token.kind == "end" else f'"{token.text}"'
