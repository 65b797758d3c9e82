"""A machine on the bench in a terminal, as a program of its own: python at_bench.py LOADOUT [full | real]."""

from __future__ import annotations

import sys

import minisim
from minisim.bench.bench import Bench
from minisim.bench.screen import run_bench


def main() -> None:
    """Until the user leaves."""
    loadout = minisim.read_loadout(sys.argv[1])
    machine = minisim.build(loadout)
    run_bench(Bench(machine, loadout=loadout, pace=sys.argv[2]))


if __name__ == "__main__":
    main()
