"""The page docs/sources.md, made from minisim/sources.yaml."""

from __future__ import annotations

from pathlib import Path

from minisim.sources import KNOWN_WORDS, Source, read_sources

_HEAD = """# Sources

Every figure of the project names its source by a key, `[handbook-1969]` for instance. This page says which document
stands behind a key and how well it is known here. It is made from `minisim/sources.yaml`: change that file, not this.

The titles are those printed on the documents, so this is the one page with names of makers and machines. Where only
an opening, a summary or an excerpt was read, the last column says so. Posts are given by date, without persons.
"""
_SECTIONS = {
    "read": ("Read", "A stored page of the document, or the part named, was read for this work.", "What was read"),
    "quoted": ("Quoted", "Known through another source, which quotes it.", "Through"),
    "not read": (
        "Not read",
        "Recalled, not seen. Places where an unconfirmed figure can be looked up; no proof that it is printed there.",
        "Remark",
    ),
    "no document": ("No document", "What people who work on such machines do, without a document behind it.", "Remark"),
}


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    return {Path("sources.md"): bibliography()}


def bibliography() -> str:
    """The whole page."""
    sources = read_sources().values()
    sections = [_section(word, [source for source in sources if source.known == word]) for word in KNOWN_WORDS]
    return _HEAD + "".join(sections)


def _section(word: str, sources: list[Source]) -> str:
    title, text, last = _SECTIONS[word]
    rows = "".join(_row(source) for source in sorted(sources, key=lambda source: source.key))
    head = f"| Key | Document | Number | Year | Pages or part | {last} |\n|---|---|---|---|---|---|\n"
    return f"\n## {title}\n\n{text}\n\n{head}{rows}"


def _row(source: Source) -> str:
    cells = (f"`{source.key}`", source.title, source.number, source.year, source.pages, source.part)
    return f"| {' | '.join(cell.replace('|', chr(92) + '|') or '-' for cell in cells)} |\n"
