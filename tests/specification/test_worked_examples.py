"""The published and derived examples of tests/data/worked-examples.yaml, on specification and core, on every profile
that can run them.  The file says itself what each key means, and beside each example where it comes from.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
import yaml

import minisim

from .adapter import CoreDriver, Driver, SpecDriver, State
from .processor import IO_PAGE
from .profiles import DATA, profile, profile_ids

EXAMPLES: list[dict[str, Any]] = yaml.load(
    (DATA / "worked-examples.yaml").read_text(encoding="utf-8"), Loader=yaml.CSafeLoader
)["examples"]
HERE = [e for e in EXAMPLES if set(e.get("needs", [])) <= {"base", "later-base", "eis"}]
INSTRUCTIONS = {e["id"]: e for e in HERE if e["kind"] == "instruction"}
ENCODINGS = {e["id"]: e for e in HERE if e["kind"] == "encoding"}
NEEDS = {"base-sxt": "sxt", "base-xor": "xor", "base-mark": "mark"}
REGISTERS = ("r0", "r1", "r2", "r3", "r4", "r5")
BEFORE = ("0000", "1111")  # the codes before, where an example doesn't say

each_machine = pytest.mark.parametrize("machine", [SpecDriver, CoreDriver], ids=["specification", "core"])


def octal(text: str) -> int:
    """A quoted octal number of the file."""
    return int(text, 8)


def put_memory(memory: bytearray, part: dict[str, Any]) -> None:
    """The words and bytes that a setup or expectation lists."""
    for address, word in part.get("memory", {}).items():
        memory[octal(address) : octal(address) + 2] = octal(word).to_bytes(2, "little")
    for address, byte in part.get("bytes", {}).items():
        memory[octal(address)] = octal(byte)


def start_of(example: dict[str, Any], codes: str) -> State:
    """The machine that the setup describes."""
    setup, program = example.get("setup", {}), example["program"]
    memory = bytearray(IO_PAGE)
    at = octal(program["at"])
    for number, word in enumerate(program["words"]):
        memory[at + 2 * number : at + 2 * number + 2] = octal(word).to_bytes(2, "little")
    put_memory(memory, setup)
    registers = setup.get("registers", {})
    general = [octal(registers.get(name, "0")) for name in REGISTERS]
    ps = octal(setup["ps"]) if "ps" in setup else int(setup.get("nzvc", codes), 2)
    return State([general, [0] * 6], [octal(registers.get("sp", "1000")), 0, 0, 0], at, ps, bytes(memory))


def end_of(example: dict[str, Any], start: State) -> State:
    """The machine that the example expects; the PS is compared apart."""
    expect, program = example["expect"], example["program"]
    end, memory = start.copy(), bytearray(start.memory)
    put_memory(memory, expect)
    end.memory = bytes(memory)
    for name, value in expect.get("registers", {}).items():
        if name == "sp":
            end.stacks[0] = octal(value)
        else:
            end.sets[0][int(name[1])] = octal(value)
    end.pc = octal(expect["pc"]) if "pc" in expect else start.pc + 2 * len(program["words"])
    return end


def check_ps(example: dict[str, Any], start: State, found: State, open_bits: int) -> None:
    """The PS as a whole where the example names it, else the codes that it compares."""
    expect = example["expect"]
    if "ps" in expect:
        assert found.ps == octal(expect["ps"])
    if "nzvc" in expect and "nzvc" not in example.get("mask", []):
        for place, wanted in enumerate(expect["nzvc"]):
            bit = 8 >> place
            if wanted == "x" or open_bits & bit:
                continue
            value = start.ps & bit if wanted == "-" else bit * int(wanted)
            assert found.ps & bit == value, f"code {'NZVC'[place]}"


def open_bits_of(example: dict[str, Any], profile_id: str) -> int:
    """Codes that the facts call disputed for the profile: V after SWAB on the first machine (D06, 10.1)."""
    return 0o2 if example["id"] == "base-swab" and profile_id == "first-hardwired" else 0


def forget_popped(memory: bytes, example: dict[str, Any], end: State) -> bytes:
    """A program of several steps may leave words below its stack pointer."""
    if example.get("steps", 1) == 1:
        return memory
    top = end.stacks[0]
    return memory[: top - 0o40] + bytes(0o40) + memory[top:]


@each_machine
@pytest.mark.parametrize("profile_id", profile_ids())
def test_every_worked_example_comes_out_as_published(machine: Callable[[str], Driver], profile_id: str) -> None:
    driver, failures = machine(profile_id), []
    for name, example in INSTRUCTIONS.items():
        if needs(example) not in profile(profile_id).modules():
            continue
        for codes in BEFORE:
            try:
                run_example(driver, example, codes)
            except AssertionError as error:
                failures.append(f"{name}, codes before {codes}: {error}")
    assert not failures, "\n".join(failures)


def needs(example: dict[str, Any]) -> str:
    """The module that must be fitted."""
    return "eis" if "eis" in example["needs"] else NEEDS.get(example["id"], "base")


def run_example(driver: Driver, example: dict[str, Any], codes: str) -> None:
    """Set up, run, compare everything that the example doesn't leave open."""
    start = start_of(example, codes)
    driver.put(start)
    for _ in range(example.get("steps", 1)):
        assert driver.step() == ""
    found, end = driver.take(), end_of(example, start)
    assert f"{found.pc:06o}" == f"{end.pc:06o}"
    assert found.sets[0] == end.sets[0]
    assert found.stacks[0] == end.stacks[0]
    assert forget_popped(found.memory, example, end) == forget_popped(end.memory, example, end)
    check_ps(example, start, found, open_bits_of(example, driver.profile.id))


@pytest.mark.parametrize("name", ENCODINGS)
def test_the_assembler_gives_the_published_words(name: str) -> None:
    program = ENCODINGS[name]["program"]
    assembled = minisim.assemble(f". = {program['at']}\n\t{program['text']}\n")
    words = b"".join(octal(word).to_bytes(2, "little") for word in program["words"])
    assert [(block.address, block.data) for block in assembled.blocks] == [(octal(program["at"]), words)]


def test_the_copy_of_the_examples_is_whole() -> None:
    assert len(INSTRUCTIONS) == 37 + 18  # base set, EIS
    assert set(ENCODINGS) == {"encode-mov-immediate"}
    assert all(e["source"]["evidence"] for e in HERE)
