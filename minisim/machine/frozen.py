"""Freezing: the whole state of a machine as one CBOR map with a schema and a hash, and back.

    {"schema": "minisim machine 4", "sha256": <of body>, "body": <CBOR of the state>}

The state is plain data by field name, so that it does not depend on the layout of the C struct.  Everything is checked
when it comes back: the hash for damage, the tables by the core, the rest here; foreign data can't lead a machine
astray.
"""

from __future__ import annotations

import hashlib
import zlib
from dataclasses import fields
from typing import TYPE_CHECKING, Any

import cbor2

from minisim.cpu._core import ffi, lib
from minisim.cpu.handle import configure
from minisim.cpu.profile import ProfileError, configuration
from minisim.machine.controllers import Controllers, frozen_controllers, restore, thawed_drives
from minisim.machine.errors import FrozenStateError, MachineError
from minisim.machine.layout import from_data, to_data
from minisim.machine.records import Timing
from minisim.machine.tables import STRUCTS, Tables, load
from minisim.media.frozen import FrozenMediumError

if TYPE_CHECKING:
    from minisim.machine.machine import Machine

SCHEMA = "minisim machine 4"
_TABLES = {*STRUCTS, "rom"}
# Set up anew, or kept in a form of their own.
_APART = {
    *(_TABLES | {count for _, count in STRUCTS.values()}),
    *("rom_words", "profile", "decoded", "memory", "memory_bytes", "present", "address_bits", "io", "call", "handle"),
    *("until", "access", "stop_request", "modules", "plain_top", "ram_top", "mapped", "modes", "register_sets"),
    *("one_level", "core", "passed_over", "agenda", "times", "note", "note_count", "ac_before"),
    *("fps_before", "floats_noted", "octal"),
}
_NAMES = [name for name, _ in ffi.typeof("ms_machine").fields if name not in _APART]
_OF_PROFILE = {"kind", "bits"}  # of the octal console: the processor says them again
_DAMAGED = "the frozen machine is damaged"


# --- freezing ---------------------------------------------------------------------------------------------------------


