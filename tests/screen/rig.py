"""A terminal inside the process: keys go in, and an emulated screen shows what a person would see."""

from __future__ import annotations

import asyncio
import os
import termios
from collections.abc import Awaitable, Callable
from unittest.mock import patch

import pyte
from prompt_toolkit.input import PipeInput, create_pipe_input
from prompt_toolkit.output import create_output

from minisim.screen import Scene, Show


class _Wire:
    """What is written to the terminal; counted, and shown by the emulated screen."""

    def __init__(self, columns: int, rows: int, encoding: str) -> None:
        self.encoding = encoding
        self._ends = os.openpty()  # only its size is asked for
        self.written = 0
        self.all = ""
        self.screen = pyte.Screen(columns, rows)
        self._stream = pyte.Stream(self.screen)
        self.resize(columns, rows)

    def write(self, data: str) -> int:
        shown = data.encode(self.encoding, "replace").decode(self.encoding)
        self.written += len(shown)
        self.all = (self.all + shown)[-20_000:]
        self._stream.feed(shown)
        return len(data)

    def flush(self) -> None:
        """Nothing is held."""

    def isatty(self) -> bool:
        return True

    def fileno(self) -> int:
        return self._ends[1]

    def close(self) -> None:
        for end in self._ends:
            os.close(end)

    def resize(self, columns: int, rows: int) -> None:
        termios.tcsetwinsize(self._ends[1], (rows, columns))
        self.screen.resize(rows, columns)


class Rig:
    """One view on the terminal, driven by a script."""

    def __init__(self, scene: Scene, pipe: PipeInput, columns: int, rows: int, encoding: str, term: str) -> None:
        self.scene, self._pipe = scene, pipe
        self.wire = _Wire(columns, rows, encoding)
        with patch.dict(os.environ, TERM=term):
            output = create_output(self.wire)  # type: ignore[arg-type]  # all that is asked of a file
        self.show = Show(scene, pipe, output)
        self.show.app.terminal_size_polling_interval = 0.02

    async def keys(self, text: str, wait: float = 0.25) -> list[str]:
        """Press some keys and give the screen after the next frames."""
        self._pipe.send_text(text)
        await asyncio.sleep(wait)
        return self.seen()

    async def until(self, holds: Callable[[list[str]], bool]) -> list[str]:
        """The screen as soon as something holds of it, or after ten seconds."""
        for _ in range(200):
            if holds(self.seen()):
                break
            await asyncio.sleep(0.05)
        return self.seen()

    def seen(self) -> list[str]:
        """The screen as text, without spaces at the ends."""
        return [row.rstrip() for row in self.wire.screen.display]


Script = Callable[[Rig], Awaitable[None]]


def drive(
    scene: Scene,
    script: Script,
    columns: int = 80,
    rows: int = 24,
    encoding: str = "utf-8",
    term: str = "xterm",
    limit: float = 60.0,
) -> Rig:
    """Show a view, run the script beside it, and leave; what the view raises comes out."""

    async def main(pipe: PipeInput) -> Rig:
        rig = Rig(scene, pipe, columns, rows, encoding, term)
        shown = asyncio.create_task(rig.show.run_async())
        while not rig.show.frames and not shown.done():
            await asyncio.sleep(0.01)
        await asyncio.sleep(0.1)
        beside = asyncio.create_task(_script(script, rig))
        done, _ = await asyncio.wait({shown, beside}, return_when=asyncio.FIRST_EXCEPTION)
        for task in done:
            task.result()
        await asyncio.gather(shown, beside)
        rig.wire.close()
        return rig

    with create_pipe_input() as pipe:
        return asyncio.run(asyncio.wait_for(main(pipe), limit))


async def _script(script: Script, rig: Rig) -> None:
    await script(rig)
    rig.scene.done = True
    rig.show.wake()
