"""`minisim boot`: switch a planned machine on and talk to it."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from minisim.cli._help import MEDIA_ROOT
from minisim.cli._trace import add_options as add_trace_options
from minisim.cli._trace import is_traced, refusal, takes_output, traced

if TYPE_CHECKING:
    from minisim.bench.bench import Bench
    from minisim.loadout.model import Loadout
    from minisim.machine.errors import NotBuildableError
    from minisim.machine.machine import Machine
    from minisim.machine.records import Stop
    from minisim.machine.session import Session

HELP = "switch a machine on: power-up, boot ROM, tape, console"
EXIT = """At a terminal, if the machine has a console line, and without --until, --limit, --feed, --type and --json,
the console is yours: every key goes to the machine, Ctrl-] opens the bench (help lists its words). A processor that
halts goes on at its octal console or its front panel, if it has one. Else the machine runs by itself; what it prints
goes to the output, our own lines go to the error output; a processor with an octal console goes there when it halts if
not all that was typed was for the program. Exit code: 0 the text of --until came, or without --until the program
halted by itself or you left; 1 the limit or a halt came before it; 2 the input can't be used, or findings forbid to
build the machine; 130 interrupted."""
DEFAULT_LIMIT = 1_000_000_000
TICK_NS = 20_000_000
PROGRESS_AFTER = 2.0  # seconds of silence before a line of progress, on a terminal
ESCAPES = {"r": b"\r", "n": b"\n", "t": b"\t", "\\": b"\\"}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.epilog = EXIT
    parser.add_argument("loadout", metavar="LOADOUT", help="the loadout file")
    typed = r"type a text first; \r \n \t \\ and \ooo (octal) stand for their characters"
    limit = f"stop after so many instructions, decimal ({DEFAULT_LIMIT} if nothing is said)"
    pace = "real: as fast as the original, the usual at a console; full: as fast as it goes, the usual otherwise"
    bits = "show the eighth bit of what is printed (else it is cleared)"
    allow = "build the machine although findings are faults; damage is never allowed"
    parser.add_argument("--feed", metavar="FILE", help="type the bytes of a file at the console (- is the input)")
    parser.add_argument("--type", metavar="TEXT", dest="typed", type=unescaped, help=typed)
    parser.add_argument(
        "--until", metavar="TEXT", type=text_to_wait_for, help="stop when the console has printed this text"
    )
    parser.add_argument("--limit", metavar="INSTRUCTIONS", type=count, help=limit)
    parser.add_argument("--pace", choices=("real", "full"), help=pace)
    parser.add_argument("--eight-bits", action="store_true", help=bits)
    parser.add_argument("--allow", choices=("fault",), action="append", default=[], help=allow)
    record = "write down everything that comes in from outside, with the time, so that the run can be repeated"
    replay = "repeat a recorded run on copies of its media, and compare the state at its end with the recorded one"
    through = "write into the images themselves; else what the machine writes is kept apart (minisim media)"
    bench = "start at the bench, before the first instruction: look, change, one instruction at a time, back in time"
    plain = "the bench in lines: for screen readers, pipes, simple terminals"
    parser.add_argument("--bench", action="store_true", help=bench)
    parser.add_argument("--plain", action="store_true", help=plain)
    parser.add_argument("--record", metavar="FILE", help=record)
    parser.add_argument("--replay", metavar="FILE", help=replay)
    add_trace_options(parser, count)
    parser.add_argument("--write-through", action="store_true", help=through)
    parser.add_argument("--core", choices=("fast", "reference"), default="fast", help="which of the two cores runs it")
    parser.add_argument("--all", action="store_true", help="list everything that the models leave out")
    parser.add_argument("--media-root", metavar="FOLDER", help=MEDIA_ROOT)
    parser.add_argument(
        "--json", action="store_true", help="print what happened as JSON, with what the console printed"
    )


def count(text: str) -> int:
    """A decimal count of instructions."""
    digits = text.removesuffix(".").replace("_", "")
    if not digits.isascii() or not digits.isdigit() or len(digits) > 18:
        raise argparse.ArgumentTypeError(f'"{text}" is no decimal count of instructions')
    return int(digits)


def run(arguments: argparse.Namespace) -> int:
    """Build, boot, report."""
    from minisim.loadout.reader import read_loadout

    if wrong := wrong_at_bench(arguments):
        print(f"minisim boot: {wrong}", file=sys.stderr)
        return 2
    if why := refusal(arguments):
        print(why, file=sys.stderr)
        return 2
    typed = to_type(arguments)
    loadout = read_loadout(arguments.loadout, media_root=arguments.media_root)
    if arguments.replay is not None:
        from minisim.cli._replay import run_again

        return run_again(loadout, arguments)
    machine = built(loadout, arguments)
    if machine is None:
        return 2
    with machine:
        machine.core = arguments.core
        return switch_on(loadout, machine, arguments, typed)


def switch_on(loadout: Loadout, machine: Machine, arguments: argparse.Namespace, typed: bytes) -> int:
    """Run it, with a recording where one is asked for."""
    from minisim.cli._replay import recorded

    if not can_talk(arguments, machine):
        return 2
    if machine.layout.start is None and not machine.at_octal_console and not arguments.bench:
        print(f"{loadout.file}: {machine.layout.place}: {machine.layout.start_how}", file=sys.stderr)
        return 2
    with recorded(machine, arguments.record) as ended, traced(machine, arguments, ended) as end:
        if arguments.bench or (is_interactive(arguments) and machine.layout.console is not None):
            if typed:
                machine.console.feed(typed)
            return talk(loadout, machine, arguments, end)
        return by_itself(loadout, machine, arguments, typed, end)


def wrong_at_bench(arguments: argparse.Namespace) -> str:
    """What can't stand beside --bench; empty where all can."""
    if not arguments.bench:
        return ""
    for name in ("until", "limit", "replay"):
        if getattr(arguments, name) is not None:
            return f"--bench and --{name} do not go together: at the bench, write until or run"
    if takes_output(arguments):
        return "the bench has the output: name a file for the trace"
    return "--bench and --json do not go together" if arguments.json else ""


