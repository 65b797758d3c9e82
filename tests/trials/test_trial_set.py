"""The cases that come with the project: whole, described, and the published examples among them word for word."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from minisim.trials import assembly
from minisim.trials.model import Evidence, Line
from minisim.trials.page import EXAMPLE, trials_page
from minisim.trials.reader import FOLDER, NO_CASES, read_set, read_text
from minisim.trials.schema import trials_schema

ROOT = Path(__file__).resolve().parent.parent.parent
EXAMPLES: list[dict[str, Any]] = yaml.load(
    (ROOT / "tests/data/worked-examples.yaml").read_text("utf-8"), Loader=yaml.CBaseLoader
)["examples"]
LINES = {
    case.id.partition("/")[2]: case.lines for case in read_set().cases if case.file == "worked-examples"
}
FILES = sorted(path.name for path in FOLDER.glob("*.yaml") if path.name != NO_CASES)
EVIDENCE = {"seen": Evidence.SEEN, "derived": Evidence.DERIVED, "from memory, firm": Evidence.FIRM}


def test_every_published_example_is_a_case_and_nothing_else() -> None:
    assert sorted(LINES) == sorted(example["id"] for example in EXAMPLES)


def words(text: str | list[str]) -> tuple[int, ...]:
    return tuple(int(word, 8) for word in (text.split() if isinstance(text, str) else text))


def written(part: dict[str, Any]) -> dict[str, Any]:
    """A setup or expectation of the published file under the keys of a case."""
    found: dict[str, Any] = {name: int(word, 8) for name, word in part.get("registers", {}).items()}
    found |= {f"word {at}": int(word, 8) for at, word in part.get("memory", {}).items()}
    bytes_at = part.get("bytes", {})
    found |= {f"byte {at}": int(byte, 8) for at, byte in bytes_at.items()} if isinstance(bytes_at, dict) else {}
    found |= {name: words(four) for name, four in part.get("accumulators", {}).items()}
    found |= {name: int(part[name], 8) for name in ("ps", "pc", "fps", "fec") if name in part}
    found |= {"nzvc": part["nzvc"]} if "nzvc" in part else {}
    return found | ({"trap": (int(part["trap"], 8),)} if "trap" in part else {})


def in_case(line: Line, side: str) -> dict[str, Any]:
    return {key.text: value for key, value in (line.given if side == "given" else line.then)}


@pytest.mark.parametrize("example", [e for e in EXAMPLES if e["kind"] == "instruction"], ids=lambda e: str(e["id"]))
def test_an_instruction_example_has_the_published_literals(example: dict[str, Any]) -> None:
    line = LINES[example["id"]][0]
    program = example["program"]
    assert line.code is not None
    assert (line.code.at, line.code.words) == (int(program["at"], 8), words(program["words"]))
    assert line.steps == int(example.get("steps", 1))
    assert in_case(line, "given") == written(example.get("setup", {}))
    assert in_case(line, "then") == written(example["expect"])
    masks = set(example.get("mask", [])) | ({"v"} if "first-hardwired" in line.profiles else set())
    assert line.mask == masks


def test_the_one_example_that_a_profile_may_answer_otherwise_leaves_that_code_out_for_it() -> None:
    others, first = LINES["base-swab"]
    assert first.profiles == ("first-hardwired",)
    assert len(others.profiles) == 16
    assert (others.mask, first.mask) == (frozenset(), {"v"})
    assert in_case(first, "then") == in_case(others, "then")


KINDS = {
    "encoding": lambda e: ({}, {"encoding": words(e["program"]["words"])}),
    "float-format": lambda e: (
        {"float": e["value"]},
        {name: words(e["expect"][key]) for name, key in (("f-words", "f"), ("f-chopped", "f_chopped"), ("d-words", "d"))
         if key in e["expect"]},
    ),
    "decimal-format": lambda e: (
        {"decimal": e["value"], "digits": int(e["digits"]), "decimal-type": e["type"]},
        {"bytes": words(e["expect"]["bytes"])},
    ),
}  # fmt: skip


@pytest.mark.parametrize("example", [e for e in EXAMPLES if e["kind"] in KINDS], ids=lambda e: str(e["id"]))
def test_an_example_of_a_format_has_the_published_literals(example: dict[str, Any]) -> None:
    line = LINES[example["id"]][0]
    assert (in_case(line, "given"), in_case(line, "then")) == KINDS[example["kind"]](example)


def test_the_examples_of_tapes_have_the_published_literals() -> None:
    by_id = {example["id"]: example for example in EXAMPLES}
    loader, data, start = (LINES[f"tape-{name}"][0] for name in ("bootstrap", "data-block", "start-block"))
    assert in_case(loader, "then") == {"encoding": words(by_id["tape-bootstrap"]["expect"]["words"])}
    assert loader.code is not None and loader.code.at == int(by_id["tape-bootstrap"]["expect"]["at"], 8)
    block = by_id["tape-data-block"]
    assert in_case(data, "given") == {
        "tape-address": int(block["setup"]["address"], 8), "tape-words": words(block["setup"]["words"]),
    }  # fmt: skip
    assert in_case(data, "then") == {"frames": words(block["expect"]["frames"])}
    assert in_case(start, "given") == {"tape-start": int(by_id["tape-start-block"]["setup"]["start"], 8)}
    assert in_case(start, "then") == {"frames": words(by_id["tape-start-block"]["expect"]["frames"])}


@pytest.mark.parametrize("example", [e for e in EXAMPLES if e["kind"] == "translation"], ids=lambda e: str(e["id"]))
def test_an_example_of_memory_management_has_the_published_literals(example: dict[str, Any]) -> None:
    line, setup, expect = LINES[example["id"]][0], example["setup"], example["expect"]
    given, then = in_case(line, "given"), in_case(line, "then")
    for name, address in (("par", 0o772340), ("pdr", 0o772300)):
        pages = {int(key[3:]): int(value, 8) for key, value in setup.items() if key.startswith(name)}
        assert all(given[f"register {address + 2 * page:o}"] == value for page, value in pages.items())
    if "physical" in expect:
        assert given["virtual"] == int(setup["virtual"], 8)
        assert then == {"physical": int(expect["physical"], 8)}
    else:
        assert line.code is not None and line.code.words[1] == int(setup["virtual"], 8)
        assert given["register 777572"] == int(setup["mmr0"], 8)
        assert then == {"register 777572": int(expect["mmr0"], 8), "trap": (int(expect["trap"], 8),)}
        assert 1 << int(expect["abort_bit"]) == int(expect["mmr0"], 8) & 0o160000


def test_the_histogram_counts_what_plain_arithmetic_counts() -> None:
    # [handbook-1969] has the task: 1000 inputs, 100 bins, values outside 1 to 100 ignored; the inputs are ours
    bins, x = [0] * 100, 0
    for number in range(1000):
        value = (x & ~number) - 8
        if 1 <= value <= 100:
            bins[value - 1] += 1
        x = (5 * x + 7 + number) % 256
    assert in_case(LINES["program-histogram"][0], "then")["words 003000"] == tuple(bins)


def test_an_example_keeps_its_source_and_evidence() -> None:
    for example in EXAMPLES:
        for line in LINES[example["id"]]:
            key = example["source"]["key"]
            assert line.sources == (() if key == "null" else (key,)), example["id"]
            weak = "unconfirmed" in example["source"].get("remark", "")
            wanted = Evidence.UNCONFIRMED if weak else EVIDENCE[example["source"]["evidence"]]
            # the task of the histogram was seen, its numbers are derived
            assert line.evidence is (Evidence.DERIVED if example["kind"] == "program" else wanted), example["id"]


@pytest.mark.parametrize("loader", [yaml.CBaseLoader, yaml.CSafeLoader])
@pytest.mark.parametrize("name", FILES)
def test_every_file_fits_the_published_schema(name: str, loader: Any) -> None:
    schema = trials_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    data = yaml.load((FOLDER / name).read_text("utf-8"), Loader=loader)
    assert [error.message for error in jsonschema.Draft202012Validator(schema).iter_errors(data)] == []


@pytest.mark.parametrize(
    "wrong",
    [{"trials": "1"}, {"trials": "1", "title": "t", "tables": [{"id": "A", "rows": []}]},
     {"trials": "1", "title": "t", "tables": [{"id": "a", "rows": [], "then": {"r9": "1"}}]},
     {"trials": "1", "title": "t", "tables": [], "evidence": "sure"}],
)  # fmt: skip
def test_plain_mistakes_do_not_fit_the_schema(wrong: dict[str, Any]) -> None:
    assert list(jsonschema.Draft202012Validator(trials_schema()).iter_errors(wrong))


def test_no_case_reads_a_flag_of_a_profile() -> None:
    from minisim.catalogue.reader import Catalogue

    flags = {row.flag for row in Catalogue().rows() if "_" in row.flag}
    assert len(flags) > 40
    any_flag = re.compile(rf"\b({'|'.join(sorted(flags))})\b")
    for name in FILES:
        assert not any_flag.findall((FOLDER / name).read_text("utf-8")), name


def test_every_row_of_the_table_of_differences_is_a_case_or_has_a_reason_why_it_is_none() -> None:
    from minisim.catalogue.reader import Catalogue

    rows = {row.id for row in Catalogue().rows()}
    told = {case.row for case in read_set().cases if case.row}
    excused = set(re.findall(r"^  - row: (D\d\d)$", (FOLDER / NO_CASES).read_text("utf-8"), re.M))
    assert rows - told - excused == set()


def test_the_example_of_the_page_of_the_format_can_be_read() -> None:
    assert EXAMPLE in trials_page()
    file = read_text(EXAMPLE.encode(), "example.yaml", "example")
    assert [case.id for case in file.cases] == ["add/plain", "add/overflow", "swap-codes/of-077777"]


def test_the_page_of_the_format_names_every_key() -> None:
    from minisim.trials.keys import KINDS as KEY_KINDS
    from minisim.trials.scope import FIELDS

    text = trials_page()
    assert all(f"| `{kind.written}` | {kind.side} |" in text for kind in KEY_KINDS)
    assert all(f"| `{name}` |" in text for name in FIELDS)


def test_a_program_lies_where_its_text_says() -> None:
    code = assembly.of_text("MOV #1,R0\nJMP @#next\n. = 2000\nnext: NOP", 0o1000)
    assert [address for address, _ in code.blocks] == [0o1000, 0o2000]
    assert assembly.pc_after(code.words, 0o1000, 1) == 0o1004
