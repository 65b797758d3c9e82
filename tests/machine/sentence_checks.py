"""What must hold of a sentence, by plain integers: its numbers, its sums, its codes, the reasons it gives."""

from __future__ import annotations

import re
from typing import Any

from minisim.cpu._core import lib
from minisim.machine.machine import _own_words, reason_of
from minisim.machine.steps import Registers, Step, accesses_of, floats_of, operands_of, split

CODES = "NZVC"
SUM = re.compile(r": (?:([0-7]+) )?(NOT|\+|-|AND NOT|AND|EXCLUSIVE OR|OR) ([0-7]+) = ([0-7]+)")
PRODUCT = re.compile(r": ([0-7]{6}) \((-?\d+)\.\) \* ([0-7]{6}) \((-?\d+)\.\) = ([0-7]{6}) ([0-7]{6}) \((-?\d+)\.\)")
QUOTIENT = re.compile(
    r": ([0-7]{6}) ([0-7]{6}) \((-?\d+)\.\) / ([0-7]{6}) \((-?\d+)\.\) = ([0-7]{6}) \((-?\d+)\.\) in \w+, "
    r"remainder ([0-7]{6}) \((-?\d+)\.\)"
)
DECIMAL = re.compile(r"\(?-?\b\d+\.(?:\)|(?=[ (;]|$))")
FLOATING = re.compile(r"-?\b\d[\d.]*(?: x 10\^-?\d+)? (?=\([0-7]{6}[ )])")
BECOMES = re.compile(
    r"(?:by (\d+) bits?, |: )([0-7]{3}(?:[0-7]{3})?)(?: with C ([01]))? becomes ([0-7]{3}(?:[0-7]{3})?)\b"
)
BRANCH = re.compile(r"goes (?:(?:back )?to ([0-7]{6})|on), because")
GIVEN_UP = re.compile(r"is given up: (?:nobody answers at |memory management refuses )?([0-7]{6})")
FLOAT_CLAIM = re.compile(r"of the floating codes ([NZVC ,and]+) (?:is|are) set")
CLAIM = re.compile(r"\b([NZVC](?:, [NZVC])*(?: and [NZVC])?) (?:is|are|becomes?) (set|clear)\b")
PUSHED = re.compile(r"PS ([0-7]{6}) and PC ([0-7]{6}) are pushed")


def step_of(raw: Any) -> tuple[int, Step]:
    """One step of a machine of the core, made as `Machine.step` makes it; and why it stopped."""
    before, counted = Registers(tuple(raw.r), lib.ms_get_ps(raw)), raw.instructions
    stop = int(lib.ms_step(raw))
    accesses = accesses_of(raw)
    pc = raw.instruction_pc if raw.instructions > counted else before.r[7]
    after = Registers(tuple(raw.r), lib.ms_get_ps(raw))
    words, operands = _own_words(pc, accesses), operands_of(raw, accesses)
    return stop, Step(pc, words, accesses, before, after, reason_of(stop), operands, floats_of(raw))


def check(step: Step, sentence: str) -> None:
    """Everything at once.  AssertionError: what is wrong."""
    plain = re.sub('".*?"', "TEXT", sentence)
    assert plain and plain == plain.strip(), sentence
    assert not re.search(r"[{}]|  |[,;:]{2}| [,;:]|[:,;]$|\bNone\b", plain), sentence
    allowed = known(step) | _checked_sums(sentence) | _given_up(step, sentence)
    rest = FLOATING.sub("", DECIMAL.sub("", _without_operands(step, sentence)))
    strangers = [found for found in re.findall(r"(?<![\w.])[0-7]{6}(?![\w.])", rest) if int(found, 8) not in allowed]
    assert not strangers, f"{strangers} in: {sentence}\n{step}"
    _check_shift(sentence)
    _check_branch(step, sentence)
    _check_codes(step, sentence)


def _without_operands(step: Step, sentence: str) -> str:
    """Strings and numbers that are told in decimal, as the record has them, taken out."""
    for operand in step.operands:
        if operand.kind in ("decimal", "string"):
            sentence = sentence.replace(operand.told, "")
    return sentence


def known(step: Step) -> set[int]:
    """Every number of the record, addresses of the code, targets of a branch, registers a step further on."""
    found = {step.pc, *step.words, *step.before.r, *step.after.r, step.before.ps, step.after.ps}
    for access in step.accesses:
        found |= {access.address, access.data, (access.address + 4) & 0o177777}  # 4: SP before a trap
    for operand in step.operands:
        found |= {*operand.words, *([int(operand.where, 8)] if operand.where.isdigit() else [])}
    for floats in step.floats or ():
        found |= {word for number in floats.ac for word in split(number, 4)}
    found |= {(step.pc + 2 * away) & 0o177777 for away in range(-128, 130)}
    return found | {(register + by) & 0o177777 for register in step.before.r for by in (-8, -4, -2, -1, 1, 2, 4, 8)}


def signed(value: int, bits: int = 16) -> int:
    return value - (value >> bits - 1 << bits)


