"""Nine-track reels in `minisim media`: they are told by their ending."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from minisim.cli._media_files import error, must_be_new


def is_reel(path: str) -> bool:
    """Files of nine-track tape are told by their ending."""
    return Path(path).suffix == ".reel"


def new_reel(path: str, data: bytes, each: int, *, marks: int) -> None:
    """Blocks of equal length and tape marks behind them; never over a file."""
    from minisim.media.reel import LONGEST_BLOCK, Block, Item, TapeMark, write_reel

    if not 1 <= each <= LONGEST_BLOCK:
        raise error(path, f"a block has 1 to {LONGEST_BLOCK} bytes, not {each}")
    must_be_new(path)
    blocks: list[Item] = [Block(data[at : at + each]) for at in range(0, len(data), each)]
    write_reel(Path(path), blocks + [TapeMark()] * marks)


def import_reel(arguments: argparse.Namespace) -> int:
    """A dump as blocks of one file, with two marks behind it: the end of what is written."""
    from minisim.files import read_at_most
    from minisim.media.reel import LONGEST_REEL

    dump = read_at_most(arguments.dump, LONGEST_REEL // 2, "a dump")
    new_reel(arguments.out, dump, arguments.block_bytes, marks=2)
    print(f"{arguments.out}: a reel, {len(dump)} bytes in blocks of {arguments.block_bytes}, two tape marks")
    return 0


def export_reel(arguments: argparse.Namespace) -> int:
    """The blocks of a reel one behind the other; marks and gaps are left out."""
    from minisim.files import write_atomically
    from minisim.media.reel import Block, read_reel

    must_be_new(arguments.out)
    data = b"".join(item.data for item in read_reel(Path(arguments.image)) if isinstance(item, Block))
    write_atomically(arguments.out, data)
    print(f"{arguments.out}: {len(data)} bytes, without marks and gaps")
    return 0


def inspect_reel(image: str, as_json: bool) -> None:
    """What is on a reel, in runs of equal items."""
    from minisim.media.reel import Block, TapeMark, lines, read_reel

    items = list(read_reel(Path(image)))
    sizes = [len(item.data) for item in items if isinstance(item, Block)]
    marks = sum(isinstance(item, TapeMark) for item in items)
    gaps = len(items) - len(sizes) - marks
    if as_json:
        counts = {"blocks": len(sizes), "marks": marks, "gaps": gaps, "bytes": sum(sizes)}
        print(json.dumps({"reel": 1, "file": image, **counts, "items": [one.strip() for one in lines(items)]}))
        return
    more = f", {gaps} gaps" if gaps else ""
    print(f"{image}: a reel, {len(sizes)} blocks, {marks} marks, {sum(sizes)} bytes{more}")
    print("\n".join(lines(items)))
