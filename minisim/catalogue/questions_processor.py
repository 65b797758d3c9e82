"""What is asked of a board that carries a processor, adds an option to one, or has sockets for ROMs."""

from __future__ import annotations

from minisim.catalogue.asking import Octal, Talk, Value, addresses, one_of, several_of, whole
from minisim.catalogue.model import Profile
from minisim.catalogue.reader import Catalogue
from minisim.catalogue.words import BOARD_OPTION, NONE, OPTIONS, UNKNOWN, YES_NO
from minisim.known import Known

Entry = dict[str, Value]
_YES_NO = one_of(YES_NO)
_FITS = tuple(word for word in BOARD_OPTION if word != UNKNOWN)
EVENT_LINE = "event-line"
_LONGEST = 66  # characters of a profile's description
_WAYS = "standard (always there), socket (chips go into it), board (on further boards), never"
_ON_BUS = {
    "mux": (
        ("memory-link", "is there a private link to memory placed before it"),
        ("one-request-level", "has it one request line, so that position alone decides"),
    ),
    "sep": (
        ("grant-timeout", "does it go on by itself when nobody takes a grant"),
        ("needs-turnaround-terminator", "does it need the terminator that turns a grant around"),
    ),
}
"""What matters of a processor on one bus: key, and the question."""


def processor(talk: Talk, bus: str) -> tuple[Entry, bool]:
    """The keys `processor` and `option`, and whether the board is one that a rule can take for a processor."""
    carries = talk.answer("does it carry a processor: yes, no or unknown (empty: no)", one_of((*YES_NO, UNKNOWN)), "no")
    if carries != "yes":
        return {"processor": NONE if carries == "no" else UNKNOWN, **_adds(talk)}, False
    profile = _profile(talk, bus)
    if profile is None:
        talk.tell("  without a profile no rule can take it for a processor; write it into the file when you know it")
        return {"processor": UNKNOWN}, False
    options = _options(talk, profile)
    block: Entry = {"profile": profile.id, "options": options, **_one_chip(talk, options)}
    for key, question in (("console-line", "a console line"), ("boot-rom", "a boot ROM")):
        block[key] = talk.answer(f"  has the board {question}: yes or no (empty: unknown)", _YES_NO, UNKNOWN)
    question = "  has it a line clock: yes, no, register-only (empty: unknown)"
    block["line-clock"] = talk.answer(question, one_of((*YES_NO, "register-only")), UNKNOWN)
    for key, question in _ON_BUS[bus]:
        block[key] = talk.answer(f"  {question}: yes or no (empty: unknown)", _YES_NO, UNKNOWN)
    return {"processor": {**block, **talk.how_known()}}, True


def _profile(talk: Talk, bus: str) -> Profile | None:
    """One that was made for this bus; None where the owner does not know."""
    catalogue = Catalogue()
    every = map(catalogue.profile, catalogue.ids("profiles"))
    fit = {one.id: one for one in every if isinstance(one.buses, Known) and bus in one.buses.peek}
    talk.tell("  profiles of processors on this bus:")
    for one in fit.values():
        talk.tell(f"    {one.id}: {_short(one.description)}")
    return fit.get(str(talk.answer("  which profile (empty: unknown)", one_of(tuple(fit)), UNKNOWN)))


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST].rsplit(maxsplit=1)[0]} ..."


def _options(talk: Talk, profile: Profile) -> Entry:
    """Where each option fits; asked only where the profile can have it and need not."""
    found: Entry = {}
    for name, figure in profile.options.items():
        settled = figure.peek if isinstance(figure, Known) else ""
        if settled in ("never", "standard"):
            found[name] = settled
        else:
            found[name] = talk.answer(f"  option {name}: {_WAYS} (empty: unknown)", one_of(_FITS), UNKNOWN)
    return found


def _one_chip(talk: Talk, options: Entry) -> Entry:
    """Options in sockets that come together."""
    sockets = tuple(name for name, way in options.items() if way == "socket")
    if len(sockets) < 2:
        return {}

    def together(answer: str) -> Value:
        names = several_of(sockets)(answer)
        if len(names) < 2:
            raise ValueError(f"two or more of {', '.join(sockets)} are expected")
        return names

    names = talk.answer("  options that come together in one chip, such as eis fis (empty: none)", together, [])
    return {"one-chip": names} if names else {}


def _adds(talk: Talk) -> Entry:
    """A board that adds an option to a processor beside it."""
    words = (*OPTIONS, "cache")
    question = f"an option it adds to a processor beside it: {', '.join(words)} (empty: none)"
    adds = talk.answer(question, one_of(words), "")
    if not adds:
        return {}
    profiles = Catalogue().ids("profiles")
    to = talk.answer("  ids of the profiles it works with", several_of(profiles))
    needs = talk.answer("  an option that must be there too (empty: none)", one_of(OPTIONS), "")
    return {"option": {"adds": adds, "to": to, **({"needs": needs} if needs else {}), **talk.how_known()}}


# ---- ROM sockets


def rom_sockets(talk: Talk) -> Value:
    """The key `rom`: where its windows lie and how long each is."""
    has = talk.answer("has it sockets for ROM, or ROM: yes or no (empty: unknown)", _YES_NO, UNKNOWN)
    if has != "yes":
        return NONE if has == "no" else UNKNOWN
    windows = talk.answer("  first address of each window, octal, 18-bit form (empty: unknown)", addresses, UNKNOWN)
    words = talk.answer("  words in each window (empty: unknown)", whole, UNKNOWN)
    return {"windows": windows, "words-each": words, "sets": UNKNOWN, **talk.how_known()}


# ---- the pulses of the line clock


def event_line(talk: Talk) -> list[Value]:
    """The input of a processor on the multiplexed bus through which the line clock interrupts: vector 100."""
    question = "  do the pulses of the line clock interrupt it through 100: yes or no (empty: unknown)"
    if talk.answer(question, _YES_NO, UNKNOWN) != "yes":
        return []
    vectors: Value = {"count": "1", "at": {"fixed": Octal("100")}}
    unknown: Value = {"value": UNKNOWN}
    return [{"device": EVENT_LINE, "words": "0", "at": NONE, "vectors": vectors, "level": unknown, **talk.how_known()}]
