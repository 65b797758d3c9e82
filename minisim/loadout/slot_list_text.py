"""What `read-text` prints: each line as it was understood, the gaps, what can be said, the questions; and the JSON."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from minisim.loadout.places import PlaceText
from minisim.loadout.slot_list import Entry, Kind, Question, Reading, Sure
from minisim.loadout.slot_list_assembly import is_bare, slots_text
from minisim.loadout.slot_list_boards import letters
from minisim.loadout.slot_list_report import Understood
from minisim.loadout.slot_list_sets import board_of
from minisim.loadout.slot_list_verdict import Common, Gap, Verdict
from minisim.loadout.writer import write_loadout

_SHOWN_CHOICES = 14
_FIRST_SCREEN = 5
_FEW_NAMES = 4
_SURE = {Sure.SURE: "sure", Sure.LIKELY: "likely", Sure.GUESS: "a guess"}


def report_text(understood: Understood, width: int) -> str:
    """The whole report."""
    lines = [*_lines(understood, width), *_modifications(understood, width), *_gaps(understood, width)]
    lines += [*_said(understood, width), *_questions(understood, width)]
    return "\n".join(lines) + "\n"


def _wrap(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    return textwrap.wrap(
        text,
        max(width, 30),
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
        break_long_words=True,
    )


# ---- line by line


def _lines(understood: Understood, width: int) -> Iterator[str]:
    slot_list = understood.list
    if slot_list.encoding_note:
        yield f"{slot_list.file}: {slot_list.encoding_note}"
    for reading in slot_list.readings:
        said_nothing = reading.kind in (Kind.REMARK, Kind.HEADER) and not reading.said
        kind = f" ({reading.kind})" if said_nothing else ""
        yield f'line {reading.line.number}{kind}: "{_shortened(reading.line.raw, width - len(kind))}"'
        if said_nothing:
            continue
        yield from _wrap(_understanding(reading, understood), width, "    ", "    ")


def _shortened(raw: str, width: int) -> str:
    raw = raw.expandtabs()
    return raw if len(raw) <= max(width - 14, 30) else f"{raw[: max(width - 17, 27)]}..."


def _understanding(reading: Reading, understood: Understood) -> str:
    said = "; ".join(reading.said)
    if reading.kind in (Kind.SLOT, Kind.EMPTY, Kind.MORE) and reading.entries:
        boards = "; ".join(entry_title(entry, understood) for entry in reading.entries if not entry.copy)
        boards = boards or entry_title(reading.entries[0], understood)
        return "; ".join(part for part in (f"slot {reading.place}: {boards}", said, _SURE[reading.sure]) if part)
    return ": ".join(part for part in (str(reading.kind), said) if part)


def entry_title(entry: Entry, understood: Understood) -> str:
    """What stands there: id and title of the board, or that it is empty or unknown."""
    if entry.empty:
        return "empty"
    board = board_of(entry, understood.catalogue)
    rows = f"rows {letters(entry.rows)}: " if entry.rows else ""
    if board is not None:
        return f"{rows}{board.id}: {board.title}"
    if is_bare(entry):
        return "nothing is said"
    if entry.number == "grant card":
        return f"{rows}a grant card"
    return f"{rows}unknown board{f' {entry.number}' if entry.number else ''}"


def _modifications(understood: Understood, width: int) -> Iterator[str]:
    changed = understood.built.loadout.modifications if understood.built else _changed(understood)
    if changed:
        yield ""
        state = "Planned" if understood.list.state == "planned" else "As found"
        yield f"{state}, with {_counted(len(changed), 'modification')}:"
        for one in changed:
            yield from _wrap(one, width, "  - ", "    ")


def _changed(understood: Understood) -> list[str]:
    found = list(understood.list.modifications)
    for unit in understood.list.units:
        found += [f"slot {slots_text(entry.slots)}: {what}" for entry in unit.entries for what in entry.modifications]
    return found


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


# ---- gaps and verdict


def _gaps(understood: Understood, width: int) -> Iterator[str]:
    if understood.gaps:
        yield ""
        yield "Gaps:"
    for gap in understood.gaps:
        yield from _wrap(gap_text(gap), width, "  - ", "    ")


def gap_text(gap: Gap) -> str:
    """One gap in a sentence."""
    many = len(gap.slots) > 1
    state = ("are" if many else "is") + (" empty" if gap.listed else " not in the list")
    head = f"{gap.unit} slot{'s' if many else ''} {slots_text(gap.slots)} {state}, before {gap.next_board}."
    behind = "behind them" if many else "behind it"
    if gap.users:
        head = head.replace(f", before {gap.next_board}", "") if gap.users[0].startswith(gap.next_board) else head
        return f"{head} These boards {behind} need the grants: {'; '.join(gap.users)}."
    if gap.doubtful:
        return f"{head} Whether the boards {behind} need the grants is not known: {'; '.join(gap.doubtful)}."
    return f"{head} No board {behind} interrupts or does DMA, so the gap does no harm."


def _said(understood: Understood, width: int) -> Iterator[str]:
    verdict = understood.verdict
    if verdict is None:
        return
    yield ""
    yield from _wrap(_verdict_head(verdict), width)
    if not verdict.shared:
        yield "  - nothing that the rules find wrong" if len(verdict.backplanes) == 1 else "  - no finding is the same"
    for one in verdict.shared:
        yield from _wrap(_common(one, verdict), width, "  - ", "    ")
    if verdict.cut_off and len(verdict.backplanes) > 1:
        yield from _wrap(f"Whichever it is, no grant reaches {'; '.join(verdict.cut_off)}.", width, "  - ", "    ")
    yield from _wrap(_memory(verdict), width, "  - ", "    ")
    for advice in understood.advice:
        yield from _wrap(advice, width, "  - ", "    ")
    if verdict.others:
        yield from _wrap(f"It depends ({_counted(len(verdict.others), 'finding')}):", width)
    for one in verdict.others[:_FIRST_SCREEN]:
        yield from _wrap(_common(one, verdict), width, "  - ", "    ")
    if len(verdict.others) > _FIRST_SCREEN:
        yield f"  - {len(verdict.others) - _FIRST_SCREEN} more (--json lists them)"


def _verdict_head(verdict: Verdict) -> str:
    if len(verdict.backplanes) == 1:
        return f"With backplane {verdict.backplanes[0]}:"
    if len(verdict.backplanes) < verdict.possible:
        tried = f"{len(verdict.backplanes)} of the {verdict.possible}"
        return f"In {tried} sets of backplanes it could be (the others were not tried):"
    things = "set of backplanes" if " + " in verdict.backplanes[0] else "backplane"
    return f"In every {things} it could be ({len(verdict.backplanes)}):"


def _where(one: Common, verdict: Verdict) -> str:
    """In which backplanes it is so, named where they are few."""
    if not one.only:
        return ""
    others = [name for name in verdict.backplanes if name not in one.only]
    if len(one.only) <= _FEW_NAMES:
        return f" Only in {', '.join(one.only)}."
    if len(others) <= _FEW_NAMES:
        return f" Not in {', '.join(others)}."
    return f" In {len(one.only)} of {len(verdict.backplanes)} (--json names them)."


def _common(one: Common, verdict: Verdict) -> str:
    finding = one.finding
    board = f"{finding.board.split(',')[0]}: " if finding.board else ""
    found = finding.found if one.same_words else f"in {one.example}, {finding.found}"
    text = f"{finding.severity} {finding.rule} {finding.slug} [{one.place}]: {board}{found}."
    text += _where(one, verdict)
    if one.sometimes:
        text += " It depends on the rows in which boards stand."
    return f"{text} Put right: {finding.fix}." if one.same_words else f"{text} The place differs in others."


def _memory(verdict: Verdict) -> str:
    parts = []
    if verdict.kb is not None:
        parts.append(f"{_number(verdict.kb / 2)} K words ({_number(verdict.kb)} KB)")
    if verdict.kb_unknown:
        parts.append(f"not known how much on {', '.join(verdict.kb_unknown)}")
    return f"Memory in all: {'; '.join(parts) or 'none'}."


def _number(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


# ---- questions


def _questions(understood: Understood, width: int) -> Iterator[str]:
    needed = [one for one in understood.questions if one.needed]
    other = [one for one in understood.questions if not one.needed]
    if needed:
        yield ""
        yield f"Still needed ({len(needed)}):"
    for number, one in enumerate(needed, 1):
        yield from _question(number, one, width)
    if other:
        yield ""
        yield "Good to know:"
    for number, one in enumerate(other, len(needed) + 1):
        yield from _question(number, one, width, short=True)
    if other:
        yield from _wrap(f"Answer: {other[-1].answer}", width, "    ", "    ")


def _question(number: int, question: Question, width: int, *, short: bool = False) -> Iterator[str]:
    yield from _wrap(question.text, width, f"{number:2}. ", "    ")
    wide = min(max((len(name) for name, _ in question.choices), default=0), 32)
    for name, what in question.choices[:_SHOWN_CHOICES]:
        yield _cut(f"      {name:{wide}}  {what}", width)
    if len(question.choices) > _SHOWN_CHOICES:
        yield f"      {len(question.choices) - _SHOWN_CHOICES} more (--json lists them)"
    if not short:
        yield from _wrap(f"Answer: {question.answer}", width, "    ", "    ")


def _cut(line: str, width: int) -> str:
    """A line of a table, cut at a word where it is too long."""
    if len(line) <= width:
        return line
    return f"{line[: max(width - 3, 20)].rsplit(' ', 1)[0].rstrip(' ,;:')}..."


# ---- JSON


def report_data(understood: Understood, written: str) -> dict[str, Any]:
    """The report as data."""
    built = understood.built
    return {
        "slot-list": 1,
        "file": understood.list.file,
        "complete": understood.complete,
        "lines": [_line_data(one, understood) for one in understood.list.readings],
        "units": [_unit_data(understood, index) for index in range(len(understood.list.units))],
        "modifications": list(built.loadout.modifications if built else _changed(understood)),
        "gaps": [_gap_data(one) for one in understood.gaps],
        "verdict": _verdict_data(understood.verdict),
        "advice": list(understood.advice),
        "questions": [_question_data(number, one) for number, one in enumerate(understood.questions, 1)],
        "loadout": write_loadout(built.loadout) if built else None,
        "written": written or None,
    }


def report_json(understood: Understood, written: str) -> str:
    """The report as JSON text."""
    return json.dumps(report_data(understood, written), indent=2, ensure_ascii=False) + "\n"


def _line_data(reading: Reading, understood: Understood) -> dict[str, Any]:
    return {
        "number": reading.line.number,
        "text": reading.line.raw,
        "kind": str(reading.kind),
        "sure": str(reading.sure),
        "place": reading.place,
        "said": list(reading.said),
        "boards": [_entry_data(entry, understood) for entry in reading.entries if not entry.copy],
    }


def _entry_data(entry: Entry, understood: Understood) -> dict[str, Any]:
    identified = entry.identified
    place = understood.built.places.get(id(entry), "") if understood.built else ""
    return {
        "place": place or str(PlaceText(entry.slots, entry.rows)),
        "empty": entry.empty,
        "number": entry.number,
        "board": entry.board or None,
        "title": entry_title(entry, understood),
        "score": identified.candidates[0].score if identified and identified.candidates else None,
        "how": identified.candidates[0].how if identified and identified.candidates else "",
        "sources": list(identified.candidates[0].sources) if identified and identified.candidates else [],
        "settings": {name: text for name, (text, _) in entry.settings.items()},
        "options": list(entry.options),
        "described": dict(entry.described),
        "item": entry.item,
        "remark": entry.remark,
        "modifications": list(entry.modifications),
    }


def _unit_data(understood: Understood, index: int) -> dict[str, Any]:
    unit = understood.list.units[index]
    box = next(one for one in understood.list.boxes if one.id == unit.box)
    return {
        "place": unit.name,
        "backplane": unit.backplane or None,
        "candidates": list(understood.fitting[unit.name]),
        "supply": box.supply or None,
    }


def _gap_data(gap: Gap) -> dict[str, Any]:
    return {
        "unit": gap.unit,
        "slots": list(gap.slots),
        "listed": gap.listed,
        "users": list(gap.users),
        "not_known": list(gap.doubtful),
        "text": gap_text(gap),
    }


def _verdict_data(verdict: Verdict | None) -> dict[str, Any] | None:
    if verdict is None:
        return None
    return {
        "backplanes": list(verdict.backplanes),
        "possible": verdict.possible,
        "cut_off": list(verdict.cut_off),
        "in_all": [_common_data(one) for one in verdict.shared],
        "depends": [_common_data(one) for one in verdict.others],
        "memory_kb": None if verdict.kb is None else _number(verdict.kb),
        "memory_not_known": list(verdict.kb_unknown),
    }


def _common_data(one: Common) -> dict[str, Any]:
    finding = one.finding
    return {
        "rule": finding.rule,
        "slug": finding.slug,
        "severity": str(finding.severity),
        "place": one.place,
        "board": finding.board,
        "found": finding.found,
        "fix": finding.fix,
        "only": list(one.only),
        "depends_on_rows": one.sometimes,
    }


def _question_data(number: int, question: Question) -> dict[str, Any]:
    return {
        "number": number,
        "topic": question.topic,
        "needed": question.needed,
        "text": question.text,
        "answer": question.answer,
        "lines": list(question.lines),
        "choices": [{"id": name, "what": what} for name, what in question.choices],
    }
