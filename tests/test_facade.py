"""The facade offers what it says, costs nothing to import, and its lists agree with each other."""

from __future__ import annotations

import ast
import pkgutil
import subprocess
import sys
from pathlib import Path

import minisim

SOURCE = ast.parse(Path(minisim.__file__).read_text("utf-8"))


def names_for_type_checkers() -> set[str]:
    """What the TYPE_CHECKING block imports."""
    block = next(node for node in SOURCE.body if isinstance(node, ast.If))
    return {alias.name for node in block.body if isinstance(node, ast.ImportFrom) for alias in node.names}


def functions() -> set[str]:
    return {node.name for node in SOURCE.body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")}


def test_every_public_name_is_there() -> None:
    assert all(getattr(minisim, name) is not None for name in minisim.__all__)


def test_the_lists_of_the_facade_agree() -> None:
    records = set(minisim.__all__) - functions()
    assert records == set(minisim._HOME)
    assert records <= names_for_type_checkers()


def test_importing_the_facade_loads_nothing_heavy() -> None:
    code = "import sys, minisim; print([m for m in sys.modules if m.startswith(('minisim.', 'yaml', 'cffi', 'cbor2'))])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_no_part_of_the_package_has_the_name_of_a_function() -> None:
    """Importing `minisim.x` puts the module x in place of a function x."""
    parts = {part.name for part in pkgutil.iter_modules(minisim.__path__)}
    assert not parts & functions()
