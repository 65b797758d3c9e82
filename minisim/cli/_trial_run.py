"""`minisim trial run`: our own test programs, or an owner's images, on the machine of a loadout."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

from minisim.cli import _inputs
from minisim.cli._help import MEDIA_ROOT
from minisim.cli._progress import Progress

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from minisim.loadout.model import Loadout
    from minisim.trials.running.bench import Bench
    from minisim.trials.running.images import Image
    from minisim.trials.running.model import Outcome, Report
    from minisim.trials.running.owners import Wanted

EXIT = """Exit code: 0 all that ran passed, and something ran; 1 something failed, nothing ran, or an image can't be
judged yet because no sheet beside it says what its end looks like; 2 the input can't be used, or findings forbid to
build the machine; 130 interrupted."""
FORMS = ("text", "json", "junit", "tap")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.epilog = EXIT
    images = (
        "an absolute paper tape, a raw image of a disk, floppy or block tape, or an octal listing of your own; "
        "without: our own programs"
    )
    parser.add_argument("loadout", metavar="LOADOUT", help="the loadout file")
    parser.add_argument("images", nargs="*", metavar="IMAGE", help=images)
    only = "run this program of ours; several times for several"
    passes = "passes of each program, decimal (2 if nothing is said; of an image, what its sheet says)"
    limit = "stop a program after so many instructions, decimal; one that is not at its end then hangs"
    switches = "the switches, octal (our programs: 000001 if nothing is said, halt after a failure)"
    start = "where an image starts, octal, whatever it and its sheet say"
    learn = "run an image once and draft the sheet beside it (IMAGE.trial.yaml): how it starts, what its end looks like"
    output = "with --learn: write the draft there; a file that is there is never replaced"
    ready = "what a person has to do is done (a plug, a switch, a medium): run the programs that need it too"
    allow = "build the machine although findings are faults; damage is never allowed"
    parser.add_argument("--only", action="append", default=[], metavar="NAME", help=only)
    parser.add_argument("--list", action="store_true", help="say which programs there are and which can run here")
    parser.add_argument("--passes", type=_passes, metavar="N", help=passes)
    parser.add_argument("--limit", type=_count, metavar="INSTRUCTIONS", help=limit)
    parser.add_argument("--switches", type=_inputs.octal, metavar="WORD", help=switches)
    parser.add_argument("--start", type=_inputs.even_octal, metavar="ADDRESS", help=start)
    parser.add_argument("--learn", action="store_true", help=learn)
    parser.add_argument("-o", "--output", metavar="FILE", help=output)
    parser.add_argument("--format", choices=FORMS, default="text", help="form of the report")
    parser.add_argument("--json", action="store_const", const="json", dest="format", help="the same as --format json")
    parser.add_argument("--person-ready", action="store_true", help=ready)
    parser.add_argument("--core", choices=("fast", "reference"), default="fast", help="which of the two cores runs it")
    parser.add_argument("--allow", choices=("fault",), action="append", default=[], help=allow)
    parser.add_argument("--media-root", metavar="FOLDER", help=MEDIA_ROOT)


def _passes(text: str) -> int:
    count = _inputs.decimal(text)
    if not 1 <= count <= 1000:
        raise argparse.ArgumentTypeError(f"{count} is not 1 to 1000 passes")
    return count


def _count(text: str) -> int:
    from minisim.cli.boot import count

    return count(text)


def run(arguments: argparse.Namespace) -> int:
    """Build, run, report."""
    if refusal := _refusal(arguments):
        print(f"minisim trial run: {refusal}", file=sys.stderr)
        return 2
    from minisim.loadout.reader import read_loadout

    loadout = read_loadout(arguments.loadout, media_root=arguments.media_root)
    images = read_images(arguments.images)
    names = chosen(arguments.only)
    bench = None if names is None else built(loadout, arguments)
    if names is None or bench is None:
        return 2
    if arguments.learn:
        from minisim.cli._trial_learn import learn

        return learn(loadout, bench, images[0], arguments)
    if arguments.list:
        return _list(bench, names)
    with Progress("instructions at most") as progress:
        outcomes = _images(bench, images, arguments, progress) if images else _own(bench, names, arguments, progress)
        return _show(loadout, bench, outcomes, arguments.format)


def _refusal(arguments: argparse.Namespace) -> str:
    """What does not go together, in one sentence."""
    if arguments.learn and len(arguments.images) != 1:
        return "--learn takes one image"
    if arguments.learn and arguments.format != "text":
        return "--learn writes a draft and says so in text"
    if arguments.output is not None and not arguments.learn:
        return "--output goes with --learn; reports go to the output"
    if arguments.images and (arguments.only or arguments.list):
        return "--only and --list are about our own programs: name no image"
    if arguments.start is not None and len(arguments.images) != 1:
        return "--start goes with one image"
    return ""


def chosen(only: Sequence[str]) -> list[str] | None:
    """The programs asked for, in their order; None after it was said that one is not there."""
    from minisim.problems import nearest, printable
    from minisim.trials.programs import names

    known = names()
    for name in only:
        if name not in known:
            near = f"{nearest(name, known)} (programs are {', '.join(known)})"
            print(printable(f'minisim trial run: there is no program "{name}"{near}'), file=sys.stderr)
            return None
    return [name for name in known if name in only or not only]


def read_images(paths: Sequence[str]) -> list[Image]:
    """All images; every one that can't be used is reported."""
    from minisim.problems import InputError, Problem
    from minisim.trials.running.images import read_image

    found: list[Image] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            found.append(read_image(path))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return found


