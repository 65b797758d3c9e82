"""Guest time beside real time."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from minisim.bench.bench import Bench

LATE = 1.0  # seconds behind real time after which it is no longer made up for


class Pace:
    """How far the guest is ahead of real time, since the two last met."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._anchor = 0.0
        self.meet()

    def meet(self) -> None:
        """Guest time and real time meet here."""
        self._anchor = time.monotonic() - self._guest()

    def ahead(self) -> float:
        """Seconds to wait, 0 at full pace; where the host can't keep up, both start again from here."""
        if self._bench.pace != "real":
            return 0.0
        ahead = self._guest() + self._anchor - time.monotonic()
        if ahead < -LATE:
            self.meet()
        return max(ahead, 0.0)

    def _guest(self) -> float:
        return self._bench.machine.time_ns / 1e9
