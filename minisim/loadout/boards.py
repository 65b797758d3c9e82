"""What stands in the slots: boards of the catalogue or described in place, with options, settings and ROMs."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from minisim.catalogue.model import BackplaneEntry, BoardEntry, RomBlock
from minisim.known import Known
from minisim.loadout.context import Context
from minisim.loadout.convert import Got, Pair, Value, complaint, quoted
from minisim.loadout.fields import Field, FieldError, listed, show_register_address
from minisim.loadout.files import check_length, check_printed_sum, check_sum
from minisim.loadout.model import Described, Placed, RomFitted, Setting
from minisim.loadout.places import PlaceText, why_not_in
from minisim.loadout.settings import field_by_name, setting_field
from minisim.problems import nearest


def placed(context: Context, pair: Pair, backplane: BackplaneEntry | None) -> Placed | None:
    """One entry of `slots:`, or None where it can't be used (the problems are written down)."""
    place: PlaceText = pair.key.value
    why = why_not_in(place, backplane) if backplane else ""
    if why:
        context.say(pair.key.mark, f"place {quoted(pair.key.text)}: {why}")
    if not isinstance(pair.value, Got):
        return None
    return _board(context, pair.key, place, pair.value)


def _board(context: Context, key: Value, place: PlaceText, got: Got) -> Placed | None:
    what = got.record("board")
    described = _described(what) if what else None
    board_id = got.text("board")
    entry = context.catalogue.board(board_id) if board_id else None
    if described:
        _refuse_beside_description(context, got)
    made = Placed(
        place=key.text,
        slots=place.slots,
        rows=place.rows,
        board=described or board_id,
        item=got.text("item"),
        order=got.texts("order"),
        options=_options(context, got, entry),
        settings=_settings(context, got, entry),
        roms=_roms(context, got, entry),
        mark=key.mark,
    )
    return made if made.board else None


# ---- described in place


def _described(got: Got) -> Described | None:
    facts = got.record("describe")
    if facts is None:
        return None
    return Described(
        height=facts.value("height", str),
        interrupts=facts.value("interrupts", bool),
        dma=facts.value("dma", bool),
        passes_grant=facts.value("passes-grant", bool),
        amps=currents(facts, "amps"),
        ac=facts.value("ac", Decimal),
        dc=facts.value("dc", Decimal),
        registers=facts.value("address", int),
        words=_number(facts, "words", "address"),
        vector=facts.value("vector", int),
        vectors=_number(facts, "vectors", "vector"),
        level=facts.value("level", int),
        mark=facts.mark,
    )


def _number(facts: Got, name: str, of: str) -> int:
    """How many: as written, else 1 where the first is given, else 0."""
    written = facts.value(name, int)
    return written if written is not None else int(of in facts)


def currents(got: Got, name: str) -> Mapping[str, Decimal]:
    """A map of rails to amperes."""
    return {pair.key.value: pair.value.value for pair in got.pairs(name) if isinstance(pair.value, Value)}


def _refuse_beside_description(context: Context, got: Got) -> None:
    for name in ("options", "settings", "roms"):
        if got.wrote(name):
            message = "a board described in place has no such key; its address and vector stand in describe"
            context.say(got.marks[name], f"{name}: {message}")


# ---- options

_WHERE = {
    "standard": "standard",
    "socket": "in a socket of its board",
    "board": "on a board of its own",
    "unknown": "how is not known",
}


def _options(context: Context, got: Got, entry: BoardEntry | None) -> tuple[str, ...]:
    values = list(got.values("options"))
    if entry is None or not values:
        return tuple(value.text for value in values)
    if entry.processor is None:
        context.say(got.marks["options"], f"options: {entry.id} takes no options; only processors do")
        return ()
    options = entry.processor.options
    allowed = [name for name, how in options.items() if how != "never"]
    for index, value in enumerate(values):
        if value.text in options and value.text not in allowed:
            can = _all([f"{name} ({_WHERE[options[name]]})" for name in allowed]) or "none"
            context.say(value.mark, f"{entry.id} never has option {quoted(value.text)}; it can have {can}")
        elif value.text not in allowed:
            hint = nearest(value.text.lower(), allowed)
            message = f"unknown option {quoted(value.text)} for {entry.id}; it can have {_all(allowed) or 'none'}{hint}"
            context.say(value.mark, message)
        elif value.text in [other.text for other in values[:index]]:
            context.say(value.mark, f"option {quoted(value.text)} stands twice")
    return tuple(value.text for value in values)


