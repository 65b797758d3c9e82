"""The catalogue: one YAML file a thing, read when it is asked for and only then."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar, cast

from minisim.catalogue.fields import Fields, refuse
from minisim.catalogue.model import (
    BackplaneEntry,
    BoardEntry,
    CableEntry,
    ChassisEntry,
    DriveEntry,
    MediumEntry,
    Profile,
    ProfileRow,
    RomEntry,
    SupplyEntry,
)
from minisim.catalogue.read_boards import read_board
from minisim.catalogue.read_ends import read_cable, read_drive, read_medium, read_rom
from minisim.catalogue.read_frames import read_backplane, read_chassis, read_supply
from minisim.catalogue.read_profiles import read_profile, read_row
from minisim.catalogue.words import EVIDENCE, KINDS, ONE_OF, OWN_EVIDENCE, OWN_FOLDER
from minisim.findings import Mark
from minisim.problems import InputError, Problem, nearest
from minisim.yamltext import Node, Sequence, parse, read_bytes

T = TypeVar("T")
HERE = Path(__file__).parent
"""The folder of the catalogue that comes with the project."""

_ENDING = ".yaml"
_READERS: dict[str, Callable[[Fields, str], Any]] = {
    "boards": read_board,
    "backplanes": read_backplane,
    "supplies": read_supply,
    "chassis": read_chassis,
    "drives": read_drive,
    "cables": read_cable,
    "media": read_medium,
    "roms": read_rom,
    "profiles": read_profile,
}


class NotInCatalogueError(LookupError):
    """An id that no file of the catalogue bears; the message names the nearest one."""


class Catalogue:
    """Entries by id, each file read once.

    `root` is the folder of the catalogue itself, `extra` are further folders of the same layout (`boards/<id>.yaml` and
    so on), such as an owner's own beside the loadout.  An id that stands in two of them is refused when it is read.
    """

    def __init__(self, root: Path | None = None, extra: Iterable[Path] = ()) -> None:
        self.roots = (root or HERE, *extra)
        self._files: dict[str, dict[str, Path]] = {}
        self._twice: dict[tuple[str, str], Path] = {}
        self._entries: dict[tuple[str, str], object] = {}
        self._rows: tuple[ProfileRow, ...] | None = None
        self._beside: dict[Path, Catalogue] = {}

    def beside(self, path: str | Path) -> Catalogue:
        """This catalogue with the owner's own entries for a file: those in the folder `catalogue/` beside it.

        Itself where there is no such folder, or where it holds none of the folders of a catalogue.  The same folder
        gives the same catalogue each time.
        """
        folder = Path(path).parent / OWN_FOLDER
        if not _is_catalogue(folder):
            return self
        folder = folder.resolve()
        if folder in (root.resolve() for root in self.roots):
            return self
        if folder not in self._beside:
            self._beside[folder] = Catalogue(self.roots[0], (*self.roots[1:], folder))
        return self._beside[folder]

    def is_own(self, kind: str, name: str) -> bool:
        """True where an entry is the owner's, not one that comes with the project."""
        return self.roots[0] not in self.path(kind, name).parents

    def ids(self, kind: str) -> tuple[str, ...]:
        """The ids of a folder (`boards`, `backplanes`, ...), from the file names alone."""
        return tuple(sorted(self._listing(kind)))

    def has(self, kind: str, name: str) -> bool:
        """True where the folder holds this id."""
        return name in self._listing(kind)

    def path(self, kind: str, name: str) -> Path:
        """The file of an entry; NotInCatalogueError where there is none."""
        files = self._listing(kind)
        if name not in files:
            raise NotInCatalogueError(f'no {ONE_OF[kind]} "{name}" in the catalogue{nearest(name, files)}')
        return files[name]

    def board(self, name: str) -> BoardEntry:
        """A board kind."""
        return cast(BoardEntry, self.entry("boards", name))

    def backplane(self, name: str) -> BackplaneEntry:
        """A backplane kind."""
        return cast(BackplaneEntry, self.entry("backplanes", name))

    def supply(self, name: str) -> SupplyEntry:
        """A supply kind."""
        return cast(SupplyEntry, self.entry("supplies", name))

    def chassis(self, name: str) -> ChassisEntry:
        """A chassis kind."""
        return cast(ChassisEntry, self.entry("chassis", name))

    def drive(self, name: str) -> DriveEntry:
        """A drive or terminal."""
        return cast(DriveEntry, self.entry("drives", name))

    def cable(self, name: str) -> CableEntry:
        """A cable kind."""
        return cast(CableEntry, self.entry("cables", name))

    def medium(self, name: str) -> MediumEntry:
        """A kind of medium."""
        return cast(MediumEntry, self.entry("media", name))

    def rom(self, name: str) -> RomEntry:
        """A ROM content."""
        return cast(RomEntry, self.entry("roms", name))

    def profile(self, name: str) -> Profile:
        """A processor profile."""
        return cast(Profile, self.entry("profiles", name))

    def rows(self) -> tuple[ProfileRow, ...]:
        """The rows of the table of differences, in their order."""
        if self._rows is None:
            self._rows = read_rows(self.roots[0] / "profile-rows.yaml")
        return self._rows

    def _listing(self, kind: str) -> dict[str, Path]:
        if kind not in self._files:
            if kind not in KINDS:
                raise ValueError(f"no folder {kind!r} in the catalogue; folders are {', '.join(KINDS)}")
            self._files[kind] = self._list(kind)
        return self._files[kind]

    def _list(self, kind: str) -> dict[str, Path]:
        files: dict[str, Path] = {}
        for root in self.roots:
            folder = root / kind
            for path in folder.iterdir() if folder.is_dir() else ():
                if path.suffix != _ENDING:
                    continue
                if path.stem in files:
                    self._twice[kind, path.stem] = path
                files.setdefault(path.stem, path)
        return files

    def entry(self, kind: str, name: str) -> object:
        """The entry of a folder (`boards`, `backplanes`, ...) by its id."""
        key = (kind, name)
        if key not in self._entries:
            path = self.path(kind, name)
            if key in self._twice:
                message = f'the catalogue has a {ONE_OF[kind]} "{name}" already; give this one a name of its own'
                raise InputError([Problem(Mark(str(self._twice[key]), 1, 1), message)])
            self._entries[key] = read_entry(path, kind, own=self.is_own(kind, name))
        return self._entries[key]