def is_interactive(arguments: argparse.Namespace) -> bool:
    """A person at a terminal, and no option that asks for a run by itself."""
    return has_no_orders(arguments) and sys.stdin.isatty() and sys.stdout.isatty()


def has_no_orders(arguments: argparse.Namespace) -> bool:
    """None of the options that ask for a run by itself."""
    options = (arguments.until, arguments.limit, arguments.feed, arguments.typed, arguments.replay)
    asks = arguments.json or takes_output(arguments)
    return not asks and options == (None,) * len(options)


def built(
    loadout: Loadout, arguments: argparse.Namespace, media: Mapping[str, Mapping[str, Any]] | None = None
) -> Machine | None:
    """The machine, or None after the findings that forbid it were printed as `minisim check` prints them."""
    from minisim.machine.build import build
    from minisim.machine.errors import NotBuildableError

    try:
        return build(loadout, allow=arguments.allow, write_through=arguments.write_through, recorded=media)
    except NotBuildableError as error:
        tell_what_forbids(error)
        return None


def tell_what_forbids(error: NotBuildableError) -> None:
    """The findings that forbid to build a machine, as `minisim check` prints them."""
    from minisim.formatters import finding_lines
    from minisim.rules._cautions import CAUTION

    for finding in error.findings:
        print("\n".join(finding_lines(finding)), file=sys.stderr)
    print(error, file=sys.stderr)
    if error.findings:
        print(CAUTION, file=sys.stderr)


def heading(loadout: Loadout, machine: Machine) -> str:
    """The one line before the guest: loadout, hash, profile."""
    return f"{loadout.file}: {loadout.name} ({loadout.sha256[:12]}), processor {machine.profile}"


def left_out(machine: Machine, whole: bool) -> Iterator[str]:
    """What is not modelled: of the loadout one line each, of processor and devices one line in all, or all of it."""
    yield from machine.notes
    if whole:
        yield from (f"{name}, not modelled: {one}" for name, many in machine.not_modelled.items() for one in many)
    else:
        count = sum(map(len, machine.not_modelled.values()))
        yield f"{count} things are not modelled of {', '.join(machine.not_modelled)}; --all lists them."


def tell_what_lies_apart(machine: Machine) -> None:
    """Where writes lie that are kept apart from their images."""
    for sentence in kept_apart(machine):
        say(sentence)


def kept_apart(machine: Machine) -> Iterator[str]:
    """One line for each medium that was written to and not changed itself."""
    from minisim.media import Medium, Writing

    for place, drive in machine.drives.items():
        medium = drive.medium
        if isinstance(medium, Medium) and medium.writing is Writing.APART and medium.changed:
            count = len(medium.changed)
            sectors = "1 sector lies" if count == 1 else f"{count} sectors lie"
            yield f"{place}: {sectors} apart from {medium.path} (minisim media keep, or drop)"


def say(text: str) -> None:
    """A line of ours; it must not overtake the guest's output."""
    sys.stdout.flush()
    print(text, file=sys.stderr, flush=True)


