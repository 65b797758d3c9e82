"""Do our tests notice a core with a defect?  `make mutants` runs this.

The reference core is built once more with all defects of tests/mutants in it, each behind a switch.  With one after the
other switched on, trial cases, our test programs and samples of the property tests run until something is told.  A
defect that nothing tells must have a reason in its row, and one with a reason must not be told.  Exit 1: a defect
breaks this; 2: the core can't be built so, or is told without a defect.
"""

from __future__ import annotations

import argparse
import os
import signal
import sys
import time
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from mutants.build import COPY, build
from mutants.defects import Defect, DefectError, read
from mutants.run import BaselineError, Fate, Progress, fates_of

KILLERS = ("cases", "programs", "properties")
AGAIN = "MINISIM_MUTANTS_TREE"
"""Set in the second start, which has the core with the defects in front."""


def main() -> int:
    """Build, start again with that core in front, run, report."""
    arguments = _parsed()
    try:
        defects = read()
        chosen = _chosen(defects, arguments)
        tree = os.environ.get(AGAIN)
        if tree is None:
            built = str(build(defects))
            environment = {**os.environ, AGAIN: built, "PYTHONPATH": built}
            os.execve(sys.executable, [sys.executable, "-P", *sys.argv], environment)
        fates = _run(chosen, arguments)
    except (DefectError, BaselineError) as error:
        print(f"mutants: {error}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130
    return report(chosen, fates, whole=arguments.all)


def _parsed() -> argparse.Namespace:
    """The command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--only", action="append", default=[], metavar="ID", help="these defects alone")
    parser.add_argument("--module", action="append", default=[], metavar="M", help="the defects of these modules alone")
    parser.add_argument("--by", action="append", choices=KILLERS, help="these killers alone")
    parser.add_argument("--all", action="store_true", help="tell for each defect what told it")
    parser.add_argument("--processes", type=int, default=2, metavar="N", help="so many at once (2)")
    return parser.parse_args()


def _chosen(defects: Sequence[Defect], arguments: argparse.Namespace) -> list[Defect]:
    """Those that are asked for.  DefectError: there is no such defect or module."""
    for what, asked, known in (
        ("defect", arguments.only, [one.id for one in defects]),
        ("module", arguments.module, sorted({one.module for one in defects})),
    ):
        if wrong := next((name for name in asked if name not in known), None):
            listed = f" (modules: {', '.join(known)})" if what == "module" else ""
            raise DefectError(f'there is no {what} "{wrong}"{listed}')
    return [
        one
        for one in defects
        if (not arguments.only or one.id in arguments.only) and (not arguments.module or one.module in arguments.module)
    ]


def _run(chosen: Sequence[Defect], arguments: argparse.Namespace) -> list[Fate]:
    from mutants.killers import loaded_from

    if not loaded_from().is_relative_to(COPY.resolve()):
        raise BaselineError(f"the core with the defects was not loaded, but {loaded_from()}")
    signal.signal(signal.SIGINT, signal.default_int_handler)
    began = time.monotonic()
    fates = fates_of(chosen, arguments.by or KILLERS, max(1, arguments.processes), Progress(len(chosen)))
    print(f"{len(chosen)} defects in {time.monotonic() - began:.0f} s", file=sys.stderr)
    return fates


def report(defects: Sequence[Defect], fates: Sequence[Fate], *, whole: bool = False) -> int:
    """By module, then what there is to tell of single ones, then the sum; the exit code."""
    both = list(zip(defects, fates, strict=True))
    columns = "".join(f"{'by ' + name:>15}" for name in KILLERS)
    print(f"{'module':12}{'made':>6}{columns}{'survived':>10}")
    for module in sorted({each.module for each in defects}):
        here = [fate.killer for defect, fate in both if defect.module == module]
        columns = "".join(f"{here.count(name):15}" for name in KILLERS)
        print(f"{module:12}{len(here):6}{columns}{here.count(''):10}")
    wrong = sum([_tell(defect, fate, whole) for defect, fate in both])
    by = Counter(fate.killer for fate in fates)
    survived = by.pop("", 0)
    kinds = ", ".join(f"{by[name]} by {name}" for name in KILLERS)
    end = f"{wrong} without a reason or with a wrong one" if wrong else "each with its reason"
    told = f"{survived} survived, {end}" if survived or wrong else "none survived"
    print(f"mutants: {len(defects)} made, {by.total()} killed ({kinds}), {told}")
    return int(bool(wrong))


def _tell(defect: Defect, fate: Fate, whole: bool) -> bool:
    """Lines where there is something to tell; True: this must not be."""
    what = f"{defect.id} ({defect.module}, {defect.kind}): {defect.what}"
    if not fate.killer:
        print(f"survived: {what}\n    {'because ' + defect.survives if defect.survives else 'nobody says why'}")
        return not defect.survives
    if defect.survives:
        print(f"killed: {what}\n    by {fate.killer}: {fate.told_by}; but its row says: {defect.survives}")
        return True
    if whole:
        print(f"killed: {what}\n    by {fate.killer}: {fate.told_by}")
    return False


if __name__ == "__main__":
    sys.exit(main())
