"""Tables and their rows: a row is a list of cells under columns, or a mapping for what happens once."""

from __future__ import annotations

import re
from dataclasses import dataclass

from minisim.problems import nearest
from minisim.trials import assembly
from minisim.trials.keys import KINDS, Key, TrialKeyError, Value, key_of, parse, spellings
from minisim.trials.model import Code, Line, Setting
from minisim.trials.plan import Plan
from minisim.trials.scope import FIELDS, Problems, Scope, read_field, text_of, unbuilt_modules
from minisim.trials.static import STATIC_LOOK
from minisim.yamltext import Mapping, Node, Scalar, Sequence

TABLE_KEYS = ("id", "given", "then", "columns-first", "rows", *FIELDS)
ROW_KEYS = ("id", "given", "then", *FIELDS)
ID = "[a-z0-9]+(-[a-z0-9]+)*"
_REQUIRED = {
    "f-words": ("float",),
    "f-chopped": ("float",),
    "d-words": ("float",),
    "bytes": ("decimal", "digits", "decimal-type"),
    "frames": (),
    "physical": ("virtual",),
}
"""What `given` must say where `then` has these."""

_WITHOUT_PROGRAM = frozenset(_REQUIRED)


@dataclass(frozen=True, slots=True)
class Row:
    """One row as read."""

    node: Node
    table: str
    id: str
    about: str
    row: str
    line: Line


@dataclass(slots=True)
class _Values:
    """What a row sets up and expects, as it is read."""

    given: dict[str, Setting]
    then: dict[str, Setting]


def read_table(table: Mapping, scope: Scope, problems: Problems) -> list[Row]:
    """The rows of a table; what is wrong goes to `problems`."""
    for key, node in table:
        if key.text not in TABLE_KEYS:
            problems.unknown(key, "key", TABLE_KEYS)
        elif key.text in FIELDS:
            scope = read_field(scope, key.text, node, problems)
    _either_program(table, problems)
    name = _id(table, problems, "table")
    shared = _Values({}, {})
    columns = _first_columns(table, problems)
    sides = {side: _columns(table, side, shared, problems) for side in ("given", "then")}
    rows = table.get("rows")
    if not isinstance(rows, Sequence):
        problems.say(rows or table, f'table "{name}": rows, a list, are expected')
        return []
    found = [_row(row, name, scope, shared, columns, sides, problems) for row in rows]
    return [row for row in found if row is not None]


def _id(node: Mapping, problems: Problems, what: str) -> str:
    value = node.get("id")
    if value is None:
        problems.say(node, f'{what}: key "id" is missing')
        return "?"
    return _checked_id(value, problems, what)


def _checked_id(value: Node, problems: Problems, what: str) -> str:
    text = text_of(value, problems, f"id of the {what}")
    if text is not None and not re.fullmatch(ID, text):
        problems.say(value, f'id of the {what}: "{text}" is no id; small letters, digits and - between them')
    return text or "?"


def _either_program(node: Mapping, problems: Problems) -> None:
    if "program" in node and "words" in node:
        problems.say(node.key("words") or node, "either program or words, not both")


def _first_columns(table: Mapping, problems: Problems) -> list[str]:
    node = table.get("columns-first")
    if node is None:
        return []
    names: list[str] = []
    for item in node if isinstance(node, Sequence) else (node,):
        if isinstance(item, Scalar) and item.text in FIELDS:
            names.append(item.text)
        elif isinstance(item, Scalar):
            problems.unknown(item, "column", FIELDS)
            names.append("")
        else:
            problems.say(item, f"columns-first: a text is expected, not a {item.kind}")
    return names


def _columns(table: Mapping, side: str, shared: _Values, problems: Problems) -> list[Key | None]:
    """The columns of one side.  A mapping instead of a list gives every row the same values and makes no columns."""
    node = table.get(side)
    if node is None:
        return []
    if isinstance(node, Mapping):
        _settings(node, side, shared, problems)
        return []
    if not isinstance(node, Sequence):
        problems.say(node, f"{side}: a list of columns is expected, or a mapping of values for all rows")
        return []
    return [_key(item, side, problems) for item in node]


