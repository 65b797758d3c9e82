"""A rule without page, fixtures, sources or documentation is refused: each is planted in a copy, and seen to be."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
RULE = '''"""A planted rule.

What is checked
    Nothing.

Why it matters
    It does not.
{example}
Putting it right
    Take it out.

Known limits
    All of it.

Sources
    {key}: none is needed.
"""

from __future__ import annotations

from collections.abc import Iterator

from minisim.findings import Severity
from minisim.rules import Result, passed, rule
from minisim.rules._facts import machine_subject
from minisim.wiring.model import Wired


@rule(id="{id}", slug="{slug}", severity=Severity.NOTE, sources=("{key}",))
def planted(wired: Wired) -> Iterator[Result]:
    """Let everything pass."""
    yield passed(machine_subject(wired))
'''
EXAMPLE = "\nExample\n    m.yaml:1:1: note {id} {slug} [main]: nothing; nothing (common-practice).\n"
PLANTED = {  # id -> (slug, source key, has it an example)
    "TERM-901": ("planted-without-fixtures", "common-practice", True),
    "TERM-902": ("planted-without-source", "a-book-nobody-has", True),
    "TERM-903": ("planted-without-example", "common-practice", False),
}


def lay(folder: Path) -> Path:
    """A scratch tree: rules and their tests copied, everything else linked."""
    (folder / "minisim").mkdir(parents=True)
    for one in (ROOT / "minisim").iterdir():
        if one.name not in ("rules", "__pycache__"):
            (folder / "minisim" / one.name).symlink_to(one)
    for name in ("cpu", "devices"):
        (folder / "minisim" / name).symlink_to(ROOT / name)
    shutil.copytree(ROOT / "minisim" / "rules", folder / "minisim" / "rules", ignore=_no_caches)
    shutil.copytree(ROOT / "docs" / "reference", folder / "docs" / "reference")
    (folder / "tests").mkdir()
    shutil.copytree(ROOT / "tests" / "rules", folder / "tests" / "rules", ignore=_no_caches)
    for name in ("cpu", "devices", "setup.py", "pyproject.toml"):
        (folder / name).symlink_to(ROOT / name)
    (folder / "tools").mkdir()
    shutil.copy(ROOT / "tools" / "docs.py", folder / "tools" / "docs.py")
    return folder


def _no_caches(_folder: str, names: list[str]) -> set[str]:
    return {name for name in names if name == "__pycache__"}


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """A command of the project in the scratch tree."""
    environment = {**os.environ, "PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1"}
    return subprocess.run(
        [sys.executable, *words], cwd=folder, env=environment, capture_output=True, text=True, timeout=120, check=False
    )


@pytest.fixture(scope="module")
def planted(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The scratch tree with three rules, each of which lacks something, and all of them a page."""
    folder = lay(tmp_path_factory.mktemp("planted") / "tree")
    for name, (slug, key, whole) in PLANTED.items():
        text = RULE.format(id=name, slug=slug, key=key, example=EXAMPLE.format(id=name, slug=slug) if whole else "")
        (folder / "minisim" / "rules" / "term" / f"{slug.replace('-', '_')}.py").write_text(text, "utf-8")
    return folder


def test_rules_without_fixtures_source_or_heading_are_refused_each_for_its_own_lack(planted: Path) -> None:
    done = run(planted, "-m", "pytest", "-q", "-p", "no:cacheprovider", "tests/rules/test_rule_documents.py",
               "-k", "TERM-90")  # fmt: skip
    refused = {line.split("::")[1].split(" ")[0] for line in done.stdout.splitlines() if line.startswith("FAILED")}
    fixtures = {f"test_a_rule_has_good_and_bad_fixtures_on_each_bus_it_speaks_of[{name}]" for name in PLANTED}
    heading = "test_the_documentation_has_every_heading_in_order_with_text_under_it[TERM-903]"
    source = "test_every_source_exists_and_is_said_for_what_it_stands[TERM-902]"
    assert done.returncode == 1, done.stdout + done.stderr
    assert fixtures | {heading, source} <= refused
    assert not {one for one in refused if "TERM-901" in one} - fixtures


def test_rules_without_a_page_are_refused(tmp_path: Path) -> None:
    folder = lay(tmp_path / "tree")
    before = run(folder, "tools/docs.py", "--check")
    text = RULE.format(id="TERM-901", slug="planted", key="common-practice",
                       example=EXAMPLE.format(id="TERM-901", slug="planted"))  # fmt: skip
    (folder / "minisim" / "rules" / "term" / "planted.py").write_text(text, "utf-8")
    after = run(folder, "tools/docs.py", "--check")
    assert after.returncode == 1, after.stdout + after.stderr
    new = set(after.stdout.splitlines()) - set(before.stdout.splitlines())
    assert "docs/reference/rules/TERM-901.md is not current: run make docs" in new


def test_make_check_asks_for_current_pages_and_runs_the_tests() -> None:
    made = (ROOT / "Makefile").read_text("utf-8")
    assert re.search(r"^check:.*\bdocs-current\b.*\btest\b", made, re.MULTILINE)
    assert re.search(r"^docs-current:.*\n\t.*tools/docs\.py --check$", made, re.MULTILINE)
