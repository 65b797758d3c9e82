"""An owner's images on the machine of a loadout."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.findings import Mark
from minisim.machine.errors import NotFittedError
from minisim.media.held import HeldMedium
from minisim.problems import InputError, Problem
from minisim.trials.own import Verdict
from minisim.trials.running.account import account_of, end_of
from minisim.trials.running.bench import Bench, set_switches
from minisim.trials.running.images import Image
from minisim.trials.running.model import Account, Outcome
from minisim.trials.running.sheets import Sheet, Sheets, path_beside, read_sheets
from minisim.trials.running.watch import Ended, Tell, Watched, Watcher

if TYPE_CHECKING:
    from minisim.devices._controller import Drive
    from minisim.machine.machine import Machine

PASSES = 2  # the first is often a quick one
LEAVES_ALONE = 0o207  # RTS PC, where a program returns to
MONITOR = 0o42
DEVICES = 0o160000
_RETURNS = "returns-to"
KEYBOARD = "from 177560"  # the status of the console's receiver, as a step tells that it was read


class Wanted:
    """What the command line says of images; None: as the sheet says."""

    def __init__(
        self, *, passes: int | None = None, limit: int | None = None, switches: int | None = None,
        start: int | None = None, person_ready: bool = False,
    ) -> None:  # fmt: skip
        self.passes, self.limit, self.switches, self.start = passes, limit, switches, start
        self.person_ready = person_ready

    def laid_over(self, sheet: Sheet) -> Sheet:
        """The sheet with what the command line says instead."""
        start = sheet.start if self.start is None else self.start
        return replace(sheet, start=start, switches=sheet.switches if self.switches is None else self.switches)


def sheet_of(image: Image) -> tuple[Sheet | None, Sheets | None]:
    """The sheet of exactly this version, and the file it stands in.  InputError: the file can't be used."""
    path = path_beside(image.path)
    if not path.exists():
        return None, None
    sheets = read_sheets(path)
    return sheets.versions.get(image.sha256), sheets


def run_images(bench: Bench, images: Iterable[Image], wanted: Wanted, tell: Tell | None = None) -> Iterator[Outcome]:
    """Every image, each on a machine of its own.  Look at them all (`checked`) before the first runs."""
    for image in images:
        yield run_image(bench, image, wanted, tell)


def checked(bench: Bench, images: Iterable[Image], wanted: Wanted) -> None:
    """InputError: an image can't be put into this machine, or nobody says where it starts; all of them are told."""
    problems: list[Problem] = []
    for image in images:
        try:
            sheet, _ = sheet_of(image)
            with bench.machine() as machine:
                make_ready(machine, image, wanted.laid_over(sheet or Sheet()))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)


def run_image(bench: Bench, image: Image, wanted: Wanted, tell: Tell | None = None) -> Outcome:
    """One image by its sheet; without one it runs to its first halt or the limit, and a person judges."""
    found, sheets = sheet_of(image)
    sheet = wanted.laid_over(found or Sheet())
    about = " ".join(part for part in (sheets.title if sheets else "", sheet.called) if part)
    if sheet.person and not wanted.person_ready:
        return Outcome(image.name, about, Verdict.NEEDS_PERSON, sheet.person, version=image.sha256)
    passes = wanted.passes or sheet.passes or PASSES
    limit = sheet.most_instructions if wanted.limit is None else wanted.limit

    def ready() -> Machine:
        machine = bench.machine()
        make_ready(machine, image, sheet)
        return machine

    def again(target: int) -> Machine:
        machine = ready()
        Watcher(machine, sheet, passes, limit, target).run()
        return machine

    with ready() as machine:
        seen = Watcher(machine, sheet, passes, limit, tell=tell).run()
        verdict, because = _judged(seen, found, sheets, passes)
        account = None
        if seen.ended is not Ended.PASSES:
            account = account_of(machine, again, {}, end_of(seen.stop))
            because += _waits_for_key(account) if seen.ended is Ended.LIMIT else ""
        notes = (sheet.note,) if sheet.note else ()
        return Outcome(
            image.name, about, verdict, because, seen.passes, 0, (), seen.said, seen.stop, account, image.sha256, notes
        )  # fmt: skip


