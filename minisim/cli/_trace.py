"""Writing a run down instruction by instruction: the part of `minisim boot` for --trace and --trace-words."""

from __future__ import annotations

import argparse
import contextlib
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, TYPE_CHECKING

from minisim.findings import Mark
from minisim.problems import InputError, Problem

if TYPE_CHECKING:
    from minisim.machine.machine import Machine
    from minisim.machine.records import Stop
    from minisim.trace.writer import Tracer

OUTPUT = "-"
MOST = 1_000_000  # instructions, some 250 MB


def add_options(parser: argparse.ArgumentParser, count: Callable[[str], int]) -> None:
    """--trace and its like; `count` reads a decimal count."""
    trace = "write every instruction into a new file as a line of JSON (minisim schema trace); - is the output"
    words = "the same for reading: one sentence for each instruction"
    after = "begin the trace after so many instructions, decimal"
    most = f"so many instructions at most, decimal ({MOST} if nothing is said); the run goes on without the trace"
    parser.add_argument("--trace", metavar="FILE", help=trace)
    parser.add_argument("--trace-words", metavar="FILE", help=words)
    parser.add_argument("--trace-after", metavar="INSTRUCTIONS", type=count, help=after)
    parser.add_argument("--trace-count", metavar="INSTRUCTIONS", type=count, help=most)


def takes_output(arguments: argparse.Namespace) -> bool:
    """Does a trace go to the output?  What the guest prints goes to the error output then."""
    return OUTPUT in (arguments.trace, arguments.trace_words)


def is_traced(arguments: argparse.Namespace) -> bool:
    """Is a trace asked for?"""
    return (arguments.trace, arguments.trace_words) != (None, None)


def refusal(arguments: argparse.Namespace) -> str:
    """Why these options can't go together; empty: they can."""
    if not is_traced(arguments):
        given = (arguments.trace_after, arguments.trace_count) != (None, None)
        return "--trace-after and --trace-count go with --trace or --trace-words; give one of them" if given else ""
    if takes_output(arguments) and arguments.json:
        return "--json and a trace can't both go to the output; name a file for the trace"
    if arguments.trace == arguments.trace_words:
        return "--trace and --trace-words can't both go to the same place"
    return ""


@contextlib.contextmanager
def traced(
    machine: Machine, arguments: argparse.Namespace, ended: Callable[[Stop], None] = lambda stop: None
) -> Iterator[Callable[[Stop], None]]:
    """Trace until the end is told, which is passed on to `ended`; without the options nothing is traced.

    InputError: a file can't be made, or took no more; then the run has gone on to its end.
    """
    paths = [path for path in (arguments.trace, arguments.trace_words) if path is not None]
    if not paths:
        yield ended
        return
    from minisim.trace.writer import Tracer

    with contextlib.ExitStack() as stack:
        files = {path: stack.enter_context(_opened(path)) for path in paths}
        tracer = Tracer(
            machine,
            files.get(arguments.trace),
            words=files.get(arguments.trace_words),
            after=arguments.trace_after or 0,
            count=MOST if arguments.trace_count is None else arguments.trace_count,
        )
        with tracer.attached():
            yield lambda stop: _end(tracer, stop, ended)
        _tell(tracer, paths)
        if tracer.problem is not None:
            raise _refused(paths[0], f"the trace ends after {tracer.lines} instructions: {_reason(tracer.problem)}")


def _end(tracer: Tracer, stop: Stop, ended: Callable[[Stop], None]) -> None:
    ended(stop)
    tracer.end(stop)


def _tell(tracer: Tracer, paths: list[str]) -> None:
    """How much was written, below everything else."""
    sys.stdout.flush()
    if tracer.problem is None:
        full = ", as many as were asked for; the run went on without the trace" if tracer.is_full else ""
        names = " and ".join("the output" if path == OUTPUT else path for path in paths)
        print(f"{names}: {tracer.lines} instructions traced{full}", file=sys.stderr)


@contextlib.contextmanager
def _opened(path: str) -> Iterator[IO[str]]:
    """A new file, or the output; never over an earlier one.  InputError: it can't be made."""
    if path == OUTPUT:
        yield sys.stdout
        return
    try:
        mode = "w" if Path(path).exists() and not Path(path).is_file() else "x"  # a pipe or a device is there already
        stream = Path(path).open(mode, encoding="ascii", errors="backslashreplace", newline="\n")  # noqa: SIM115  closed below
    except (OSError, ValueError) as error:
        there = "there is such a file already; name a new one"
        why = there if isinstance(error, FileExistsError) else _reason(error)
        raise _refused(path, f"no trace can be made here: {why}") from None
    try:
        yield stream
    finally:
        with contextlib.suppress(OSError):  # a full disk was told already
            stream.close()


def _reason(error: OSError | ValueError) -> str:
    reason = getattr(error, "strerror", None) or str(error)
    return reason[:1].lower() + reason[1:]


def _refused(path: str, message: str) -> InputError:
    return InputError([Problem(Mark(path, 1, 1), message)])
