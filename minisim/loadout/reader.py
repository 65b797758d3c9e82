"""Read a loadout: one file, one machine, every problem of it in one go."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path

from minisim.catalogue.reader import Catalogue
from minisim.findings import Mark
from minisim.loadout import build
from minisim.loadout.cables import cables
from minisim.loadout.context import Context
from minisim.loadout.convert import MOST_PROBLEMS, Converter, Got, TooManyProblemsError
from minisim.loadout.declarations import LOADOUT, STATES
from minisim.loadout.files import Tree
from minisim.loadout.kinds import another_kind
from minisim.loadout.model import Loadout, LoadoutError
from minisim.problems import InputError, Problem, printable
from minisim.yamltext import Node, parse, read_bytes

MAX_BYTES = 1_000_000
"""A loadout is a page or two of text; a larger file is something else."""


def read_loadout(
    path: str | Path, *, catalogue: Catalogue | None = None, media_root: str | Path | None = None
) -> Loadout:
    """The loadout in the file `path`.

    Media and ROM images are looked for in the folder of the file, or in `media_root` where one is given, and never
    outside of it.  Raises LoadoutError, which lists every problem with its place.
    """
    return read_loadout_bytes(read_bytes_of_loadout(path), path, catalogue=catalogue, media_root=media_root)


def read_loadout_bytes(
    data: bytes, path: str | Path, *, catalogue: Catalogue | None = None, media_root: str | Path | None = None
) -> Loadout:
    """The same for bytes that stand, or shall stand, in the file `path`."""
    tree = _tree(path, media_root)
    node, problems = parse(data, str(path))
    other = another_kind(node) if node is not None else None
    if node is None or other is not None:
        raise _refusal([*problems, *([other] if other else [])])
    context = Context((catalogue or Catalogue()).beside(path), tree, problems)
    try:
        loadout = _loadout(context, node, path, hashlib.sha256(data).hexdigest())
    except TooManyProblemsError:
        raise _refusal(problems) from None
    if loadout is None or problems:
        raise _refusal(problems)
    return loadout


def _refusal(problems: list[Problem]) -> LoadoutError:
    """The error with every problem, or with the first few hundred.

    Messages quote the file, which may hold anything: what a terminal would act on is shown by its octal code.
    """
    shown = sorted(problems, key=lambda problem: problem.mark)[:MOST_PROBLEMS]
    if len(problems) >= MOST_PROBLEMS:
        shown.append(Problem(shown[-1].mark, f"reading ends here, after {MOST_PROBLEMS} problems; there may be more"))
    return LoadoutError(replace(problem, message=printable(problem.message)) for problem in shown)


def read_bytes_of_loadout(path: str | Path) -> bytes:
    """The bytes of the file; LoadoutError where it can't be read or is too large for a loadout."""
    try:
        data = read_bytes(path)
    except InputError as error:
        raise LoadoutError(error.problems) from None
    if len(data) > MAX_BYTES:
        size = f"{len(data) / 1_000_000:.1f} MB"
        message = f"the file has {size}; a loadout is a page or two of text, {MAX_BYTES // 1_000_000} MB at most"
        raise LoadoutError([Problem(Mark(str(path), 1, 1), message)])
    return data


def _tree(path: str | Path, media_root: str | Path | None) -> Tree:
    if media_root is None:
        return Tree(Path(path).parent, chosen=False)
    root = Path(media_root)
    if not root.is_dir():
        raise LoadoutError([Problem(Mark(str(media_root), 1, 1), "the media root is no folder")])
    return Tree(root, chosen=True)


def _loadout(context: Context, node: Node, path: str | Path, sha256: str) -> Loadout | None:
    converter = Converter(context.catalogue.ids, context.problems)
    got = converter.record(node, LOADOUT, "the file")
    if got is None:
        return None
    index = build.Index(whole="boxes" in got)
    boxes = build.boxes(context, got, index)
    return Loadout(
        name=got.text("name"),
        state=got.text("state") or STATES[0],
        boxes=boxes,
        cables=cables(context, got, index),
        switches=build.switches(got),
        accept=build.acceptances(context, got, index),
        modifications=_texts(got, "modifications"),
        notes=got.text("notes"),
        file=str(path),
        path=Path(path),
        sha256=sha256,
        mark=got.mark,
    )


def _texts(got: Got, name: str) -> tuple[str, ...]:
    return tuple(str(value.value) for value in got.values(name))
