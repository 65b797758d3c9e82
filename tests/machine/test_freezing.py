"""Freezing and thawing: bit for bit, and nothing foreign comes in."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

import cbor2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import minisim
from machine.states import raw_state

KITTIWAKE = Path(__file__).parents[2] / "loadouts" / "kittiwake"


def gauge(instructions: int = 0) -> minisim.Machine:
    """The tide-gauge logger somewhere in its work."""
    machine = minisim.build(minisim.read_loadout(KITTIWAKE / "gauge.yaml"))
    machine.run(limit=instructions)
    return machine


@pytest.mark.parametrize("instructions", [0, 1, 999, 250_000, 1_000_001, 2_500_000])
def test_a_thawed_machine_goes_on_bit_for_bit_alike(instructions: int) -> None:
    first = gauge(instructions)
    frozen = first.freeze()
    second = minisim.thaw(frozen)
    assert raw_state(first) == raw_state(second)
    assert second.freeze() == frozen
    until = minisim.Text("HIGH")
    assert first.run(limit=2_000_000, until=until) == second.run(limit=2_000_000, until=until)
    assert first.console.take() == second.console.take()
    assert raw_state(first) == raw_state(second)
    assert first.freeze() == second.freeze()
    assert first.counters() == second.counters()


def test_freezing_changes_nothing() -> None:
    machine, other = gauge(300_000), gauge(300_000)
    machine.freeze()
    machine.run(limit=300_000)
    other.run(limit=300_000)
    assert machine.freeze() == other.freeze()


def test_what_was_typed_and_not_taken_is_kept() -> None:
    machine = gauge(1000)
    machine.console.feed(b"tide")
    other = minisim.thaw(machine.freeze())
    assert other.console.waiting() == machine.console.waiting() >= 3


def test_a_frozen_machine_is_one_cbor_map_with_schema_and_hash() -> None:
    outer = cbor2.loads(gauge().freeze())
    assert set(outer) == {"schema", "sha256", "body"}
    assert outer["sha256"] == hashlib.sha256(outer["body"]).digest()


@pytest.mark.parametrize("foreign", [b"", b"\x00", b"not cbor at all", cbor2.dumps({"schema": 3}), cbor2.dumps([1, 2])])
def test_foreign_data_is_no_frozen_machine(foreign: bytes) -> None:
    with pytest.raises(minisim.FrozenStateError, match="no frozen machine"):
        minisim.thaw(foreign)


def test_another_version_is_said_to_be_one() -> None:
    outer = cbor2.loads(gauge().freeze())
    with pytest.raises(minisim.FrozenStateError, match='frozen as "minisim machine 99"'):
        minisim.thaw(cbor2.dumps({**outer, "schema": "minisim machine 99"}))


def test_every_kind_of_damage_is_found() -> None:
    frozen = bytearray(gauge(100).freeze())
    for at in range(0, len(frozen), 997):
        damaged = frozen.copy()
        damaged[at] ^= 0o20
        with pytest.raises(minisim.FrozenStateError):
            minisim.thaw(bytes(damaged))
    for length in (1, 100, len(frozen) - 1):
        with pytest.raises(minisim.FrozenStateError):
            minisim.thaw(bytes(frozen[:length]))


def resealed(machine: minisim.Machine, change: Any) -> bytes:
    """A frozen machine changed by hand, with a hash that fits again."""
    outer = cbor2.loads(machine.freeze())
    state = cbor2.loads(outer["body"])
    change(state)
    body = cbor2.dumps(state)
    return cbor2.dumps({**outer, "body": body, "sha256": hashlib.sha256(body).digest()})


def put(state: Any, *path: Any, value: Any) -> None:
    """Change one value deep inside."""
    for key in path[:-1]:
        state = state[key]
    state[path[-1]] = value


TERM = {
    **dict.fromkeys(("kind", "of", "number", "access_kinds", "value", "low", "high", "matched", "is_alone", "came"), 0),
    "length": 1,
    "text": b"x",
}
BAD = {
    "request line": (("fields", "request_line"), 10_000),
    "condition text": (("until", "terms"), [TERM | {"length": 2}]),
    "how far a condition has come": (("until", "terms"), [TERM | {"matched": 1}]),
    "register of a condition": (("until", "terms"), [TERM | {"number": 8}]),
    "alternative of a condition": (("until", "terms"), [TERM | {"of": 8}]),
    "number of conditions": (("until", "terms"), [TERM] * 33),
    "field of a condition": (("until", "terms"), [{"kind": 0}]),
    "accesses": (("fields", "access_count"), 129),
    "step register": (("fields", "step_register"), 8),
    "condition code": (("fields", "c"), 2),
    "memory size": (("memory_bytes",), 1 << 30),
    "memory": (("memory",), b"xx"),
    "profile": (("layout", "profile"), "no-such-profile"),
    "flags": (("flags",), b"\1"),
    "register of an effect": (("tables", "effects", 0, "index"), 60_000),
    "operation": (("tables", "effects", 0, "op"), 200),
    "number of effects": (("tables", "timers", 0, "count"), 1_000_000),
    "too fast": (("tables", "timers", 0, "delay"), 1),
    "vector": (("tables", "lines", 0, "vector"), 0o1000),
    "window": (("tables", "windows", 0, "first"), 0o7777),
    "place": (("io", 0, 2), 60_000),
    "name": (("layout", "devices", 0, "rings", "printer"), 500),
    "word": (("fields", "r"), [0o200000] * 8),
    "an unknown field": (("fields", "register_sets"), 9),
    "old codes": (("fields", "old_codes"), [0, 0, 0, 9]),
    "nothing": (("fields",), {}),
    "kind": (("fields", "time_ns"), "now"),
}


def test_the_printed_times_a_machine_ran_by_must_be_those_of_its_profile() -> None:
    machine = minisim.bare("first-hardwired", memory=0o2000)
    assert minisim.thaw(machine.freeze()).timing == machine.timing
    for other in (b"", bytes(1), machine_times(minisim.bare("microcoded-mid", memory=0o2000))):
        with pytest.raises(minisim.FrozenStateError, match="another version of the profile first-hardwired"):
            minisim.thaw(resealed(machine, lambda state, times=other: put(state, "times", value=times)))


def machine_times(machine: minisim.Machine) -> bytes:
    """The printed times as they stand in a frozen machine."""
    return bytes(cbor2.loads(cbor2.loads(machine.freeze())["body"])["times"])


def test_conditions_that_can_be_are_taken() -> None:
    """Of the same form as those that are refused below."""
    minisim.thaw(resealed(gauge(100), lambda state: put(state, "until", "terms", value=[TERM] * 32)))


@pytest.mark.parametrize("what", BAD)
def test_a_changed_state_with_a_fitting_hash_can_not_lead_outside(what: str) -> None:
    path, value = BAD[what]
    frozen = resealed(gauge(100), lambda state: put(state, *path, value=value))
    with pytest.raises(minisim.FrozenStateError):
        minisim.thaw(frozen)


@pytest.mark.parametrize("next_due", [0, 1 << 63, (1 << 64) - 1])
def test_what_comes_next_follows_from_the_timed_actions_whatever_the_file_says(next_due: int) -> None:
    machine = gauge(100)
    thawed = minisim.thaw(resealed(machine, lambda state: put(state, "fields", "next_due", value=next_due)))
    assert thawed.freeze() == machine.freeze()
    assert thawed.run(limit=500_000) == machine.run(limit=500_000)
    assert thawed.freeze() == machine.freeze()


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_any_changed_number_is_refused_or_runs_without_harm(data: st.DataObject) -> None:
    frozen = gauge_state()
    state = cbor2.loads(cbor2.loads(frozen)["body"])
    table = data.draw(st.sampled_from([name for name, rows in state["tables"].items() if rows]))
    row = data.draw(st.integers(0, len(state["tables"][table]) - 1))
    name = data.draw(st.sampled_from([n for n, v in state["tables"][table][row].items() if isinstance(v, int)]))
    value = data.draw(st.sampled_from([0, 1, 7, 255, 40_000, 65_535, 2**31 - 1, -1, 2**64 - 1]))
    put(state, "tables", table, row, name, value=value)
    body = cbor2.dumps(state)
    outer = {**cbor2.loads(frozen), "body": body, "sha256": hashlib.sha256(body).digest()}
    try:
        machine = minisim.thaw(cbor2.dumps(outer))
    except minisim.FrozenStateError:
        return
    machine.run(limit=20_000)


_kept: list[bytes] = []


def gauge_state() -> bytes:
    """One frozen machine for many examples."""
    if not _kept:
        _kept.append(gauge(100_000).freeze())
    return _kept[0]
