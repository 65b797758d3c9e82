"""One thread at a machine at a time."""

from __future__ import annotations

import threading
from collections.abc import Callable

from minisim.machine.errors import MachineError


class Hold:
    """Keeps two threads out of one machine, with a message instead of a wait.

    The core runs without the interpreter's lock: a ring that one thread feeds while another one runs would be lost.
    """

    def __init__(self, at_end: Callable[[], None] = lambda: None) -> None:
        self._lock = threading.RLock()
        self._at_end = at_end  # raises what went wrong inside of a call from the core

    def __enter__(self) -> None:
        if not self._lock.acquire(blocking=False):
            raise MachineError("the machine is running in another thread")

    def __exit__(self, *_: object) -> None:
        self._lock.release()
        self._at_end()