def freeze(machine: Machine) -> bytes:
    """The state of a machine that is not running."""
    raw = machine._raw
    state = {
        "layout": to_data(machine.layout),
        "timing": [getattr(machine.timing, field.name) for field in fields(machine.timing)],
        "times": _times(raw),
        "flags": bytes(ffi.buffer(ffi.addressof(raw, "profile"))),
        "modules": raw.modules,
        "address_bits": raw.address_bits,
        "memory": zlib.compress(ffi.buffer(raw.memory, raw.memory_bytes), 1),
        "memory_bytes": raw.memory_bytes,
        "present": bytes(ffi.buffer(raw.present, raw.memory_bytes // lib.MS_BANK_BYTES + 1)),
        "io": [[word, io.kind, io.index] for word, io in enumerate(raw.io) if io.kind],
        "tables": {name: _rows(getattr(raw, name), getattr(raw, count)) for name, (_, count) in STRUCTS.items()},
        "rom": [raw.rom[index] for index in range(raw.rom_words)],
        "contents": [_contents(raw, ring) for ring in range(raw.ring_count)],
        "fields": {name: _plain(getattr(raw, name)) for name in _NAMES},
        "until": _until(raw.until),
        "octal": _struct(raw.octal),
        "access": [_struct(each) for each in raw.access[0 : raw.access_count]],
        "controllers": frozen_controllers(machine._controllers),
    }
    body = cbor2.dumps(state)
    return cbor2.dumps({"schema": SCHEMA, "sha256": hashlib.sha256(body).digest(), "body": body})


def _times(raw: Any) -> bytes:
    """The printed times the machine runs by; empty if it has none."""
    return b"" if raw.times == ffi.NULL else bytes(ffi.buffer(raw.times, ffi.sizeof("ms_times")))


def _plain(value: Any) -> Any:
    """A number, or nested lists of numbers."""
    return int(value) if isinstance(value, int) else [_plain(each) for each in value]


def _struct(value: Any) -> dict[str, Any]:
    return {name: _plain(getattr(value, name)) for name, _ in ffi.typeof(value).fields}


def _until(until: Any) -> dict[str, Any]:
    """The conditions of the last run, and how far they have come: a run that is frozen in its middle goes on."""
    terms = [_struct(term) | {"text": bytes(term.text)[: term.length]} for term in until.term[0 : until.count]]
    return {"first": until.first, "ring": until.ring, "text_mask": until.text_mask, "terms": terms}


def _rows(table: Any, count: int) -> list[dict[str, Any]]:
    return [_row(table[index]) for index in range(count)]


def _row(row: Any) -> dict[str, Any]:
    names = [name for name, _ in ffi.typeof(row).fields]
    return {name: [_row(each) for each in row.guard] if name == "guard" else int(getattr(row, name)) for name in names}


def _contents(raw: Any, ring: int) -> bytes:
    count = int(raw.rings[ring].count)
    room = ffi.new("uint8_t[]", max(count, 1))
    lib.ms_ring_copy(raw, ring, room, count)
    return bytes(ffi.buffer(room, count))


# --- thawing ----------------------------------------------------------------------------------------------------------


def thaw(data: bytes) -> Machine:
    """The machine of `freeze`.  FrozenStateError: foreign, damaged, or of another version."""
    state = _opened(data)
    try:
        return _machine(state)
    except FrozenStateError:
        raise
    except FrozenMediumError as error:
        raise FrozenStateError(str(error)) from None
    except ProfileError as error:
        raise FrozenStateError(f"the frozen machine needs a processor that is not here: {error}") from None
    except (
        KeyError,
        IndexError,
        TypeError,
        ValueError,
        OverflowError,
        AttributeError,
        MachineError,
        MemoryError,
    ) as error:
        raise FrozenStateError(f"{_DAMAGED}: {error}") from None


def _opened(data: bytes) -> dict[str, Any]:
    try:
        outer = cbor2.loads(data)
    except Exception:  # the decoder raises what its input leads it to
        raise FrozenStateError("this is no frozen machine") from None
    if not isinstance(outer, dict) or not str(outer.get("schema", "")).startswith("minisim machine "):
        raise FrozenStateError("this is no frozen machine")
    if outer["schema"] != SCHEMA:
        raise FrozenStateError(f'this machine was frozen as "{outer["schema"]}"; this version reads "{SCHEMA}"')
    body = outer.get("body")
    if not isinstance(body, bytes) or hashlib.sha256(body).digest() != outer.get("sha256"):
        raise FrozenStateError(f"{_DAMAGED}: its hash does not fit")
    try:
        state = cbor2.loads(body)
    except Exception:  # as above
        raise FrozenStateError(_DAMAGED) from None
    if not isinstance(state, dict):
        raise FrozenStateError(_DAMAGED)
    return state


def _machine(state: dict[str, Any]) -> Machine:
    from minisim.machine.machine import Machine

    layout = from_data(state["layout"])
    raw = _memory(state)
    chosen = configuration(layout.profile, layout.options)
    configure(raw, chosen)
    same = bytes(ffi.buffer(ffi.addressof(raw, "profile"))) == state["flags"] and _times(raw) == state["times"]
    if not same or raw.modules != state["modules"]:
        raise FrozenStateError(f"this machine was frozen with another version of the profile {layout.profile}")
    _tables(raw, state)
    _fields(raw, state)
    _check_numbers(raw, layout.devices)
    base, cycle, basis, text, strength = state["timing"]
    counts = tuple((str(word), int(count)) for word, count in strength)
    controllers = Controllers(raw, layout.devices, thawed_drives(state["controllers"]))
    restore(controllers, state["controllers"])
    return Machine(raw, layout, Timing(int(base), int(cycle), str(basis), str(text), counts), controllers)


def _memory(state: dict[str, Any]) -> Any:
    size = state["memory_bytes"]
    raw = lib.ms_new(size, state["address_bits"])
    if raw == ffi.NULL:
        raise ValueError("its memory has no possible size")
    raw = ffi.gc(raw, lib.ms_free)
    unpacker = zlib.decompressobj()
    try:
        content = unpacker.decompress(state["memory"], size + 1)
    except zlib.error as error:
        raise ValueError(f"its memory can't be unpacked ({error})") from None
    if len(content) != size:
        raise ValueError("its memory has another size")
    ffi.memmove(raw.memory, content, size)
    for bank, fitted in enumerate(state["present"]):
        start = bank * lib.MS_BANK_BYTES
        if fitted and start < size and lib.ms_fit_memory(raw, start, min(lib.MS_BANK_BYTES, size - start)):
            raise ValueError("its memory lies outside")
    return raw


def _tables(raw: Any, state: dict[str, Any]) -> None:
    rows = {name: [_known(row, struct) for row in state["tables"][name]] for name, (struct, _) in STRUCTS.items()}
    tables = Tables(
        registers=rows["registers"],
        effects=rows["effects"],
        timers=rows["timers"],
        lines=rows["lines"],
        rings=rows["rings"],
        devices=rows["devices"],
        windows=rows["windows"],
        rom=state["rom"],
        io={int(word): (int(kind), int(index)) for word, kind, index in state["io"]},
        contents={ring: bytes(content) for ring, content in enumerate(state["contents"])},
    )
    if len(tables.contents) != len(tables.rings):
        raise ValueError("its rings have no contents")
    load(raw, tables)


def _known(row: dict[str, Any], struct: str) -> dict[str, Any]:
    """A row without anything its struct has not."""
    names = {name for name, _ in ffi.typeof(struct).fields}
    if set(row) != names:
        raise ValueError(f"a row of {struct} has other fields")
    return dict(row)


def _fields(raw: Any, state: dict[str, Any]) -> None:
    if set(state["fields"]) != set(_NAMES):
        raise FrozenStateError("this machine was frozen by another version")
    printed = {"base_ns", "cycle_ns"} if raw.times != ffi.NULL else set()  # these follow from the printed times
    for name, value in state["fields"].items():
        if name not in printed:
            setattr(raw, name, value)
    lib.ms_mapping_changed(raw)
    lib.ms_pause_at(raw, raw.pause_ns)  # so that next_due fits the timed actions, whatever the file says
    _restore_until(raw, state["until"])
    for name in set(_struct(raw.octal)) - _OF_PROFILE:
        setattr(raw.octal, name, state["octal"][name])
    for index, access in enumerate(state["access"]):
        for name, value in access.items():
            setattr(raw.access[index], name, value)


def _restore_until(raw: Any, data: dict[str, Any]) -> None:
    until, terms = raw.until, data["terms"]
    until.first, until.ring, until.text_mask = data["first"], data["ring"], data["text_mask"]
    if len(terms) > lib.MS_TERMS:
        raise ValueError("it has too many conditions")
    until.count = len(terms)
    for row, term in zip(terms, until.term, strict=False):
        for name, value in _known(row, "ms_term").items():
            if name != "text":
                setattr(term, name, value)
        text = bytes(row["text"])
        if not term.length == len(text) <= lib.MS_TEXT_BYTES or term.matched > max(len(text) - 1, 0):
            raise ValueError("a condition has an impossible text")
        if term.of >= lib.MS_ALTERNATIVES or term.number > 7:
            raise ValueError("a condition leads outside")
        ffi.memmove(term.text, text, len(text))
    lib.ms_until_settle(raw)


def _check_numbers(raw: Any, devices: Any) -> None:
    """Numbers that the core follows without a look."""
    octal = raw.octal
    bounds = (
        (raw.request_line + 1, raw.line_count),
        (raw.access_count, lib.MS_ACCESSES),
        (raw.step_register, 7),
        (max(raw.n, raw.z, raw.v, raw.c, *raw.old_codes, raw.float_due), 1),
        (octal.open, 2),
        (octal.to_say, len(octal.saying)),
        (octal.said, max(octal.to_say - 1, 0)),
        (octal.last, 2),
        (octal.name, 8),
        (octal.address, 8 if 2 in (octal.open, octal.last) else (1 << octal.bits) - 1),
        (octal.keyboard + 1, raw.ring_count),
        (octal.arrival + 1, raw.timer_count),
    )
    if any(not 0 <= value <= most for value, most in bounds) or raw.event_ns != lib.MS_NEVER:
        raise ValueError("a number lies outside")
    for device in devices:
        _check_device(raw, device)


def _check_device(raw: Any, device: Any) -> None:
    numbers = (
        *((number, raw.register_count) for number, _ in device.registers.values()),
        *((number, raw.ring_count) for number in device.rings.values()),
        *((number, raw.line_count) for number in device.lines.values()),
        *((number, raw.timer_count) for number in (*device.finishes, *device.timers.values())),
    )
    if any(not 0 <= number < count for number, count in numbers):
        raise ValueError("the name of a part leads outside")
