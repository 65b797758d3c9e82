"""What a slot list was understood to be: everything that `read-text` says, as one record."""

from __future__ import annotations

from dataclasses import dataclass

from minisim.catalogue.reader import Catalogue
from minisim.known import Known
from minisim.loadout.slot_list import Entry, Question, SlotList
from minisim.loadout.slot_list_assembly import Assembly, Built, is_bare, slots_text
from minisim.loadout.slot_list_candidates import candidates
from minisim.loadout.slot_list_questions import complete, questions, rows_choice
from minisim.loadout.slot_list_reader import read_slot_list
from minisim.loadout.slot_list_sets import board_of, settle
from minisim.loadout.slot_list_verdict import Gap, Verdict, gaps, verdict


@dataclass(frozen=True, slots=True)
class Understood:
    """The list, what fits, what is asked, what can be said already, and the loadout once it can be written."""

    list: SlotList
    catalogue: Catalogue
    fitting: dict[str, tuple[str, ...]]
    built: Built | None
    questions: tuple[Question, ...]
    verdict: Verdict | None
    gaps: tuple[Gap, ...]
    advice: tuple[str, ...]

    @property
    def usable(self) -> bool:
        """Does the text hold any slot at all?"""
        return any(unit.entries for unit in self.list.units)

    @property
    def complete(self) -> bool:
        """Is no needed fact missing?"""
        return self.built is not None and complete(list(self.questions))


@dataclass(frozen=True, slots=True)
class Answers:
    """Facts given beside the text: by unit or box, or for the only one under ""."""

    backplanes: dict[str, str]
    supplies: dict[str, str]
    name: str = ""
    state: str = ""


def understand(data: bytes, file: str, catalogue: Catalogue, answers: Answers) -> Understood:
    """Read a list, add the answers, and find out everything that can be said."""
    slot_list = read_slot_list(data, file, catalogue)
    _answer(slot_list, answers)
    settle(slot_list, catalogue)
    fitting = {unit.name: candidates(unit, slot_list, catalogue) for unit in slot_list.units}
    assembly = Assembly(slot_list, catalogue)
    built = assembly.build(rows_choice(assembly))
    said = verdict(assembly, fitting)
    found = tuple(gap for unit in slot_list.units for gap in gaps(unit, catalogue))
    asked = tuple(questions(assembly, fitting, built))
    return Understood(slot_list, catalogue, fitting, built, asked, said, found, tuple(_advice(assembly, said)))


def _answer(slot_list: SlotList, answers: Answers) -> None:
    """What was given on the command line goes before what the text says."""
    for unit in slot_list.units:
        name = answers.backplanes.get(unit.name) or answers.backplanes.get("")
        if name:
            unit.backplane, unit.backplane_line = name, unit.backplane_line or unit.line
    for box in slot_list.boxes:
        name = answers.supplies.get(box.id) or answers.supplies.get("")
        if name == "unknown":
            box.supply, box.supply_unknown = "", True
        elif name:
            box.supply = name
    slot_list.name = answers.name or slot_list.name
    slot_list.state = answers.state or slot_list.state


# ---- advice


def _advice(assembly: Assembly, said: Verdict | None) -> list[str]:
    if said is None or not _whole(assembly):
        return []
    unknown = sorted({entry.line for entry in _standing(assembly) if not entry.board and not is_bare(entry)})
    if unknown:
        lines = f"line{'s' if len(unknown) > 1 else ''} {slots_text(tuple(unknown))}"
        return [f"What is called missing here may be on boards that are not known ({lines})."]
    if said.has_line:
        return []
    return [f"No board of the list is a serial line, so there is no console. {_where_to_put(assembly)}"]


def _whole(assembly: Assembly) -> bool:
    """Is there a processor, so that a console may be asked for?"""
    return any(_is_processor(entry, assembly) for entry in _standing(assembly))


def _is_processor(entry: Entry, assembly: Assembly) -> bool:
    board = board_of(entry, assembly.catalogue)
    return board is not None and board.processor is not None


def _standing(assembly: Assembly) -> list[Entry]:
    return [entry for entry in assembly.list.units[0].entries if not entry.empty]


def _where_to_put(assembly: Assembly) -> str:
    """Behind the memory, where every grant still arrives; into the first empty slot if the next one is taken."""
    standing = _standing(assembly)
    taken = {slot for entry in standing for slot in entry.slots}
    first = [entry for entry in standing if _is_memory(entry, assembly) or _is_processor(entry, assembly)]
    run = _first_run(first)
    behind = max(slot for entry in run for slot in entry.slots) + 1 if run else 1
    free = next((slot for slot in range(1, 100) if slot not in taken), 0)
    what = "memory" if any(_is_memory(entry, assembly) for entry in run) else "processor"
    if behind not in taken:
        return f"Put one right behind the {what}, in slot {behind}."
    return (
        f"Put one right behind the {what}: into slot {behind}, with the boards that stand there moved on; "
        f"the first empty slot is {free}."
    )


def _first_run(entries: list[Entry]) -> list[Entry]:
    """Processor and memory that stand together at the beginning."""
    run: list[Entry] = []
    for entry in sorted(entries, key=lambda one: one.slots):
        if run and entry.slots[0] > run[-1].slots[-1] + 1:
            break
        run.append(entry)
    return run


def _is_memory(entry: Entry, assembly: Assembly) -> bool:
    board = board_of(entry, assembly.catalogue)
    return board is not None and board.memory is not None and board.processor is None and not any(
        isinstance(one.words, Known) and one.device == "serial-line" for one in board.registers
    )  # fmt: skip
