"""The picture of the README shows what the commands print today."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from xml.etree import ElementTree

ROOT = Path(__file__).resolve().parent.parent.parent


def words_of(lines: list[str]) -> list[str]:
    return " ".join(lines).replace("\u00a0", " ").split()


def test_the_picture_of_the_readme_is_current() -> None:
    spec = importlib.util.spec_from_file_location("picture", ROOT / "tools" / "picture.py")
    assert spec and spec.loader
    picture = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(picture)
    drawn = ElementTree.parse(picture.PICTURE)
    groups = [g for g in drawn.iter("{http://www.w3.org/2000/svg}g") if g.get("class", "").endswith("matrix")]
    shown = [text.text or "" for g in groups for text in g.iter("{http://www.w3.org/2000/svg}text")]
    assert words_of(shown) == words_of(picture.session()), "run tools/picture.py"