def _judged(seen: Watched, found: Sheet | None, sheets: Sheets | None, passes: int) -> tuple[Verdict, str]:
    """The verdict and why."""
    if found is None:
        what = _nobody_says(sheets)
        return Verdict.NEEDS_PERSON, f"{seen.because or 'it ran'}; {what}"
    if seen.ended is Ended.PASSES:
        if found.looked_at:
            return Verdict.PASS, ""
        return Verdict.NEEDS_PERSON, "its passes came, but its sheet is a draft: look at it, then say looked-at: yes"
    if seen.ended is Ended.LIMIT and found.end is None:
        return Verdict.NEEDS_PERSON, f"{seen.because}; its sheet does not say what the end of a pass looks like"
    if seen.ended in (Ended.LIMIT, Ended.HANG):
        return Verdict.FAIL, f"it hangs: {seen.because}; {seen.passes} of {passes} passes were made"
    return Verdict.FAIL, seen.because


def _waits_for_key(account: Account) -> str:
    """Its last instructions look at the keyboard: somebody was to answer."""
    looks = any(KEYBOARD in sentence for step in account.last for sentence in step)
    return "; it waits for a key: what is typed stands under replies: in its sheet" if looks else ""


def _nobody_says(sheets: Sheets | None) -> str:
    if sheets is None:
        return "no sheet beside it says what its end looks like (--learn drafts one)"
    named = ((version[:12], one.called) for version, one in sheets.versions.items())
    called = ", ".join(f"{version} ({name})" if name else version for version, name in named)
    return f"its sheet speaks of other versions: {called}; addresses mean something only with the exact one"


# --- putting it in ----------------------------------------------------------------------------------------------------


def make_ready(machine: Machine, image: Image, sheet: Sheet) -> None:
    """Medium or memory, switches, words, PC and PS.  InputError: it does not fit this machine."""
    if image.is_medium:
        _put_in(machine, image, sheet)
    if any(address + len(data) > DEVICES for address, data in image.blocks):
        raise _refused(image.path, f"it reaches beyond {DEVICES:06o}, where the device registers begin")
    start = _start(machine, image, sheet)
    machine.power_up(*start)
    set_switches(machine, sheet.switches)
    try:
        for address, data in image.blocks:
            machine.memory[address : address + len(data)] = data
        for address, word in sheet.memory:
            machine.memory.put(address, word)
        if sheet.end is not None and sheet.end.kind == _RETURNS:
            machine.memory.put(MONITOR, sheet.end.number)
            machine.memory.put(sheet.end.number, LEAVES_ALONE)
    except NotFittedError as error:
        raise _refused(image.path, f"it does not fit into the memory of this machine: {error}") from None


def _start(machine: Machine, image: Image, sheet: Sheet) -> tuple[int, int]:
    if sheet.start is not None:
        return sheet.start, sheet.ps
    if image.is_medium:
        if machine.layout.start is None:
            raise _refused(image.path, f"it can't be booted: {machine.layout.start_how}; name a start (--start)")
        return machine.layout.start
    if image.start is None:
        raise _refused(image.path, "nothing says where it starts: name it with --start, or as start: in its sheet")
    return image.start, sheet.ps


def _put_in(machine: Machine, image: Image, sheet: Sheet) -> None:
    """A copy in memory goes into the first drive that takes such a medium: the image itself is never written."""
    places = [place for place in machine.drives if sheet.drive in ("", place)]
    for place in places:
        geometry = next((kind for kind in image.kinds if kind.kind in machine.drives[place].takes), None)
        if geometry is not None:
            machine.drives.put(place, HeldMedium(geometry, image.content))
            return
    there = ", ".join(_told(place, machine.drives[place]) for place in machine.drives) or "no drive that is modelled"
    if sheet.drive and not places:
        raise _refused(image.path, f"there is no drive at {sheet.drive}; there are: {there}")
    kinds = " or ".join(kind.kind for kind in image.kinds)
    raise _refused(image.path, f"no drive of this machine takes {kinds}; there are: {there}")


def _told(place: str, drive: Drive) -> str:
    return f"{place} takes {' or '.join(drive.takes) or 'nothing that is known'}"


def _refused(path: Path, message: str) -> InputError:
    return InputError([Problem(Mark(str(path), 1, 1), message)])
