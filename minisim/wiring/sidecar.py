"""The small file beside a ROM image: `<image>.yaml` says what the program in it does.

    rom: 1                    # version of this form
    boots: paper-tape         # device it boots, or a list of devices
    expects: 777550           # register address it goes to
    start: 173000             # 16-bit address where the program begins
    words: 64                 # decimal
    sha256: ...               # of the image
    source: src/boot.s        # the text it was assembled from

All keys but `rom` may be missing.  Problems are reported with their places, all in one go.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from minisim.findings import Mark
from minisim.loadout.fields import REGISTER_ADDRESS, SHA256, TEXT, WORD, Field, FieldError, count
from minisim.problems import InputError, Problem, nearest
from minisim.yamltext import Mapping, Node, Scalar, Sequence, parse, read_bytes

ENDING = ".yaml"
_WORDS = count("number of words", 1, 4096)
_FIELDS: dict[str, Field[Any]] = {
    "rom": TEXT,
    "boots": TEXT,
    "expects": REGISTER_ADDRESS,
    "start": WORD,
    "words": _WORDS,
    "sha256": SHA256,
    "source": TEXT,
}


@dataclass(frozen=True, slots=True)
class Sidecar:
    """What is said of an image; None or empty where it is not said."""

    boots: tuple[str, ...] = ()
    expects: int | None = None
    start: int | None = None
    words: int | None = None
    sha256: str | None = None
    source: str = ""


def sidecar_path(image: Path) -> Path:
    """`boot.rom` has `boot.rom.yaml` beside it."""
    return image.with_name(image.name + ENDING)


def read_sidecar(image: Path) -> Sidecar | None:
    """The sidecar of an image, or None where there is none; InputError with every problem in it."""
    path = sidecar_path(image)
    if not path.is_file():
        return None
    node, problems = parse(read_bytes(path), str(path))
    if node is None:
        raise InputError(problems)
    made = _read(node, problems)
    if made.sha256 is not None and not problems:
        problems += _sum_problems(image, made.sha256, node)
    if problems:
        raise InputError(problems)
    return made


def _read(node: Node, problems: list[Problem]) -> Sidecar:
    if not isinstance(node, Mapping):
        problems.append(
            Problem(node.mark, f"a ROM description is a mapping that begins with rom: 1, not a {node.kind}")
        )
        return Sidecar()
    values: dict[str, Any] = {}
    for key, value in node:
        if key.text not in _FIELDS:
            allowed = ", ".join(_FIELDS)
            problems.append(
                Problem(key.mark, f'unknown key "{key.text}"{nearest(key.text, _FIELDS)}; allowed: {allowed}')
            )
        elif key.text == "boots":
            values["boots"] = _devices(value, problems)
        else:
            values[key.text] = _scalar(key.text, value, problems)
    _check_version(node, values.pop("rom", None), problems)
    return Sidecar(**{name: value for name, value in values.items() if value is not None})


def _scalar(name: str, node: Node, problems: list[Problem]) -> Any:
    field = _FIELDS[name]
    if not isinstance(node, Scalar):
        problems.append(Problem(node.mark, f"{name}: {field.name} is wanted here, not a {node.kind}"))
        return None
    try:
        return field.read("" if node.empty else node.text)
    except FieldError as error:
        problems.append(Problem(node.mark, f'{name} "{node.text}": {error}'))
        return None


def _devices(node: Node, problems: list[Problem]) -> tuple[str, ...]:
    items = list(node) if isinstance(node, Sequence) else [node]
    return tuple(word for item in items if (word := _scalar("boots", item, problems)) is not None)


def _check_version(node: Mapping, version: str | None, problems: list[Problem]) -> None:
    if "rom" not in node:
        problems.append(Problem(node.mark, "no ROM description: the key rom: 1 is missing"))
    elif version is not None and version != "1":
        problems.append(Problem((node.get("rom") or node).mark, f'rom "{version}": this program reads version 1'))


def _sum_problems(image: Path, wanted: str, node: Node) -> list[Problem]:
    """The image must be the one that is described."""
    try:
        found = hashlib.sha256(image.read_bytes()).hexdigest()
    except OSError as error:
        return [Problem(Mark(str(image), 1, 1), f"can't read the ROM image: {error.strerror or error}")]
    if found == wanted:
        return []
    place = node.get("sha256") if isinstance(node, Mapping) else None
    message = f"sha256: {image.name} has the sum {found}, so this description belongs to another image"
    return [Problem((place or node).mark, message)]
