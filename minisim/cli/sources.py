"""minisim sources: the documents behind the source keys."""

from __future__ import annotations

import argparse
import json
import textwrap
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from minisim.cli._help import width

if TYPE_CHECKING:
    from minisim.sources import Source

HELP = "show which documents stand behind the source keys"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operands and options."""
    parser.epilog = "Exit code: 0, or 2 where one of the keys does not exist (the others are shown)."
    parser.add_argument("keys", nargs="*", metavar="KEY", help="a source key, as findings print it; none: all of them")
    parser.add_argument("--json", action="store_true", help="as JSON")


def run(arguments: argparse.Namespace) -> int:
    """Print the sources asked for; 2 where a key is not among them."""
    from minisim.sources import read_sources

    sources = read_sources()
    keys = [key.strip("[]") for key in arguments.keys] or list(sources)
    found = [sources[key] for key in dict.fromkeys(keys) if key in sources]
    if arguments.json:
        print(json.dumps([_record(source) for source in found], indent=2, ensure_ascii=False))
    else:
        print("\n".join(_entry(source) for source in found), end="\n" if found else "")
    return _missing(keys, sources)


def _missing(keys: Iterable[str], sources: Mapping[str, Source]) -> int:
    """Name the keys that don't exist, on the error stream."""
    import sys

    from minisim.problems import nearest

    missing = [key for key in dict.fromkeys(keys) if key not in sources]
    for key in missing:
        print(f'minisim sources: there is no source "{key}"{nearest(key, sources)}', file=sys.stderr)
    return 2 if missing else 0


def _entry(source: Source) -> str:
    """Key, then the document and how well it is known, indented."""
    text = f"{source.line} ({source.how})"
    body = textwrap.fill(text, width(), initial_indent="    ", subsequent_indent="    ", break_on_hyphens=False)
    return f"{source.key}\n{body}"


def _record(source: Source) -> dict[str, str]:
    """The JSON form: only what is known."""
    from dataclasses import asdict

    return {name: value for name, value in asdict(source).items() if value}
