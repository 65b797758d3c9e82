"""What a process of minisim costs: how long a command takes to start, and what a large machine takes of memory."""

from __future__ import annotations

import subprocess
import sys
from functools import partial
from pathlib import Path

from bench.engines import BenchError
from bench.race import ROUNDS, Figures, timed

COMMAND, PLAIN = "minisim --help", "python with yaml"
CALLS = {COMMAND: ("-m", "minisim", "--help"), PLAIN: ("-c", "import yaml")}
LARGE = "late-ttl-commercial"  # the profile that takes 4 MB
MEMORY = """
import sys
import minisim
machine = minisim.bare(profile=sys.argv[1], memory=0o17760000)
machine.memory[0:len(machine.memory)] = bytes([1]) * len(machine.memory)
machine.run(limit=1000)
print(next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM:")))
"""


def python(*arguments: str) -> str:
    """What this Python prints with these arguments.  BenchError: it fails."""
    done = subprocess.run([sys.executable, *arguments], capture_output=True, text=True, check=False)
    if done.returncode:
        said = (done.stderr.strip().splitlines() or ["nothing said"])[-1]
        raise BenchError(f"{sys.executable} {' '.join(arguments)[:40]} failed: {said}")
    return done.stdout


def start_up(rounds: int = ROUNDS) -> Figures:
    """Milliseconds of a command that needs nothing heavy, and of Python with the YAML reader."""
    taken: dict[str, list[float]] = {name: [] for name in CALLS}
    for number in range(rounds + 1):  # the first one fills the caches
        for name, arguments in CALLS.items():
            seconds = timed(partial(python, *arguments))
            if number:
                taken[name].append(seconds * 1e3)
    return Figures(taken)


def memory_mb() -> float | None:
    """Most resident memory of a process with a machine of 4 MB, in MB; None where this system does not tell."""
    if not Path("/proc/self/status").exists():
        return None
    return int(python("-c", MEMORY, LARGE)) * 1024 / 1e6
