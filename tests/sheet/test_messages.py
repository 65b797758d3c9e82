"""Every text of the sheet comes from the one catalogue, so that a translation needs no change of code."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fluent.syntax import FluentParser, FluentSerializer
from fluent.syntax import ast as ftl

import minisim
from minisim.sheet import messages
from minisim.sheet.blocks import Document, Drawing, Heading, Photos, Table
from minisim.sheet.messages import say

from .machines import DAMAGED, DEMO, document, fresh

SHEET = Path(minisim.__file__).parent / "sheet"
CATALOGUE = sorted((SHEET / "messages" / "en").glob("*.ftl"))
ERRORS = re.compile(r"InputError|Problem|Error\(")


def entries() -> dict[str, ftl.Message]:
    """Key -> message, as the library's own parser reads them."""
    found: dict[str, ftl.Message] = {}
    for path in CATALOGUE:
        for entry in FluentParser().parse(path.read_text()).body:
            assert not isinstance(entry, ftl.Junk), (path.name, entry.content)
            if isinstance(entry, ftl.Message):
                assert entry.id.name not in found, f"{entry.id.name} stands twice"
                found[entry.id.name] = entry
    return found


def code() -> Iterator[tuple[Path, ast.Module]]:
    for path in sorted(SHEET.rglob("*.py")):
        yield path, ast.parse(path.read_text())


def test_every_key_that_is_asked_for_is_in_the_catalogue_and_every_one_there_is_asked_for() -> None:
    keys, asked, stems = set(entries()), set(), set()
    for _, tree in code():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "say" and node.args:
                first = node.args[0]
                if isinstance(first, ast.JoinedStr) and isinstance(first.values[0], ast.Constant):
                    stems.add(str(first.values[0].value))
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                asked.add(node.value)
    asked |= set(re.findall(r'say\("([a-z0-9-]+)"', (SHEET / "forms" / "sheet.html.jinja").read_text()))
    assert not {key for key in keys - asked if not any(key.startswith(stem) for stem in stems)}


def test_no_sentence_stands_in_the_code() -> None:
    """Texts of two words or more, outside docstrings, errors and SVG, belong into the catalogue."""
    found = [
        (path.relative_to(SHEET).as_posix(), text)
        for path, tree in code()
        for text in _literals(tree)
        if re.search(r"[A-Za-z]{2,}[ ,.:]+[A-Za-z]{2,}", text)
    ]
    assert not [one for one in found if not _is_data(one[1])]


def _is_data(text: str) -> bool:
    """Fonts, files, modules, and words of the catalogue."""
    files = re.fullmatch(r"[\w.-]+\.(css|typ|jinja|ftl|forms)", text) is not None
    return files or "DejaVu" in text or text in ("+5 standby", "terminal debugger")


def _literals(tree: ast.Module) -> Iterator[str]:
    skipped: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and ast.get_docstring(node):
            skipped.add(id(node.body[0].value))  # type: ignore[attr-defined]
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            skipped.add(id(node.value))  # a docstring of a constant
        errors = isinstance(node, ast.Raise) or (isinstance(node, ast.Assign) and _names_message(node))
        if errors or (isinstance(node, ast.Call) and ERRORS.search(ast.unparse(node.func) + "(")):
            skipped |= {id(inner) for inner in ast.walk(node)}
        if isinstance(node, ast.ImportFrom | ast.AnnAssign) and not isinstance(node, ast.AnnAssign):
            skipped |= {id(inner) for inner in ast.walk(node)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in skipped:
            yield node.value


def _names_message(node: ast.Assign) -> bool:
    """`message = "..."` is the text of an error that is raised next."""
    return any(isinstance(target, ast.Name) and target.id == "message" for target in node.targets)


# ---- another language


@pytest.fixture
def backwards(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A language in which every letter of the catalogue's texts has a mark on it; what is filled in stays."""
    folder = tmp_path / "qps"
    folder.mkdir()
    for path in CATALOGUE:
        resource = FluentParser().parse(path.read_text())
        for node in _texts(resource):
            node.value = re.sub(r"[A-Za-z]", lambda found: found[0] + "\u0302", node.value)
        (folder / path.name).write_text(FluentSerializer().serialize(resource))
    (tmp_path / "en").symlink_to(SHEET / "messages" / "en")
    monkeypatch.setattr(messages, "files", lambda name: tmp_path)
    messages._bundle.cache_clear()
    with messages.language("qps"):
        yield
    messages._bundle.cache_clear()


def _texts(node: object) -> Iterator[ftl.TextElement]:
    if isinstance(node, ftl.TextElement):
        yield node
    elif isinstance(node, ftl.BaseNode):
        for value in vars(node).values():
            for one in value if isinstance(value, list) else [value]:
                yield from _texts(one)


@pytest.mark.usefixtures("backwards")
@pytest.mark.parametrize("path", [*DEMO, DAMAGED], ids=lambda path: path.stem)
def test_a_translated_catalogue_changes_every_title_head_and_caption(path: Path) -> None:
    left = [text for text in _labels(fresh(path)) if "\u0302" not in text and re.search("[a-z]{2}", text)]
    assert not left


def _labels(made: Document) -> Iterator[str]:
    yield from (made.title, *(page.title for page in made.pages))
    for block in (block for page in made.pages for block in page.blocks):
        if isinstance(block, Table):
            yield from (block.caption, *block.head)
        if isinstance(block, Drawing):
            yield from (block.caption, block.description)
        if isinstance(block, Photos):
            yield from block.captions


def test_a_language_that_lacks_a_text_shows_the_english_one(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "xx").mkdir()
    (tmp_path / "xx" / "sheet.ftl").write_text("word-on = EIN\n")
    (tmp_path / "en").symlink_to(SHEET / "messages" / "en")
    monkeypatch.setattr(messages, "files", lambda name: tmp_path)
    messages._bundle.cache_clear()
    with messages.language("xx"):
        assert (say("word-on"), say("word-off")) == ("EIN", "OFF")
    messages._bundle.cache_clear()


def test_a_missing_value_is_an_error_not_a_gap() -> None:
    with pytest.raises(KeyError):
        say("sheet-title")


def test_the_sheet_is_in_english_as_it_comes() -> None:
    assert document(DEMO[0]).language == "en"
    blocks = [block for page in document(DEMO[0]).pages for block in page.blocks]
    assert not any(isinstance(block, Heading) and not block.text for block in blocks)
