"""What memory management costs: the mix on the fast core, with every page mapped to itself, against the mix without."""

from __future__ import annotations

from bench import mix
from bench.engines import FAST, MixGuest
from bench.race import INSTRUCTIONS, ROUNDS, Figures, Race, run

MAPPED = "memory management on"
PAGES, DESCRIPTORS, BASES, STATUS, STATUS_3 = 8, 0o772300, 0o772340, 0o777572, 0o772516
WHOLE_PAGE, IO_PAGE = 0o77406, 0o177600  # read and write, 8 KB; the top 8 KB of 22 bits


class MappedMix(MixGuest):
    """The mix with every page where it was."""

    def __init__(self, text: str) -> None:
        super().__init__(FAST, text)
        self.name = MAPPED

    def prepare(self, amount: int) -> None:
        """Registers 0, program and data fresh, memory management on."""
        self._set(STATUS, 0)
        super().prepare(amount)
        for page in range(PAGES):
            self._set(DESCRIPTORS + 2 * page, WHOLE_PAGE)
            self._set(BASES + 2 * page, IO_PAGE if page == PAGES - 1 else 0o200 * page)
        self._set(STATUS_3, 0o20)
        self._set(STATUS, 1)

    def _set(self, register: int, word: int) -> None:
        self.machine.write(0o17_000_000 | register, word, space="bus")


def cost(rounds: int = ROUNDS, instructions: int = INSTRUCTIONS) -> Figures:
    """The same instructions with it and without."""
    text = mix.text()
    race = Race("mix", [MixGuest(FAST, text), MappedMix(text)], instructions, instructions)
    return run([race], rounds)["mix"]