# --- at a terminal ----------------------------------------------------------------------------------------------------


def talk(loadout: Loadout, machine: Machine, arguments: argparse.Namespace, end: Callable[[Stop], None]) -> int:
    """The console is the user's, or the bench."""
    from minisim.bench.bench import Bench
    from minisim.console import come_to_present, whole_run

    say(heading(loadout, machine))
    for note in left_out(machine, arguments.all):
        say(note)
    may_go_back = arguments.record is None and not is_traced(arguments)  # the past is another machine
    bench = Bench(machine, loadout=loadout, pace=pace_of(arguments), may_go_back=may_go_back)
    try:
        stop = hold(bench, arguments)
        if note := come_to_present(bench):
            stop = whole_run(bench)
            say(note)
        end(stop)
        say(f"\n{stop}")
        for sentence in bench.machine.told:
            say(sentence)
        tell_what_lies_apart(bench.machine)
    finally:
        come_to_present(bench)  # it is not there yet where an error, or a signal, has ended it
        bench.machine.close()  # another one than at first, if it went back
    return 0


def pace_of(arguments: argparse.Namespace) -> str:
    """As fast as the original for a person at a terminal, else as fast as it goes."""
    return str(arguments.pace or ("real" if sys.stdin.isatty() else "full"))


def hold(bench: Bench, arguments: argparse.Namespace) -> Stop:
    """Console and bench, from one to the other until the user leaves; without a terminal the bench alone."""
    from minisim.bench.plain import open_bench
    from minisim.console import Conversation, whole_run

    if bench.machine.layout.console is None or not (sys.stdin.isatty() and sys.stdout.isatty()):
        open_bench(bench, plain=arguments.plain)
        return whole_run(bench)
    if not arguments.bench:
        say("Ctrl-] opens the bench.")
    conversation = Conversation(bench, eight_bits=arguments.eight_bits, plain=arguments.plain)
    return conversation.hold(at_bench=arguments.bench)


# --- by itself --------------------------------------------------------------------------------------------------------


def to_type(arguments: argparse.Namespace) -> bytes:
    """What is typed at the console: the text, then the file."""
    from minisim.cli._inputs import read_bytes, read_input

    fed = b""
    if arguments.feed is not None:
        fed = read_input() if arguments.feed == "-" else read_bytes(arguments.feed)
    return (arguments.typed or b"") + fed


def unescaped(text: str) -> bytes:
    r"""A text with \r \n \t \\ and \ooo as bytes; anything else behind a backslash is refused."""
    found, at = bytearray(), 0
    while at < len(text):
        if text[at] != "\\":
            found += text[at].encode("utf-8")
            at += 1
            continue
        digits = text[at + 1 : at + 4]
        if text[at + 1 : at + 2] in ESCAPES:
            found += ESCAPES[text[at + 1]]
            at += 2
        elif len(digits) == 3 and set(digits) <= set("01234567") and int(digits, 8) < 256:
            found.append(int(digits, 8))
            at += 4
        else:
            raise argparse.ArgumentTypeError(rf'"\{digits[:1]}" means nothing; \r \n \t \\ and \ooo do')
    return bytes(found)


def text_to_wait_for(text: str) -> str:
    """The text of --until."""
    if not text.isascii() or not 0 < len(text) <= 256:
        raise argparse.ArgumentTypeError("a text to wait for has 1 to 256 ASCII characters")
    return text


def can_talk(arguments: argparse.Namespace, machine: Machine) -> bool:
    """Is there a console line, where one is asked for?"""
    wanted = arguments.until is not None or arguments.typed is not None or arguments.feed is not None
    if not wanted or machine.layout.console is not None:
        return True
    print(f"{arguments.loadout}: this machine has no console line to type at or to wait for", file=sys.stderr)
    return False


def by_itself(
    loadout: Loadout, machine: Machine, arguments: argparse.Namespace, typed: bytes, end: Callable[[Stop], None]
) -> int:
    """Run to the end and say how it ended."""
    from minisim.machine.records import Reason, Text

    if not arguments.json:
        say(heading(loadout, machine))
        for note in left_out(machine, arguments.all):
            say(note)
    if typed:
        machine.console.feed(typed)
    conditions = [] if arguments.until is None else [Text(arguments.until)]
    limit = DEFAULT_LIMIT if arguments.limit is None else arguments.limit
    session = machine.session(limit, conditions)
    output, interrupted = Output(machine, arguments), False
    try:
        run_on(session, machine, output, arguments.pace == "real")
        if typed and has_keys_for_octal_console(session, machine):
            machine.enter_octal_console()
            run_on(session, machine, output, arguments.pace == "real")
    except KeyboardInterrupt:
        interrupted = True
    output.take()
    stop = session.stop()
    end(stop)
    wanted = Reason.HALTED if arguments.until is None else Reason.REACHED
    code = 130 if interrupted else int(stop.reason is not wanted)
    report(loadout, machine, stop, output, code)
    return code