def built(loadout: Loadout, arguments: argparse.Namespace) -> Bench | None:
    """The bench, or None after the findings that forbid it were printed as `minisim check` prints them."""
    from minisim.cli.boot import tell_what_forbids
    from minisim.machine.errors import NotBuildableError
    from minisim.trials.running.bench import bench_of

    try:
        return bench_of(loadout, allow=arguments.allow, core=arguments.core)
    except NotBuildableError as error:
        tell_what_forbids(error)
        return None


def wanted_of(arguments: argparse.Namespace) -> Wanted:
    """What the options say of images."""
    from minisim.trials.running.owners import Wanted

    return Wanted(
        passes=arguments.passes, limit=arguments.limit, switches=arguments.switches, start=arguments.start,
        person_ready=arguments.person_ready,
    )  # fmt: skip


def _images(
    bench: Bench, images: Sequence[Image], arguments: argparse.Namespace, progress: Progress
) -> Iterator[Outcome]:
    from minisim.trials.running.owners import checked, run_images

    wanted = wanted_of(arguments)
    checked(bench, images, wanted)
    return run_images(bench, images, wanted, progress.tell)


def _own(bench: Bench, names: Sequence[str], arguments: argparse.Namespace, progress: Progress) -> Iterator[Outcome]:
    from minisim.trials.own import DEFAULT_LIMIT, HALT_ON_FAILURE
    from minisim.trials.running.suite import PASSES, Wishes, run_suite

    wishes = Wishes(
        passes=PASSES if arguments.passes is None else arguments.passes,
        switches=HALT_ON_FAILURE if arguments.switches is None else arguments.switches,
        limit=DEFAULT_LIMIT if arguments.limit is None else arguments.limit,
        person_ready=arguments.person_ready,
    )
    return run_suite(bench, names, wishes, progress.tell)


def _list(bench: Bench, names: Sequence[str]) -> int:
    """Every program: what it tests, and whether it can run here."""
    from minisim.trials.programs import program
    from minisim.trials.running.fitted import lacking

    with bench.machine() as machine:
        for name in names:
            test = program(name)
            reason = lacking(machine, test)
            state = f"not here: {reason}" if reason else f"needs a person: {test.person}" if test.person else "can run"
            print(f"{name}: {f'{test.about}; ' if test.about else ''}{state}")
    return 0


def _show(loadout: Loadout, bench: Bench, outcomes: Iterator[Outcome], form: str) -> int:
    """Print what becomes of each: as text while it happens, in the other forms at the end; the exit code."""
    from minisim.problems import printable
    from minisim.trials.running.model import Report, heading, last_line
    from minisim.trials.running.text import lines

    with bench.machine() as machine:
        report = Report(loadout.file, loadout.name, loadout.sha256, machine.profile, ())
    if form == "text":
        print(printable(heading(report)), flush=True)
    for one in outcomes:
        report = replace(report, outcomes=(*report.outcomes, one))
        if form == "text":
            print("\n".join(map(printable, lines(one))), flush=True)
    print(_in_form(report, form) if form != "text" else f"{last_line(report)}\n", end="")
    return 0 if report.passed else 1


def _in_form(report: Report, form: str) -> str:
    from minisim.trials.running import as_json, junit, tap

    return {"json": as_json.json_text, "junit": junit.junit_text, "tap": tap.tap_text}[form](report)