# ---- settings


def _settings(context: Context, got: Got, entry: BoardEntry | None) -> Mapping[str, Setting]:
    made: dict[str, Setting] = {}
    for pair in got.pairs("settings"):
        if not isinstance(pair.value, Value):
            continue
        setting = _setting(context, pair.key, pair.value, entry)
        if setting is not None:
            made[setting.name] = setting
    return made


def _setting(context: Context, key: Value, written: Value, entry: BoardEntry | None) -> Setting | None:
    name = key.text
    if entry is not None and name not in entry.settings:
        context.say(key.mark, _unknown_setting(name, entry))
        return None
    wanted: Field[Any] = setting_field(entry, name) if entry else field_by_name(name)
    try:
        return Setting(name, written.text, wanted.read(written.text), written.mark)
    except FieldError as error:
        context.say(written.mark, complaint(name, written.text, error))
        return None


def _unknown_setting(name: str, entry: BoardEntry) -> str:
    names = list(entry.settings)
    known = f"it has {_all(names)}" if names else "it has none"
    return f"unknown setting {quoted(name)} for {entry.id}; {known}{nearest(name.replace('_', '-').lower(), names)}"


# ---- ROMs


def _roms(context: Context, got: Got, entry: BoardEntry | None) -> tuple[RomFitted, ...]:
    if got.wrote("roms") and entry is not None and entry.rom is None:
        context.say(got.marks["roms"], f"roms: {entry.id} has no ROM sockets")
        return ()
    made: list[RomFitted] = []
    taken: set[int] = set()
    for pair in got.pairs("roms"):
        _check_socket(context, pair.key, entry.rom if entry else None, taken)
        rom = _rom(context, pair)
        if rom is not None:
            made.append(rom)
    return tuple(made)


def _check_socket(context: Context, key: Value, block: RomBlock | None, taken: set[int]) -> None:
    places = sorted({*block.windows, *(at for at, _ in block.sockets)}) if block else []
    if places and key.value not in places:
        shown = _all([show_register_address(at) for at in places])
        context.say(key.mark, f"address {quoted(key.text)}: this board has its ROM at {shown}")
    if key.value in taken:
        context.say(key.mark, f"address {quoted(key.text)}: two ROMs at {show_register_address(key.value)}")
    taken.add(key.value)


def _rom(context: Context, pair: Pair) -> RomFitted | None:
    if isinstance(pair.value, Value):
        return RomFitted(pair.key.value, pair.value.text, None, None, pair.key.mark)
    if not isinstance(pair.value, Got) or not pair.value.text("rom"):
        return None
    got = pair.value
    image = got.parts.get("image")
    path = context.file(image, "image", "the ROM image") if isinstance(image, Value) else None
    wanted = got.value("sha256", str)
    if path is not None and wanted is not None:
        why = check_sum(path, wanted)
        if why:
            context.say(got.at("sha256"), f"sha256: {why}")
    words, checksum = got.value("words", int), got.value("checksum", int)
    if path is not None:
        _check_rom(context, got, path, words, checksum)
    return RomFitted(
        pair.key.value, got.text("rom"), path, wanted, pair.key.mark, got.text("image"), words=words, checksum=checksum
    )


def _check_rom(context: Context, got: Got, path: Path, words: int | None, checksum: int | None) -> None:
    """Length and printed sum of an image; where nothing is written, the length that the catalogue knows."""
    entry = context.catalogue.rom(got.text("rom")).words
    known = int(entry.peek) if isinstance(entry, Known) and entry.peek.isdigit() else None
    if words is not None or known is not None:
        why = check_length(path, words or known or 0)
        if why:
            context.say(got.at("words" if words is not None else "image"), why)
    if checksum is not None:
        why = check_printed_sum(path, checksum)
        if why:
            context.say(got.at("checksum"), f"checksum: {why}")


def _all(words: list[str]) -> str:
    return listed(words).replace(" or ", " and ")