def _key(node: Node, side: str, problems: Problems) -> Key | None:
    text = text_of(node, problems, f"column of {side}")
    if text is None:
        return None
    try:
        key = key_of(text)
    except TrialKeyError as error:
        problems.say(node, f"{side}: {error}{_instead(text, side)}")
        return None
    if key.kind.side not in (side, "both"):
        problems.say(node, f'{side}: "{text}" stands only in {key.kind.side}')
        return None
    return key


def _instead(text: str, side: str) -> str:
    """What could stand there, if this is no key at all."""
    if any(re.match(kind.shape.partition("(")[0], text) for kind in KINDS if " (" in kind.shape):
        return ""
    allowed = spellings(side)
    return f"{nearest(text, allowed)} (allowed: {', '.join(allowed)})"


# --- rows -------------------------------------------------------------------------------------------------------------


def _row(
    node: Node,
    table: str,
    scope: Scope,
    shared: _Values,
    columns: list[str],
    sides: dict[str, list[Key | None]],
    problems: Problems,
) -> Row | None:
    values = _Values(dict(shared.given), dict(shared.then))
    if isinstance(node, Sequence):
        scope, name = _list_row(node, scope, values, columns, sides, problems)
    elif isinstance(node, Mapping):
        scope, name = _mapping_row(node, scope, values, problems)
    else:
        problems.say(node, "a row is a list of cells, or a mapping")
        return None
    line = _line(node, scope, values, problems)
    return None if line is None else Row(node, table, name, scope.about, scope.row, line)


def _list_row(
    node: Sequence,
    scope: Scope,
    values: _Values,
    columns: list[str],
    sides: dict[str, list[Key | None]],
    problems: Problems,
) -> tuple[Scope, str]:
    cells = node.items
    wanted = 1 + len(columns) + len(sides["given"]) + len(sides["then"])
    if len(cells) != wanted:
        problems.say(node, f"the row has {len(cells)} cells; id and columns make {wanted}")
        cells = cells[:wanted]
    name = _checked_id(cells[0], problems, "row") if cells else "?"
    rest = cells[1:]
    for column, cell in zip(columns, rest, strict=False):
        if column and not _is_blank(cell, column):
            scope = read_field(scope, column, cell, problems)
    rest = rest[len(columns) :]
    for side, cell_of_side in (("given", rest), ("then", rest[len(sides["given"]) :])):
        for key, cell in zip(sides[side], cell_of_side, strict=False):
            if key is not None:
                _setting(key, cell, side, values, problems)
    return scope, name


def _is_blank(cell: Node, column: str) -> bool:
    """Nothing stands there, so what the table says holds; for a source, null is an answer of its own."""
    return isinstance(cell, Scalar) and cell.empty and not (column == "source" and cell.text)


def _mapping_row(node: Mapping, scope: Scope, values: _Values, problems: Problems) -> tuple[Scope, str]:
    for key, value in node:
        if key.text not in ROW_KEYS:
            problems.unknown(key, "key", ROW_KEYS)
        elif key.text in FIELDS:
            scope = read_field(scope, key.text, value, problems)
        elif key.text != "id":
            _settings(value, key.text, values, problems)
    _either_program(node, problems)
    return scope, _id(node, problems, "row")


def _settings(node: Node, side: str, values: _Values, problems: Problems) -> None:
    """A mapping of keys and values into one side."""
    if not isinstance(node, Mapping):
        if not (isinstance(node, Scalar) and node.empty):
            problems.say(node, f"{side}: a mapping of keys and values is expected, not a {node.kind}")
        return
    for name, value in node:
        key = _key(name, side, problems)
        if key is not None:
            _setting(key, value, side, values, problems)


