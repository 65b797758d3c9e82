"""Where the machine of a test comes from: a loadout of a marker, of the command line, or a bare processor.

A loadout is read and checked once in a session, as long as its file and the files it names stay the same; its machine
is put together for each test anew, from ROMs, tapes and images as they are then.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import pytest

from minisim.problems import InputError
from minisim.testing.machines import MachineUnderTest

if TYPE_CHECKING:
    from minisim.machine.build import Approved
    from minisim.machine.machine import Machine

_T = TypeVar("_T")

DEFAULT_LIMIT = 20_000_000  # instructions: some tenths of a second, and more than ten seconds of most machines
NOTHING_GIVEN = """\
this test wants a machine, and none was given. Give one of:
    pytest --minisim-loadout FILE              for all tests
    minisim_loadout = FILE                     the same, in the ini file
    @pytest.mark.loadout("FILE")               for one test, class or module; beside the test's file
    @pytest.mark.bare(profile=..., options=[...], memory=...)     a processor with memory, no loadout"""


class NoMachineError(Exception):
    """The machine of a test can't be had; the message is for the one who wrote it."""


State = tuple[int, int] | None


@dataclass(frozen=True, slots=True)
class Kept:
    """An approved loadout, and the state of the files that were looked at beside it."""

    approved: Approved
    files: Mapping[Path, State]

    @property
    def is_current(self) -> bool:
        """Are the files what they were?"""
        return all(_state(path) == state for path, state in self.files.items())


@dataclass(slots=True)
class Cache:
    """What one session keeps: approved loadouts, or why there is none, by path, content and what is allowed."""

    kept: dict[tuple[Path, str, tuple[str, ...]], Kept | str] = field(default_factory=dict)


_CACHE = pytest.StashKey[Cache]()


def machine_for(item: pytest.Item) -> MachineUnderTest:
    """The machine of a test, switched on.  NoMachineError: it can't be had."""
    config = item.config
    made = MachineUnderTest(_maker(item)(), _limit(config))
    made.core = config.getoption("minisim_core")
    return made


def _maker(item: pytest.Item) -> Callable[[], Machine]:
    for marker in item.iter_markers():  # the nearest first: test, class, module, package
        if marker.name == "loadout":
            path, allow = _loadout_of(marker, item)
            return lambda: _built(item.config, path, allow)
        if marker.name == "bare":
            return lambda: _bare(marker)
    given = item.config.getoption("minisim_loadout") or _of_ini(item.config)
    if not given:
        raise NoMachineError(NOTHING_GIVEN)
    return lambda: _built(item.config, Path(given), ())


def _of_ini(config: pytest.Config) -> Path | None:
    """The loadout that the ini file names, from its folder."""
    text = str(config.getini("minisim_loadout"))
    folder = config.inipath.parent if config.inipath else config.invocation_params.dir
    return folder / text if text else None


def _limit(config: pytest.Config) -> int:
    text = str(config.getini("minisim_limit") or DEFAULT_LIMIT).replace("_", "").removesuffix(".")
    if not text.isascii() or not text.isdigit():
        raise NoMachineError(f'minisim_limit is a decimal count of instructions, not "{text}"')
    return int(text)


def _loadout_of(marker: pytest.Mark, item: pytest.Item) -> tuple[Path, tuple[str, ...]]:
    """Path and what is allowed, of `loadout("desk.yaml", allow=["fault"])`."""
    allow = marker.kwargs.get("allow", ())
    allowed = (allow,) if isinstance(allow, str) else tuple(allow)
    is_path = len(marker.args) == 1 and isinstance(marker.args[0], str | Path)
    if not is_path or set(marker.kwargs) - {"allow"} or set(allowed) - {"fault"}:
        raise NoMachineError('the marker is loadout("FILE"), or loadout("FILE", allow=["fault"]) to build with faults')
    return item.path.parent / marker.args[0], allowed


def _bare(marker: pytest.Mark) -> Machine:
    from minisim.cpu.profile import ProfileError
    from minisim.machine.bare import bare

    try:
        return bare(*marker.args, **marker.kwargs)
    except (ProfileError, ValueError, TypeError) as error:
        message = str(error).removeprefix("bare() ")
        raise NoMachineError(f"the marker is bare(profile=..., options=[...], memory=...): {message}") from None


def _built(config: pytest.Config, path: Path, allow: tuple[str, ...]) -> Machine:
    return _said(lambda: _approved(config, path, allow).machine(in_memory=True))


def _approved(config: pytest.Config, path: Path, allow: tuple[str, ...]) -> Approved:
    cache = config.stash.setdefault(_CACHE, Cache())
    key = (path.resolve(), _sum_of(path), allow)
    found = cache.kept.get(key)
    if found is None or (isinstance(found, Kept) and not found.is_current):
        try:
            approved = _said(lambda: _read(path, allow))
            found = Kept(approved, {file: _state(file) for file in _files_of(approved)})
        except NoMachineError as error:
            found = str(error)
        cache.kept[key] = found
    if isinstance(found, str):
        raise NoMachineError(found)
    return found.approved


def _files_of(approved: Approved) -> Iterator[Path]:
    """The images that a loadout names, and the descriptions beside them: these were read with it."""
    media = [end.media for end in approved.wired.loadout.cables]
    roms = [rom.fitted.image for rom in approved.wired.roms if rom.fitted is not None]
    for image in (*media, *roms):
        if image is not None:
            yield image
            yield image.with_name(f"{image.name}.yaml")


def _state(path: Path) -> State:
    """When a file was changed, and its size; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


def _read(path: Path, allow: Iterable[str]) -> Approved:
    from minisim.loadout.reader import read_loadout
    from minisim.machine.build import approved

    return approved(read_loadout(path), allow=allow)


def _sum_of(path: Path) -> str:
    """Of the content; empty where it can't be read, which the reader will say."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


def _said(make: Callable[[], _T]) -> _T:
    """What `make` gives; its refusals as a text with all problems or findings, each with its place."""
    from minisim.formatters import finding_lines
    from minisim.machine.errors import MachineError, NotBuildableError

    try:
        return make()
    except InputError as error:
        raise NoMachineError(f"the loadout can't be used:\n{error}") from None
    except NotBuildableError as error:
        findings = [line for finding in error.findings for line in finding_lines(finding)]
        raise NoMachineError("\n".join([str(error), *findings])) from None
    except MachineError as error:
        raise NoMachineError(str(error)) from None
