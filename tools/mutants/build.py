"""One build of the core with all defects, in a copy of cpu/; `ms_mutant` says which one is there, 0 none."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from mutants.defects import ROOT, Defect, DefectError, by_file, planted

COPY = ROOT / "build" / "mutants"
LINKED = ("devices", "minisim", "setup.py", "pyproject.toml", "README.md", "LICENSE")
FLAGS = "-O1 -include mutant.h"
SWITCH = {"mutant.h": "extern int ms_mutant;\n", "mutant.c": "int ms_mutant;\n", "mutant.cdef": "int ms_mutant;\n"}


def build(defects: Sequence[Defect], copy: Path = COPY) -> Path:
    """The folder to put in front of the import path.  DefectError: a defect can't be planted, or C refuses it.

    What was built from the same sources is taken as it is.
    """
    sources = _sources(defects)
    stamp = copy / "built-from"
    whole = "\0".join(f"{name}\0{text}" for name, text in sorted(sources.items()))
    if not (stamp.is_file() and stamp.read_text(encoding="utf-8") == whole):
        shutil.rmtree(copy, ignore_errors=True)
        for name, text in sources.items():
            path = copy / "cpu" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        for name in LINKED:
            (copy / name).symlink_to(ROOT / name)
        _compile(copy)
        stamp.write_text(whole, encoding="utf-8")
    return _laid_out(copy)


def _sources(defects: Sequence[Defect]) -> dict[str, str]:
    """All of cpu/ by name, with the defects."""
    cpu = ROOT / "cpu"
    files = [path for path in cpu.rglob("*") if path.is_file() and path.suffix not in (".so", ".pyc")]
    found = {str(path.relative_to(cpu)): path.read_text(encoding="utf-8") for path in files}
    for file, here in by_file(defects):
        if file not in found:
            raise DefectError(f"{here[0].id}: there is no cpu/{file}")
        found[file] = planted(found[file], here)
    return found | {f"core/{name}": text for name, text in SWITCH.items()}


def _compile(copy: Path) -> None:
    """The slow part."""
    environment = {**os.environ, "MINISIM_CORE_CFLAGS": FLAGS}
    command = [sys.executable, "setup.py", "-q", "build_ext", "--inplace"]
    done = subprocess.run(command, cwd=copy, env=environment, capture_output=True, text=True, check=False)
    if done.returncode or not list((copy / "cpu").glob("_core*.so")):
        lines = done.stderr.splitlines()
        errors = [line for line in lines if "error" in line][:5] or lines[-5:]
        raise DefectError("the core with the defects can't be compiled:\n" + "\n".join(errors))


def _laid_out(copy: Path) -> Path:
    """The packages as links, as the type checker has them: the project's own but for cpu/."""
    tree = copy / "tree"
    shutil.rmtree(tree, ignore_errors=True)
    (tree / "minisim").mkdir(parents=True)
    for each in (*(ROOT / "minisim").iterdir(), copy / "cpu", ROOT / "devices"):
        if each.name != "__pycache__":
            (tree / "minisim" / each.name).symlink_to(each)
    return tree
