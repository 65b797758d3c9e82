"""Writes the generated pages under docs/, or says which are not current (--check, exit 1).

Every module named page.py or *_page.py that has `pages() -> dict[Path, str]` writes some: path under docs/ -> text.
Folders named in GENERATED belong to the generator alone: a file there that nobody writes any more is removed.
"""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = {"minisim": "minisim", "cpu": "minisim.cpu", "devices": "minisim.devices"}
GENERATED = ("reference/rules", "reference/devices", "reference/symptoms")


def page_modules() -> list[str]:
    """Import names of every page module, from the files themselves."""
    names = []
    for folder, package in PACKAGES.items():
        for path in sorted((ROOT / folder).rglob("*page.py")):
            if "def pages()" in path.read_text("utf-8"):
                names.append(".".join([package, *path.relative_to(ROOT / folder).with_suffix("").parts]))
    return names


def all_pages() -> dict[Path, str]:
    """Every generated page; two generators of one page are an error."""
    pages: dict[Path, str] = {}
    for name in page_modules():
        for path, text in importlib.import_module(name).pages().items():
            if path in pages:
                raise SystemExit(f"docs/{path} is written by two generators, the second is {name}")
            pages[path] = text if text.endswith("\n") else text + "\n"
    return pages


def stale(pages: dict[Path, str]) -> list[Path]:
    """Files in generated folders that no generator writes."""
    docs = ROOT / "docs"
    found = [p.relative_to(docs) for folder in GENERATED for p in (docs / folder).rglob("*") if p.is_file()]
    return [path for path in found if path not in pages]


def main() -> int:
    """Write, or with --check compare."""
    pages, docs = all_pages(), ROOT / "docs"
    differing = [p for p, text in pages.items() if not (docs / p).is_file() or (docs / p).read_text("utf-8") != text]
    left_over = stale(pages)
    if "--check" in sys.argv[1:]:
        for path in [*differing, *left_over]:
            print(f"docs/{path} is not current: run make docs")
        return 1 if differing or left_over else 0
    for path in differing:
        (docs / path).parent.mkdir(parents=True, exist_ok=True)
        (docs / path).write_text(pages[path], "utf-8")
        print(f"wrote docs/{path}")
    for path in left_over:
        (docs / path).unlink()
        print(f"removed docs/{path}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
