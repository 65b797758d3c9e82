"""The small file beside an image: `<image>.yaml` says what it is.

    medium: 1                     # version of this form
    kind: floppy-8-inch-single    # id of the catalogue
    label: "system, copied 1979"
    bad-sectors: [12, 40]         # numbers in the order of the image
    sha256: ...                   # of the image as it was described
    note: "read with three retries"

All keys but `medium` may be missing.
"""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import dataclass
from pathlib import Path

from minisim.catalogue.fields import BadValueError, Fields, listed, refuse, text, whole
from minisim.problems import InputError
from minisim.yamltext import Node, parse, read_bytes

VERSION = 1
_SUM = re.compile(r"[0-9a-f]{64}\Z")


@dataclass(frozen=True, slots=True)
class Description:
    """What is said of an image; empty where it is not said."""

    kind: str = ""
    label: str = ""
    bad_sectors: tuple[int, ...] = ()
    sha256: str = ""
    note: str = ""


def description_path(image: Path) -> Path:
    """`system.floppy` has `system.floppy.yaml` beside it."""
    return image.with_name(f"{image.name}.yaml")


def read_description(image: Path) -> Description:
    """What is said of an image; nothing where there is no such file.  InputError lists every problem."""
    path = description_path(image)
    if not path.is_file():
        return Description()
    node, problems = parse(read_bytes(path), str(path))
    if node is None:
        raise InputError(problems)
    fields = Fields(node, str(path), problems, "medium")
    if fields.read("medium", whole, VERSION) != VERSION:
        fields.say(node, f"this program reads version {VERSION}")
    made = Description(
        kind=fields.maybe("kind", text, ""),
        label=fields.maybe("label", text, ""),
        bad_sectors=fields.maybe("bad-sectors", listed(whole), ()),
        sha256=fields.maybe("sha256", _sum, ""),
        note=fields.maybe("note", text, ""),
    )
    fields.finish()
    refuse(problems)
    return made


def _sum(node: Node) -> str:
    word = text(node).lower()
    if not _SUM.match(word):
        raise BadValueError(f'"{word}" is no SHA-256: 64 hexadecimal digits')
    return word


def description_text(one: Description) -> str:
    """The file's text."""
    lines = [f"medium: {VERSION}"]
    lines += [f"kind: {one.kind}"] if one.kind else []
    lines += [f"label: {json.dumps(one.label, ensure_ascii=False)}"] if one.label else []
    lines += [f"bad-sectors: [{', '.join(map(str, one.bad_sectors))}]"] if one.bad_sectors else []
    lines += [f"sha256: {one.sha256}"] if one.sha256 else []
    lines += [f"note: {json.dumps(one.note, ensure_ascii=False)}"] if one.note else []
    return "".join(f"{line}\n" for line in lines)


def sum_of(path: Path) -> str:
    """SHA-256 of a file, read in pieces."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
