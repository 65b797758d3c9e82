"""Words the assembler must give: the worked examples, and one case for each way of writing an operand."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from minisim.cpu.assembler import assemble, words_of
from minisim.cpu.disassembler import disassemble
from minisim.cpu.instructions import table
from minisim.cpu.table import records
from minisim.problems import InputError

DATA = Path(__file__).parents[1] / "data" / "worked-examples.yaml"


def words(source: str, at: int = 0o1000) -> list[int]:
    """The words of a short program."""
    (block,) = assemble(f". = {at:o}\n{source}\n").blocks
    assert block.address == at
    return words_of(block)


def statements(text: str) -> list[str]:
    """The instructions of an example, without its remarks of the kind "at 6000: RTS R5".

    Behind an instruction that takes its operands from registers stands what these are: a remark too.
    """
    parts = [part for part in map(str.strip, text.split(";")) if part and not part.startswith("at ")]
    return [name if _takes_registers(name := part.split()[0]) else part for part in parts]


def _takes_registers(name: str) -> bool:
    found = next((record for record in records() if record.mnemonic == name), None)
    return found is not None and found.form.name == "COMMERCIAL"


def examples() -> list[tuple[str, int, list[int], list[str]]]:
    """Id, address, words and instructions of every example that prints them and whose instructions are built."""
    found = []
    for example in yaml.load(DATA.read_text(encoding="utf-8"), yaml.CBaseLoader)["examples"]:
        program = example.get("program", {})
        if example["kind"] in ("instruction", "encoding") and "words" in program:
            parts = statements(program["text"])
            if all(part.split()[0] in table() for part in parts):
                at = int(program.get("at", "1000"), 8)
                found.append((example["id"], at, [int(word, 8) for word in program["words"]], parts))
    return found


EXAMPLES = examples()


@pytest.mark.parametrize(("at", "expected", "parts"), [e[1:] for e in EXAMPLES], ids=[e[0] for e in EXAMPLES])
def test_a_worked_example_gives_its_words(at: int, expected: list[int], parts: list[str]) -> None:
    assert words("\n".join(parts), at) == expected


@pytest.mark.parametrize(("at", "expected", "parts"), [e[1:] for e in EXAMPLES], ids=[e[0] for e in EXAMPLES])
def test_the_words_of_a_worked_example_give_its_instructions(at: int, expected: list[int], parts: list[str]) -> None:
    lines = disassemble(expected, at)
    assert len(lines) == len(parts)
    assert words("\n".join(line.text for line in lines), at) == expected


def test_all_base_examples_are_among_them() -> None:
    wanted = {
        example["id"]
        for example in yaml.load(DATA.read_text(encoding="utf-8"), yaml.CBaseLoader)["examples"]
        if example["kind"] in ("instruction", "encoding") and set(example["needs"]) <= {"base", "later-base"}
    }
    assert wanted == {each[0] for each in EXAMPLES} & wanted
    assert len(wanted) > 30


# Modes: processor facts 1.5, [handbook-1969] pp. 12-13, [course-processor].  CLR is 0050DD there, at 001000 here.
FORMS = [
    ("CLR R3", [0o005003]),
    ("CLR SP", [0o005006]),
    ("CLR PC", [0o005007]),
    ("CLR (R3)", [0o005013]),
    ("CLR @R3", [0o005013]),
    ("CLR (R3)+", [0o005023]),
    ("CLR @(R3)+", [0o005033]),
    ("CLR -(R3)", [0o005043]),
    ("CLR @-(R3)", [0o005053]),
    ("CLR 24(R3)", [0o005063, 0o24]),
    ("CLR -2(R3)", [0o005063, 0o177776]),
    ("CLR @24(R3)", [0o005073, 0o24]),
    ("CLR @(R3)", [0o005073, 0]),
    ("CLR #24", [0o005027, 0o24]),
    ("CLR @#177560", [0o005037, 0o177560]),
    ("CLR 1000", [0o005067, 0o177774]),
    ("CLR @1010", [0o005077, 0o4]),
    ("clr r3", [0o005003]),
    ("Clr\t@ # 10 + 2 ; spaces and a remark", [0o005037, 0o12]),
    ("MOV 2000,2010", [0o016767, 0o774, 0o1002]),  # each distance from behind its own word
    ("MOV #'A,R0", [0o012700, 0o101]),
    ("MOV #100.,R0", [0o012700, 0o144]),
    ("MOVB (R1)+,-(R2)", [0o112142]),
    ("CMP R4,#-1", [0o020427, 0o177777]),
    ("JSR PC,@(SP)+", [0o004736]),
    ("RTS R5", [0o000205]),
    ("XOR R2,(R3)", [0o074213]),
    ("SOB R1,1000", [0o077101]),
    ("SOB R1,1002", [0o077100]),
    ("MARK 12", [0o006412]),
    ("EMT 377", [0o104377]),
    ("TRAP 0", [0o104400]),
    ("BR 1000", [0o000777]),
    ("BR 1002", [0o000400]),
    ("BR 402", [0o000600]),
    ("BR 1400", [0o000577]),
    ("BHIS 1004", [0o103001]),
    ("BCC 1004", [0o103001]),
    ("BLO 1004", [0o103401]),
    ("NOP", [0o000240]),
    ("CLC!CLV", [0o000243]),
    ("SEN ! SEZ ! SEC", [0o000275]),
    ("CCC", [0o000257]),
]


@pytest.mark.parametrize(("source", "expected"), FORMS, ids=[form[0] for form in FORMS])
def test_an_operand_form_gives_its_words(source: str, expected: list[int]) -> None:
    assert words(source) == expected


def test_relative_targets_wrap_around_the_address_space() -> None:
    assert words("BR 177776", 0) == [0o000776]
    assert words("CLR 0", 0o177774) == [0o005067, 0]
    assert disassemble([0o000776], 0)[0].text == "BR 177776"


@pytest.mark.parametrize(("text", "expected"), [
    ("L2DR R1", [0o076021]), ("L3DR PC", [0o076067]), ("MOVC", [0o076030]), ("CMPP", [0o076072]),
    ("MOVTCI 1000,1004,' ,TABLE", [0o076132, 0o1000, 0o1004, 0o40, 0o2000]),
    ("ADDNI TABLE,TABLE+4,TABLE+10", [0o076150, 0o2000, 0o2004, 0o2010]),
    ("ASHPI TABLE,TABLE+4,<5*400>!376", [0o076176, 0o2000, 0o2004, 0o2776]),
    ("CVTLNI TABLE,2010", [0o076157, 0o2000, 0o2010]),
])  # fmt: skip
def test_a_commercial_instruction_has_its_words_behind_it(text: str, expected: list[int]) -> None:
    """Codes: processor facts 1.4 [assembler-manual-options]."""
    assert words(f"TABLE = 2000\n{text}") == expected
    (line,) = disassemble(expected, 0o1000)
    assert words(line.text) == list(line.words) == expected


def test_a_commercial_instruction_takes_as_many_words_as_it_has() -> None:
    for text in ("ADDNI 1,2", "ADDNI 1,2,3,4", "MOVC R0", "L2DR", "L2DR (R0)", "LOCCI #1,2"):
        with pytest.raises(InputError):
            words(text)