def has_keys_for_octal_console(session: Session, machine: Machine) -> bool:
    """The processor has halted, and not all that was typed was for the program."""
    from minisim.machine.records import Reason

    halted = session.reason is Reason.HALTED and machine.console_kind == "octal console"
    return halted and machine.console.waiting() > 0


def run_on(session: Session, machine: Machine, output: Output, real: bool) -> None:
    """Slice by slice, with what was printed after each."""
    anchor = time.monotonic() - machine.time_ns / 1e9
    going = True
    while going:
        going = session.advance(until_ns=machine.time_ns + TICK_NS) if real else session.advance()
        output.take()
        if real and going:
            time.sleep(max(machine.time_ns / 1e9 + anchor - time.monotonic(), 0.0))


class Output:
    """What the guest prints: passed on as it comes, or kept for the JSON."""

    def __init__(self, machine: Machine, arguments: argparse.Namespace) -> None:
        self._machine, self._eight_bits = machine, arguments.eight_bits
        self.kept = bytearray() if arguments.json else None
        self._to = sys.stderr if takes_output(arguments) else sys.stdout
        self._last = time.monotonic()
        self.open_line = False  # the guest left the line without an end
        self._told = 0  # sentences about the drives that were passed on

    def take(self) -> None:
        """Everything since the last time."""
        from minisim.terminal import visible, write_all

        self._pass_on()
        if self._machine.layout.console is None:
            return
        shown = visible(self._machine.console.take(), self._eight_bits)
        if self.kept is not None:
            self.kept += shown
        elif shown:
            write_all(self._to.fileno(), shown)
            self.open_line = not shown.endswith(b"\n")
        self._progress(bool(shown))

    def _pass_on(self) -> None:
        """What happens to a drive is said when it happens."""
        told = self._machine.told[self._told :]
        self._told += len(told)
        for sentence in told if self.kept is None else ():
            say(("\n" if self.open_line else "") + sentence)
            self.open_line = False

    def _progress(self, printed: bool) -> None:
        """On a terminal, a silent run says now and then how far it is."""
        now = time.monotonic()
        if printed:
            self._last = now
        elif sys.stderr.isatty() and self.kept is None and now - self._last > PROGRESS_AFTER:
            self._last = now
            say(f"... {self._machine.instructions} instructions")


def report(loadout: Loadout, machine: Machine, stop: Stop, output: Output, code: int) -> None:
    """The one line on leaving, or the JSON."""
    if output.kept is None:
        say(("\n" if output.open_line else "") + f"{loadout.file}: {stop}")
        tell_what_lies_apart(machine)
        return
    print_data(as_data(loadout, machine, stop, bytes(output.kept), code))


def print_data(data: dict[str, Any]) -> None:
    """As JSON."""
    import json

    sys.stdout.write(json.dumps(data, indent=2) + "\n")


def as_data(loadout: Loadout, machine: Machine, stop: Stop, console: bytes, code: int) -> dict[str, Any]:
    """What happened, addresses and words as octal text, counts as numbers."""
    counters = machine.counters()
    return {
        "boot": 1,
        "loadout": loadout.file,
        "name": loadout.name,
        "sha256": loadout.sha256,
        "profile": machine.profile,
        "timing": machine.timing.text,
        "reason": stop.reason.value,
        "outcome": str(stop),
        "exit": code,
        "first_pc": octal(counters.first_pc or 0),
        "pc": octal(stop.pc),
        "instructions": stop.instructions,
        "time_ns": stop.time_ns,
        "reads": {octal(address): number for address, number in counters.reads.items()},
        "writes": {octal(address): number for address, number in counters.writes.items()},
        "interrupts": {f"{vector:03o}": number for vector, number in counters.interrupts.items()},
        "traps": {f"{vector:03o}": number for vector, number in counters.traps.items()},
        "never_granted": dict(counters.refused),
        "console": console.decode("latin-1"),
        "notes": list(machine.notes),
        "told": [*machine.told, *kept_apart(machine)],
        "not_modelled": {name: list(sentences) for name, sentences in machine.not_modelled.items()},
    }


def octal(word: int) -> str:
    """Six digits."""
    return f"{word:06o}"
