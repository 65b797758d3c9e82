"""The oracle of the commercial instructions against the worked examples: it is right before the core is asked."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import cis_oracle as oracle
import pytest
import yaml

from minisim.cpu.instructions import table

DATA = Path(__file__).parents[1] / "data" / "worked-examples.yaml"
EXAMPLES: list[dict[str, Any]] = [
    each
    for each in yaml.load(DATA.read_text(encoding="utf-8"), yaml.CBaseLoader)["examples"]
    if each.get("needs") == ["cis"]
]
TYPES = ("signed zoned", "unsigned zoned", "trailing overpunch", "leading overpunch", "trailing separate",
         "leading separate", "signed packed", "unsigned packed")  # fmt: skip


@pytest.mark.parametrize("row", [e for e in EXAMPLES if e["kind"] == "decimal-format"], ids=lambda row: str(row["id"]))
def test_the_oracle_writes_and_reads_a_printed_format(row: dict[str, Any]) -> None:
    kind, digits, value = TYPES.index(row["type"]), int(row["digits"]), int(row["value"])
    data = bytes(int(byte, 8) for byte in row["expect"]["bytes"])
    assert oracle.written(kind, digits, abs(value), value < 0) == data
    memory = bytearray(oracle.SIZE)
    oracle.lay(memory, 0o177776, data)
    assert oracle.read(memory, kind << 12 | digits, 0o177776 - oracle.extent(kind, digits)[0]) == value


@pytest.mark.parametrize("row", [e for e in EXAMPLES if e["kind"] == "instruction"], ids=lambda row: str(row["id"]))
def test_the_oracle_agrees_with_a_worked_example(row: dict[str, Any]) -> None:
    memory, registers = bytearray(oracle.SIZE), [0] * 6
    for at, byte in row["setup"].get("bytes", {}).items():
        memory[int(at, 8)] = int(byte, 8)
    for name, value in row["setup"]["registers"].items():
        registers[int(name[1])] = int(value, 8)
    word = int(row["program"]["words"][0], 8)
    name = next(name for name in oracle.OPERANDS if table()[name].value == word)
    result = oracle.execute(name, False, registers, [], memory)
    expect, mask = row["expect"], row.get("mask", [])
    wanted = {name: int(value, 8) for name, value in expect["registers"].items() if name not in mask}
    assert {name: result.registers[int(name[1])] for name in wanted} == wanted
    found = zip(expect["nzvc"], f"{result.codes:04b}", strict=True)
    assert all(want in ("x", got) for want, got in found), f"{result.codes:04b}"
    assert all(memory[int(at, 8)] == int(byte, 8) for at, byte in expect.get("bytes", {}).items())