def _checked_sums(sentence: str) -> set[int]:
    """The results of the sums that are stated, each worked out here."""
    found: set[int] = set()
    if match := SUM.search(sentence):
        found |= {_checked_sum(match, sentence)}
    if match := PRODUCT.search(sentence):
        a, ten_a, b, ten_b, high, low, ten = match.groups()
        assert signed(int(a, 8)) == int(ten_a) and signed(int(b, 8)) == int(ten_b), sentence
        assert signed(int(high, 8) << 16 | int(low, 8), 32) == int(ten) == int(ten_a) * int(ten_b), sentence
        found |= {int(high, 8), int(low, 8)}
    if match := QUOTIENT.search(sentence):
        high, low, dividend, divisor, ten_divisor, q, quotient, m, rest = match.groups()
        assert signed(int(high, 8) << 16 | int(low, 8), 32) == int(dividend), sentence
        assert [signed(int(each, 8)) for each in (divisor, q, m)] == [int(ten_divisor), int(quotient), int(rest)]
        assert int(quotient) * int(ten_divisor) + int(rest) == int(dividend), sentence
        assert abs(int(rest)) < abs(int(ten_divisor)) and int(rest) * int(dividend) >= 0, sentence
        found |= {int(q, 8), int(m, 8)}
    return found


def _checked_sum(match: re.Match[str], sentence: str) -> int:
    """And the reasons of codes beside it."""
    a, sign, b, result = int(match[1] or "0", 8), match[2], int(match[3], 8), int(match[4], 8)
    bits = 8 if len(match[4]) == 3 else 16
    sums = {"+": a + b, "-": a - b, "AND": a & b, "AND NOT": a & ~b, "OR": a | b, "EXCLUSIVE OR": a ^ b, "NOT": ~b}
    exact = sums[sign]
    assert exact % (1 << bits) == result, sentence
    with_sign = signed(a, bits) + signed(b, bits) if sign == "+" else signed(a, bits) - signed(b, bits)
    overflow = sign in "+-" and with_sign != signed(result, bits)
    truths = {
        "carry out": sign == "+" and exact != result,
        "a borrow": sign == "-" and exact < 0,
        "the signs say overflow": overflow,
        "the result is 0, so Z": result == 0,
        "the sign of the result is 1": bool(result >> bits - 1),
    }
    assert all(truth for reason, truth in truths.items() if reason in sentence), sentence
    return result


def _check_shift(sentence: str) -> None:
    """What became of a word or byte that was shifted, rotated or swapped, and the reasons for C."""
    match = BECOMES.search(sentence)
    own = sentence.rpartition("; then it ")[2]
    if match is None or not own.startswith(("rotates", "shifts", "swaps")):
        return
    bits = 8 if len(match[2]) == 3 else 16
    old, carry, new = int(match[2], 8), int(match[3] or 0), int(match[4], 8)
    sign, count = signed(old, bits), int(match[1] or 1)
    acts = {
        "rotates": {"right": old >> 1 | carry << bits - 1, "left": old << 1 | carry},
        "shifts": {"right": sign >> count, "left": sign << count, "0": sign},
        "swaps": {"bytes": old >> 8 | old << 8},
    }
    ways = acts[own.partition(" ")[0]]
    way = next(way for way in ways if f" {way} " in own)
    assert ways[way] % (1 << bits) == new, sentence
    assert "bit 0 was 1" not in own or old & 1, sentence
    assert "the top bit was 1" not in own or sign < 0, sentence
    if "the last bit shifted out is 1" in own:
        assert sign << count >> bits & 1 if way == "left" else sign >> count - 1 & 1, sentence


def _check_branch(step: Step, sentence: str) -> None:
    """A branch that is told as taken was taken, and the other way round."""
    match = BRANCH.search(sentence)
    if match is None:
        return
    pushed = PUSHED.search(sentence, match.end())
    at = int(pushed[2], 8) if pushed else step.after.r[7]
    if "can't be used" not in sentence:
        assert at == (int(match[1], 8) if match[1] else (step.pc + 2) & 0o177777), f"{sentence}\n{step}"


def _given_up(step: Step, sentence: str) -> set[int]:
    """The address an instruction failed at: a register or word and an index make it."""
    match = GIVEN_UP.search(sentence)
    if match is None:
        return set()
    at, parts = int(match[1], 8), known(step)
    offsets = {0, *step.words, *(by & 0o177777 for by in (-2, -1, 2, 4, 6))}
    assert any((at - offset) & 0o177777 in parts for offset in offsets), f"{sentence}\n{step}"
    return {at}


def _check_codes(step: Step, sentence: str) -> None:
    """Codes that are said to be set or clear are, at the end of the instruction itself."""
    if "can't be used" in sentence or "takes PC and PS" in sentence:
        return
    own = sentence.rpartition("; then it ")[2] if sentence.startswith("first ") else sentence
    pushed = PUSHED.search(own)
    ps = int(pushed[1], 8) if pushed else step.after.ps
    if match := FLOAT_CLAIM.search(own):
        assert step.floats and _bits(match[1]) == step.floats[1].fps & 0o17, sentence
    for codes, state in CLAIM.findall(FLOAT_CLAIM.sub("", own)):
        assert ps & _bits(codes) == (_bits(codes) if state == "set" else 0), f"{sentence}\n{step}"


def _bits(codes: str) -> int:
    return sum(0o10 >> CODES.index(code) for code in re.findall("[NZVC]", codes))
