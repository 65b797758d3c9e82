"""Asking an owner for figures, one line an answer, from a terminal or a pipe; and writing them as a catalogue file."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from typing import TextIO

from minisim.catalogue.words import NONE, UNKNOWN
from minisim.findings import Mark
from minisim.known import Evidence
from minisim.problems import InputError, Problem, nearest, printable

Value = str | list["Value"] | dict[str, "Value"]


class Octal(str):
    """An octal number: stands in quotes in a file, so that no other program takes it for a decimal one."""

    __slots__ = ()


Check = Callable[[str], Value]
"""Makes the value of a file from an answer; ValueError says what was expected."""

_LONGEST = 500
_PLAIN = re.compile(r"[a-z][a-z0-9-]*\Z|[0-9]{1,9}(\.[0-9]{1,6})?\Z", re.ASCII)
_YAML_WORDS = frozenset({"yes", "no", "on", "off", "true", "false", "null", "y", "n"})
_HOW = re.compile(r"(measured|printed in|printed|guess)\b[ :,]*(.*)\Z", re.IGNORECASE | re.DOTALL)
HOW_KNOWN = "  how do you know: measured, printed in (which book, which page), or guess"


class Talk:
    """Questions and answers.  In a pipe a wrong answer ends it; at a terminal it is asked again."""

    def __init__(self, source: TextIO, say: Callable[[str], None], *, again: bool) -> None:
        self._source = source
        self._say = say
        self._again = again
        self._line = 0

    def tell(self, line: str) -> None:
        """Something to know before the next question."""
        self._say(line)

    def answer(self, question: str, check: Check, default: Value | None = None) -> Value:
        """The checked answer; an empty line gives `default`, and so does the word unknown where that is the default."""
        while True:
            self._say(question)
            text = self._read(question)
            if default is not None and (not text or (default == UNKNOWN and text.lower() == UNKNOWN)):
                return default
            try:
                if not text.isprintable():
                    raise ValueError("there are characters in it that can't stand in a file")
                return check(text)
            except ValueError as error:
                message = printable(f"{question}: {error}")
                if not self._again:
                    raise InputError([Problem(Mark("answers", self._line, 1), message)]) from None
                self._say(f"  {error}")

    def _read(self, question: str) -> str:
        line = self._source.readline()
        self._line += 1
        if not line:
            message = f'the answers end before "{question}" is answered; nothing is written'
            raise InputError([Problem(Mark("answers", self._line, 1), message)])
        text = " ".join(line.split())
        if len(text) > _LONGEST:
            raise InputError([Problem(Mark("answers", self._line, 1), f"an answer of more than {_LONGEST} characters")])
        return text

    def figure(self, question: str, check: Check, *, none: bool = False) -> Value:
        """A figure as a record: the value, and how the owner knows it; empty or "unknown" is a legal answer."""

        def or_none(text: str) -> Value:
            return NONE if none and text.lower() == NONE else check(text)

        value = self.answer(f"{question} (empty: unknown{'; none: has none' if none else ''})", or_none, UNKNOWN)
        return {"value": value} if value == UNKNOWN else {"value": value, **self.how_known()}

    def how_known(self) -> dict[str, Value]:
        """Evidence, note and sources from one answer."""
        found = self.answer(HOW_KNOWN, _how, _how("measured"))
        assert isinstance(found, dict)
        return found

    def several(self, question: str, check: Check) -> Iterator[Value]:
        """The same question until an empty line."""
        while (value := self.answer(f"{question} (empty: no more)", check, "")) != "":
            yield value


def _how(text: str) -> dict[str, Value]:
    match = _HOW.match(text)
    if not match:
        raise ValueError("say measured, printed in ... or guess, with more words behind it where you like")
    word, more = match[1].lower(), match[2].strip()
    if word == "measured":
        return {"evidence": Evidence.OWNER.value, **({"note": more} if more else {})}
    if word == "guess":
        return {"evidence": Evidence.ASSUMED.value, "note": more or "a guess of the owner"}
    if not more:
        raise ValueError("say in which book it is printed, and on which page")
    known = _source(more)
    return {"evidence": Evidence.SEEN.value, **({"sources": [known]} if known else {}), "note": f"printed in {more}"}


def _source(words: str) -> str:
    """The key of the bibliography among the words, if one is."""
    from minisim.sources import read_sources

    keys = read_sources()
    return next((word for word in re.findall(r"[a-z0-9-]+", words) if word in keys), "")


# ---- what an answer may be


def text(answer: str) -> Value:
    """Any words."""
    if not answer:
        raise ValueError("some words are needed")
    return answer


def number(answer: str) -> Value:
    """A decimal number; a comma counts as a point."""
    plain = answer.replace(",", ".")
    if not re.fullmatch(r"[0-9]{1,6}(\.[0-9]{1,4})?", plain, re.ASCII):
        raise ValueError(f'"{answer}" is no decimal number such as 1.5')
    return plain


def whole(answer: str) -> Value:
    """A whole decimal number."""
    if not re.fullmatch(r"[0-9]{1,9}", answer, re.ASCII):
        raise ValueError(f'"{answer}" is no whole decimal number')
    return answer


def one_of(words: tuple[str, ...]) -> Check:
    """One of some words."""

    def check(answer: str) -> Value:
        if answer not in words:
            raise ValueError(f'"{answer}" is none of {", ".join(words)}{nearest(answer, words)}')
        return answer

    return check


def address(answer: str) -> Value:
    """A register address in its 18-bit form."""
    if not re.fullmatch(r"7[67][0-7]{3}[0246]", answer, re.ASCII):
        raise ValueError(f'"{answer}" is no even octal address from 760000 to 777776')
    return Octal(answer)


def addresses(answer: str) -> Value:
    """Register addresses, with commas or blanks between them."""
    return [address(word) for word in re.split(r"[ ,]+", answer) if word]


def word(answer: str) -> Value:
    """A word such as those of devices: small letters, digits and dashes."""
    if not re.fullmatch(r"[a-z][a-z0-9-]{1,59}", answer, re.ASCII):
        raise ValueError(f'"{answer}" is no word in small letters, digits and dashes')
    return answer


def several_of(words: tuple[str, ...] | None = None) -> Check:
    """Words, with commas or blanks between them; from a vocabulary where one is given."""
    check = one_of(words) if words is not None else text

    def split(answer: str) -> Value:
        return [check(word) for word in re.split(r"[ ,]+", answer) if word]

    return split


def numbers_on_it(answer: str) -> Value:
    """Etched numbers, in capitals."""
    found = [word.upper() for word in re.split(r"[ ,/]+", answer) if word]
    for word in found:
        if not re.fullmatch(r"[A-Z0-9][A-Z0-9-]{1,29}", word, re.ASCII):
            raise ValueError(f'"{word}" is no number as it stands on a handle; letters, digits and dashes')
    return list(found)


# ---- as a file


def file_text(head: str, entry: dict[str, Value]) -> str:
    """The entry as YAML, one line a key."""
    return f"{head}\n" + "".join(f"{_scalar(key)}: {_flow(value)}\n" for key, value in entry.items())


def _flow(value: Value) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_flow, value))}]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_scalar(key)}: {_flow(inner)}" for key, inner in value.items()) + "}"
    return json.dumps(value) if isinstance(value, Octal) else _scalar(value)


def _scalar(word: str) -> str:
    return word if _PLAIN.match(word) and word not in _YAML_WORDS else json.dumps(word)