def _is_catalogue(folder: Path) -> bool:
    try:
        return folder.is_dir() and any((folder / kind).is_dir() for kind in KINDS)
    except (OSError, ValueError):  # a folder one may not look into; a name no folder can have
        return False


def read_entry(path: Path, kind: str, *, own: bool = False) -> object:
    """One file of a folder; InputError names every problem in it.  `own`: an owner's, which may say evidence: owner."""
    return read_entry_bytes(read_bytes(path), path, kind, own=own)


def read_entry_bytes(data: bytes, path: Path, kind: str, *, own: bool = False) -> object:
    """The same for bytes that stand, or shall stand, in the file `path`."""
    name = path.stem
    file = str(path)
    node, problems = parse(data, file)
    if node is None:
        raise InputError(problems)
    fields = Fields(node, file, problems, f"{ONE_OF[kind]} {name}", OWN_EVIDENCE if own else EVIDENCE)
    written = fields.need("id")
    if written is not None and getattr(written, "text", None) != name:
        fields.say(written, f'the id differs from the name of the file, "{name}"')
    entry: object = _READERS[kind](fields, name)
    fields.finish()
    refuse(problems)
    return entry


def read_rows(path: Path) -> tuple[ProfileRow, ...]:
    """The rows of the table of differences."""
    file = str(path)
    node, problems = parse(read_bytes(path), file)
    if not isinstance(node, Sequence):
        raise InputError(problems or [Problem(Mark(file, 1, 1), "a list of rows is expected")])
    rows = tuple(read_row(Fields(item, file, problems, "profile row")) for item in node.items)
    refuse(problems)
    return rows


def tree(path: Path) -> Node:
    """The bare tree of a catalogue file, for checks of its form."""
    node, problems = parse(read_bytes(path), str(path))
    if node is None or problems:
        raise InputError(problems)
    return node
