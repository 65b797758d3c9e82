"""What trial cases and property tests have reached of the goals of each instruction (minisim/trials/goals.py).

Every goal that nothing has reached needs a reason in minisim/trials/open-goals.yaml.  With --write the page
docs/reference/coverage-goals.md is written; else: is it current?  Exit 1: a goal without a reason, a reason too many,
or an old page.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from pathlib import Path
from random import Random
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests"))

import oracle_samples  # noqa: E402
from lockstep.trials import Maker  # noqa: E402

import minisim  # noqa: E402
from minisim.catalogue.reader import Catalogue  # noqa: E402
from minisim.cpu import Record, records  # noqa: E402
from minisim.cpu._core import ffi, lib  # noqa: E402
from minisim.trials.goals import Watcher  # noqa: E402
from minisim.trials.goals_page import PAGE, Coverage, text_of  # noqa: E402
from minisim.trials.open_goals import open_goals  # noqa: E402
from minisim.trials.reader import read_set  # noqa: E402
from minisim.trials.runner import Bench  # noqa: E402

SEED, TRIALS, ODD_CORNERS = 1, 400, 24
# Every instruction is an option or a standard of one of them.
PROPERTY_PROFILES = ("late-single-chip-sep", "late-ttl-commercial", "microcoded-mid")
TOP = 0o40000
EXTREMES = (0, 1, 0o77777, 0o100000, 0o177777, 0o177, 0o200, 0o377)


def by_cases() -> Watcher:
    """All trial cases on all profiles."""
    watcher, catalogue, cases = Watcher(), Catalogue(), read_set().cases
    for name in catalogue.ids("profiles"):
        bench = Bench(catalogue.profile(name), watcher=watcher)
        for case in cases:
            bench.result(case)
    return watcher


def by_oracles() -> Watcher:
    """Seeded samples of the random cases that the oracles judge."""
    watcher = Watcher()
    oracle_samples.watch_all(watcher)
    return watcher


def by_lockstep() -> Watcher:
    """Random places such as the two cores are compared from (tests/lockstep/trials.py); here they are compared too."""
    watcher = Watcher()
    for profile in PROPERTY_PROFILES:
        machines = [minisim.bare(profile, memory=TOP) for _ in range(2)]
        rng = Random(f"{SEED} {profile}")
        maker = Maker(rng, ODD_CORNERS, TOP)
        for record in records():
            _try(machines, record, maker, rng, watcher)
    return watcher


def _image(maker: Maker, rng: Random) -> bytes:
    """Memory: mostly addresses, here and there a value at the end of a range."""
    image = bytearray(maker.memory())
    for at in range(0, len(image), 2):
        if rng.randrange(6) == 0:
            image[at : at + 2] = rng.choice(EXTREMES).to_bytes(2, "little")
    return bytes(image)


def _map(raw: Any, on: bool) -> None:
    """Memory management off, or on with the pages that hold memory, and the I/O page, where they are."""
    wide = raw.address_bits == 22
    for mode in (0, 1, 3):
        for space in (0, 1):
            for page in range(8):
                raw.par[mode][space][page] = 0o200 * page if page < 7 else 0o177600 if wide else 0o7600
                raw.pdr[mode][space][page] = 0o77406 if page < TOP // 0o20000 or page == 7 else 0
    raw.mmr = [int(on), 0, 0, (0o30 if wide else 0) if on else 0]
    lib.ms_mapping_changed(raw)


def _try(machines: Sequence[minisim.Machine], record: Record, maker: Maker, rng: Random, watcher: Watcher) -> None:
    """One instruction from many states, watched on the reference core, and on the fast core beside it."""
    raws, words, image = [machine._raw for machine in machines], list(record.words()), _image(maker, rng)
    has_mapping = "mmu" in machines[0].layout.options
    for raw in raws:
        lib.ms_power_up(raw, 0, 0)
    for number in range(TRIALS):
        at = rng.randrange(0o1000, TOP - 0o200, 2)
        code = [rng.choice(words), *(rng.choice(maker.addresses) for _ in range(2))]
        ps = rng.randrange(16) | rng.choice((0, 0, 0o140000, 0o170000))
        registers = [rng.choice(EXTREMES if rng.randrange(4) == 0 else maker.addresses) for _ in range(6)]
        registers += [rng.choice(maker.stacks), at]
        for raw in raws:
            if number % 50 == 0:
                lib.ms_put_memory(raw, 0, image, len(image))
            lib.ms_put_memory(raw, at, b"".join(word.to_bytes(2, "little") for word in code), 6)
            lib.ms_set_ps(raw, ps)
            _map(raw, has_mapping and number % 2 > 0)
            raw.r, raw.error_register = registers, 0
        watcher.step(raws[0])
        lib.ms_run(raws[1], 1)
        found = [(list(raw.r), lib.ms_get_ps(raw), bytes(ffi.buffer(raw.memory, TOP))) for raw in raws]
        if found[0] != found[1]:
            raise AssertionError(f"{record.mnemonic} {code[0]:06o}: the cores differ from {registers}, PS {ps:06o}")


def main() -> int:
    """Measure, compare with the reasons, write or check the page."""
    began = time.monotonic()
    coverage = Coverage(by_cases().reached, by_oracles().reached, by_lockstep().reached, open_goals())
    for line in coverage.lines():
        print(line)
    wrong = bool(coverage.unexplained or coverage.needless)
    page, text = ROOT / "docs" / PAGE, text_of(coverage)
    if "--write" in sys.argv[1:]:
        page.write_text(text, "utf-8")
    elif not page.is_file() or page.read_text("utf-8") != text:
        print(f"docs/{PAGE} is not current: make goals")
        wrong = True
    print(f"{coverage.summary} {time.monotonic() - began:.0f} s")
    return int(wrong)


if __name__ == "__main__":
    raise SystemExit(main())
