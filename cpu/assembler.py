"""The assembler: source text to bytes at addresses, in two passes.

The first pass reads every line and gives it an address; the size of a line never depends on the value of a symbol, so
the second pass, which fills in the values, finds every label where the first one put it.  Everything wrong in all
sources is reported together.  Upper and lower case are the same in names; mnemonics and the forms of their operands
come from the instruction table of the core.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from minisim.cpu.expressions import Expression, Symbol, evaluate, parse
from minisim.cpu.instructions import parse_instruction
from minisim.cpu.listing import ListingLine
from minisim.cpu.operands import accumulator_of, register_of
from minisim.cpu.scanner import LineError, PlaceError, Scanner, shown
from minisim.cpu.statements import DATA, DIRECTIVES, EVEN, Filler, Statement, want_even
from minisim.findings import Mark
from minisim.problems import InputError, Problem, nearest

SPACE = 0o200000  # bytes a program can address
START = "START"  # the label at which a program begins
MOST_PROBLEMS = 200  # after so many a source is read no further


@dataclass(frozen=True, slots=True)
class Block:
    """Bytes that lie together, low byte of each word first."""

    address: int
    data: bytes


@dataclass(frozen=True, slots=True)
class Program:
    """An assembled program: blocks by address, the address of the label `start` (or None), symbols, listing."""

    blocks: tuple[Block, ...]
    start: int | None
    symbols: dict[str, int]
    listing: tuple[ListingLine, ...]


@dataclass(slots=True)
class _Line:
    order: int  # among all lines of all sources
    mark: Mark
    text: str
    address: int | None = None
    statement: Statement | None = None
    statement_column: int = 1
    symbol: str = ""
    data: bytes = b""


@dataclass(slots=True)
class _Definition:
    """A symbol: an address, or an expression that is worked out when it is first asked for."""

    spelling: str
    mark: Mark
    value: int | None
    expression: Expression | None = None
    here: int = 0
    in_work: bool = False


@dataclass(slots=True)
class _Run:
    lines: list[_Line] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    symbols: dict[tuple[str, int], _Definition] = field(default_factory=dict)
    at: int = 0
    scope: int = 1


def assemble(source: str | Sequence[tuple[str, str]]) -> Program:
    """Assemble one text, or several as (name, text) in order, as if they were one.

    Raises InputError with every problem of every line; the place names the file, the line and the column.
    """
    sources = [("source", source)] if isinstance(source, str) else source
    run = _Run()
    for name, text in sources:
        if len(run.problems) < MOST_PROBLEMS:
            _read_source(run, name, text)
    if len(run.problems) >= MOST_PROBLEMS:
        raise InputError(run.problems)
    _fill(run)
    blocks = _blocks(run)
    if run.problems:
        raise InputError(run.problems)
    start = run.symbols.get((START, 0))
    symbols = {each.spelling: _number(run, each) for (_, scope), each in run.symbols.items() if scope == 0}
    return Program(blocks, None if start is None else _number(run, start), symbols, tuple(_listing(run)))


# --- first pass ------------------------------------------------------------------------------------------------------


def _read_source(run: _Run, name: str, text: str) -> None:
    run.scope += 1  # local labels end with their file
    for number, line_text in enumerate(text.splitlines(), 1):
        line = _Line(len(run.lines), Mark(name, number, 1), line_text.rstrip())
        run.lines.append(line)
        try:
            _read_line(run, line)
        except LineError as error:
            _complain(run, line.mark, error)
        if len(run.problems) >= MOST_PROBLEMS:
            _complain(run, line.mark, LineError(len(line.text) + 1, "too much is wrong: the rest is not read"))
            return


def _complain(run: _Run, line: Mark, error: LineError) -> None:
    run.problems.append(Problem(Mark(line.file, line.line, error.column), error.message))


def _read_line(run: _Run, line: _Line) -> None:
    scanner = Scanner(line.text)
    while _take_label(run, line, scanner):
        pass
    if scanner.at_end:
        return
    token = scanner.peek()
    line.statement_column = token.column
    if token.text == ".":
        _move(run, line, scanner)
    elif token.kind == "directive":
        _read_directive(run, line, scanner)
    elif token.kind == "name":
        _read_name(run, line, scanner)
    else:
        raise LineError(token.column, f"a label, a mnemonic or a directive is wanted here, not {shown(token)}")
    if not scanner.at_end:
        raise LineError(scanner.column, f"{shown(scanner.peek())} is more than the statement takes")


def _take_label(run: _Run, line: _Line, scanner: Scanner) -> bool:
    before, token = scanner.position(), scanner.peek()
    if token.kind not in ("name", "local"):
        return False
    scanner.take()
    if not scanner.take_sign(":"):
        scanner.back(before)
        return False
    local = token.kind == "local"
    if not local:
        run.scope += 1
    line.address = run.at
    mark = Mark(line.mark.file, line.mark.line, token.column)
    _define(run, (token.text.upper(), run.scope if local else 0), _Definition(token.text, mark, run.at))
    return True


def _define(run: _Run, key: tuple[str, int], definition: _Definition) -> None:
    if register_of(definition.spelling) is not None:
        raise LineError(definition.mark.column, f"{definition.spelling} is a register and can't be a symbol")
    if accumulator_of(definition.spelling) is not None:
        raise LineError(definition.mark.column, f"{definition.spelling} is an accumulator and can't be a symbol")
    first = run.symbols.setdefault(key, definition)
    if first is not definition:
        raise LineError(definition.mark.column, f"{definition.spelling} is defined already, at {first.mark}")


def _read_name(run: _Run, line: _Line, scanner: Scanner) -> None:
    before, token = scanner.position(), scanner.take()
    if scanner.take_sign("="):
        mark = Mark(line.mark.file, line.mark.line, token.column)
        definition = _Definition(token.text, mark, 0)  # 0 stands while the expression is being read
        _define(run, (token.text.upper(), 0), definition)
        definition.expression, definition.here = parse(scanner, run.scope), run.at
        definition.value, line.symbol = None, token.text.upper()
        return
    scanner.back(before)
    _place(run, line, parse_instruction(scanner, run.scope))


def _read_directive(run: _Run, line: _Line, scanner: Scanner) -> None:
    token = scanner.take()
    name = token.text.lower()
    if name == EVEN:
        if run.at & 1:
            _place(run, line, Filler())
    elif name in DATA:
        _place(run, line, DATA[name](scanner, run.scope))
    else:
        raise LineError(token.column, f"there is no directive {token.text}{nearest(name, DIRECTIVES)}")


def _place(run: _Run, line: _Line, statement: Statement) -> None:
    line.address, line.statement = run.at, statement
    run.at += statement.size
    if run.at > SPACE:
        run.at %= SPACE
        raise LineError(line.statement_column, "the program runs past the last address, 177777")


def _move(run: _Run, line: _Line, scanner: Scanner) -> None:
    """`. = expression`: go on at another address; its symbols must be known by now."""
    scanner.take()
    if not scanner.take_sign("="):
        raise LineError(scanner.column, f'"=" is wanted after ".", not {shown(scanner.peek())}')
    column = scanner.column
    value = evaluate(parse(scanner, run.scope), run.at, lambda symbol: _so_far(run, symbol))
    if not 0 <= value < SPACE:
        raise LineError(column, f"{value:o} is not an address (0 to 177777)")
    run.at = line.address = value


# --- second pass -----------------------------------------------------------------------------------------------------


def _look_up(run: _Run, symbol: Symbol) -> int:
    definition = run.symbols.get((symbol.name.upper(), symbol.scope))
    if definition is not None:
        return _number(run, definition, symbol.column)
    if register_of(symbol.name) is not None:
        raise LineError(symbol.column, f"{symbol.name} is a register and has no value")
    if symbol.scope:
        raise LineError(symbol.column, f"there is no local label {symbol.name} between the labels around this line")
    known = [each.spelling for (_, scope), each in run.symbols.items() if scope == 0]
    raise LineError(symbol.column, f"{symbol.name} is not defined{nearest(symbol.name, known)}")


def _number(run: _Run, definition: _Definition, column: int = 1) -> int:
    """The value of a symbol; what is wrong with its expression is told once, at its own line, and 0 stands for it."""
    if definition.value is None:
        assert definition.expression is not None
        if definition.in_work:
            raise LineError(column, f"{definition.spelling} is defined by itself")
        definition.in_work = True
        try:
            definition.value = evaluate(definition.expression, definition.here, lambda each: _look_up(run, each))
        except LineError as error:
            definition.value = 0
            _complain(run, definition.mark, error)
        definition.in_work = False
    return definition.value


def _so_far(run: _Run, symbol: Symbol) -> int:
    """The value of a symbol in the first pass, where only what stands above is known."""
    definition = run.symbols.get((symbol.name.upper(), symbol.scope))
    late = LineError(
        symbol.column, f"{symbol.name} is not known yet: an address to go on at needs what stands above it"
    )
    if definition is None or definition.in_work:
        raise late
    if definition.value is not None:
        return definition.value
    assert definition.expression is not None
    definition.in_work = True
    try:
        return evaluate(definition.expression, definition.here, lambda each: _so_far(run, each))
    except LineError:
        raise late from None
    finally:
        definition.in_work = False


def _fill(run: _Run) -> None:
    whole = not run.problems  # else addresses are not what they will be
    for line in run.lines:
        try:
            _fill_line(run, line)
        except LineError as error:
            if whole or not error.by_address:
                _complain(run, line.mark, error)


def _fill_line(run: _Run, line: _Line) -> None:
    if line.symbol:
        _number(run, run.symbols[line.symbol, 0])
    if line.statement is None or line.address is None:
        return
    if line.statement.in_words:
        want_even(line.address, line.statement_column)
    at = line.address
    line.data = line.statement.data(
        at, lambda expression: evaluate(expression, at, lambda symbol: _look_up(run, symbol))
    )


def _blocks(run: _Run) -> tuple[Block, ...]:
    placed = sorted((each for each in run.lines if each.data), key=lambda each: (each.address or 0, each.order))
    joined: list[tuple[int, bytearray]] = []
    before: _Line | None = None
    for line in placed:
        assert line.address is not None
        if before is not None and before.address is not None and before.address + len(before.data) > line.address:
            first, second = sorted((before, line), key=lambda each: each.order)
            text = f"{max(before.address, line.address):06o} is filled already, by {first.mark.file}:{first.mark.line}"
            _complain(run, second.mark, PlaceError(second.statement_column, text))
        elif joined and joined[-1][0] + len(joined[-1][1]) == line.address:
            joined[-1][1].extend(line.data)
        else:
            joined.append((line.address, bytearray(line.data)))
        before = line
    return tuple(Block(address, bytes(data)) for address, data in joined)


def _listing(run: _Run) -> Iterable[ListingLine]:
    for line in run.lines:
        value = run.symbols[line.symbol, 0].value if line.symbol else None
        in_words = line.statement is not None and line.statement.in_words
        yield ListingLine(line.mark.file, line.mark.line, line.address, line.data, in_words, value, line.text)


def words_of(block: Block) -> list[int]:
    """The words of a block; a last odd byte is filled with zeros."""
    data = block.data + b"\0" * (len(block.data) & 1)
    return [int.from_bytes(data[i : i + 2], "little") for i in range(0, len(data), 2)]