def _setting(key: Key, cell: Node, side: str, values: _Values, problems: Problems) -> None:
    """One value; an empty cell says nothing, but for `options`, where it says: none."""
    into = values.given if side == "given" else values.then
    if not isinstance(cell, Scalar):
        problems.say(cell, f"{side} {key.text}: a text is expected, not a {cell.kind}")
        return
    blank = not cell.text.strip() and key.kind.name != "options"
    if blank or (cell.text in ("null", "~") and not cell.quoted):
        return
    try:
        value: Value = parse(key, cell.text, side)
    except TrialKeyError as error:
        problems.say(cell, f'{side} {key.text}: "{cell.text}": {error}')
        return
    into[_sort(key)] = (key, value)


def _sort(key: Key) -> str:
    """Two spellings of one thing are one key."""
    return f"{key.kind.name} {key.number:o}"


def _line(node: Node, scope: Scope, values: _Values, problems: Problems) -> Line | None:
    """The row as a value, if nothing is missing."""
    evidence, missing = scope.evidence, []
    if scope.sources is None:
        missing.append("source (a key of the bibliography, or null)")
    if evidence is None:
        missing.append("evidence")
    if not scope.needs:
        missing.append("needs")
    if not scope.about:
        missing.append("about")
    if missing or evidence is None:
        problems.say(node, f"neither the row nor its table nor the file says {', '.join(missing)}")
        return None
    then = tuple(values.then.values())
    code = _code(node, scope, {key.kind.name for key, _ in then}, problems)
    line = Line(
        mark=node.mark,
        profiles=scope.profiles,
        evidence=evidence,
        sources=scope.sources or (),
        place=scope.place,
        needs=scope.needs,
        without=scope.without,
        code=code,
        steps=scope.steps,
        given=tuple(values.given.values()),
        then=then,
        mask=scope.mask,
        note=scope.note,
    )
    return line if _is_whole(line, node, problems) else None


def _is_whole(line: Line, node: Node, problems: Problems) -> bool:
    """Is there all that the keys of `then` need?"""
    given, before = {key.kind.name for key, _ in line.given}, len(problems.found)
    for key, want in line.then:
        missing = [name for name in _REQUIRED.get(key.kind.name, ()) if name not in given]
        if missing:
            problems.say(node, f"then {key.text}: given has no {', '.join(missing)}")
        elif key.kind.name == "frames" and not given & {"tape-address", "tape-start"}:
            problems.say(node, "then frames: given has neither tape-address nor tape-start")
        elif key.kind.name == "physical" and line.code is not None:
            problems.say(node, "then physical: the case reads the virtual address itself; it has no program")
        elif key.kind.name == "encoding" and line.code is not None and not line.code.text:
            problems.say(node, "then encoding: the program is written as words; the assembler needs text")
        elif key.kind.name in STATIC_LOOK and want is not None:
            _try(line, key, node, problems)
    return len(problems.found) == before


def _try(line: Line, key: Key, node: Node, problems: Problems) -> None:
    """A number may not fit its format."""
    try:
        STATIC_LOOK[key.kind.name](Plan(line))
    except ValueError as error:
        problems.say(node, f"then {key.text}: {error}")


def _code(node: Node, scope: Scope, kinds: set[str], problems: Problems) -> Code | None:
    if scope.program is None:
        if not kinds & _WITHOUT_PROGRAM:
            problems.say(node, "no program: neither the row nor its table has program or words")
        return None
    if isinstance(scope.program, tuple):
        return assembly.of_words(scope.program, scope.at)
    try:
        return assembly.of_text(scope.program, scope.at)
    except TrialKeyError as error:
        if set(scope.needs) & unbuilt_modules():  # its words mean nothing yet; no machine will run it
            return Code(scope.at, (), scope.program)
        problems.say(scope.program_node or node, f"program {error}")
        return None


