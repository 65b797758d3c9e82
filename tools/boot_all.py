"""Boots every device of ours that boots, on every bus it exists on: `make boot-all`.

Each loadout of tests/boot is laid into a folder of its own with a medium and a boot ROM made for it.  It must pass
`check`.  The resident program comes up, keeps a file, and the machine is switched off; a second machine reads the file
back and verifies the medium; what is on it must be what Python reads there.  Paper tape boots with its demo machines.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import minisim
from minisim.catalogue import Catalogue
from minisim.media import Writing, geometry_of, open_medium
from minisim.resident import BOOTS, files_in, image_of, rom_of
from minisim.rom_image import write_rom
from minisim.wiring.resolve import resolve

ROOT = Path(__file__).resolve().parent.parent
LOADOUTS = ROOT / "tests" / "boot"
KITTIWAKE = ROOT / "loadouts" / "kittiwake"
TAPES = {"gauge.yaml": "End of the table", "desk.yaml": "End of the table"}
LIMIT = 200_000_000
LINES = ("high water 0412 3.71 m", "low water 1027 0.64 m")
KNOWN = {"harbour": b"Harbour master: rung at six.\r\n"}


class FailedError(Exception):
    """A machine did not do what it should."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table."""

    loadout: str
    medium: str
    instructions: int
    time_ns: int
    outcome: str


def laid_out(loadout: Path, folder: Path) -> tuple[Path, str]:
    """A loadout with its medium and its ROM in a folder of its own; and the kind of the medium."""
    catalogue, there = Catalogue(), folder / loadout.name
    shutil.copy(loadout, there)
    (folder / "media").mkdir()
    text = loadout.read_text(encoding="utf-8")
    medium = next(folder / word for word in text.replace("}", " ").split() if word.startswith("media/system."))
    drive = next(one for one in catalogue.ids("drives") if f"to: {one}," in text and not one.startswith("terminal"))
    kind = catalogue.drive(drive).media[0]
    geometry = geometry_of(catalogue.medium(kind))
    device = BOOTS[catalogue.drive(drive).controller]
    assert geometry is not None
    medium.write_bytes(image_of(geometry, "tide", KNOWN))
    start = 0o173030 if "start: 173030" in text else 0o173000
    write_rom(
        folder / "media" / "boot.rom",
        rom_of(device.device, start),
        start=start,
        boots=device.rom_boots(catalogue),
        expects=None,
        source=" ".join(device.rom),
    )
    return there, kind


def until(machine: minisim.Machine, text: str) -> str:
    """Run until the console prints a text; everything printed since the last time."""
    stop = machine.run(LIMIT, minisim.Text(text))
    printed = machine.console.take().decode("latin-1")
    if stop.reason is not minisim.Reason.REACHED:
        raise FailedError(f'no "{text}": {stop}; printed: {printed[-200:]!r}')
    return printed


def say(machine: minisim.Machine, text: str, answer: str = "tide: ") -> str:
    """Type a line and wait for the answer."""
    machine.console.feed(text.encode("ascii") + b"\r")
    return until(machine, answer)


def booted(path: Path) -> minisim.Machine:
    """A checked machine with the prompt of the resident program."""
    loadout = minisim.read_loadout(path)
    report = minisim.check(loadout)
    if report.worst is not None and report.worst in (minisim.Severity.DAMAGE, minisim.Severity.FAULT):
        raise FailedError(f"check: {[str(one.rule) for one in report.findings]}")
    machine = minisim.build(loadout)
    until(machine, "tide: ")
    return machine


def expect(there: str, wanted: str) -> None:
    """What was printed must hold this."""
    if wanted not in there:
        raise FailedError(f"{wanted!r} is not in {there!r}")


def both_boots(path: Path, kind: str) -> Row:
    """Keep a file, switch off, boot again, read it back."""
    with booted(path) as machine:
        begun = machine.instructions, machine.time_ns
        expect(say(machine, "list"), "harbour")
        machine.console.feed(b"keep tides\r")
        for line in LINES:
            machine.console.feed(line.encode("ascii") + b"\r")
        expect(say(machine, ""), "kept")
    with booted(path) as machine:
        printed = say(machine, "print tides")
        for line in LINES:
            expect(printed, f"{line}\r\n")
        expect(say(machine, "verify"), "tides    good")
    after_python(path, kind)
    return Row(path.name, kind, *begun, "kept, read back")


def after_python(path: Path, kind: str) -> None:
    """The medium as Python reads it: overlay and image together."""
    image = next(one for one in (path.parent / "media").glob("system.*") if one.suffix not in (".overlay", ".yaml"))
    with open_medium(image, Catalogue(), kind=kind, writing=Writing.NEVER) as medium:
        files = dict(files_in(medium.read(0, medium.geometry.sectors), medium.geometry))
    wanted = {**KNOWN, "tides": "".join(f"{line}\r\n" for line in LINES).encode("ascii")}
    if files != wanted:
        raise FailedError(f"on the medium lies {files}")


def from_tape(path: Path, text: str) -> Row:
    """A demo machine that boots from its paper tape."""
    loadout = minisim.read_loadout(path)
    with minisim.build(loadout) as machine:
        until(machine, text)
        media = sorted({end.media.suffix for end in loadout.cables if end.media is not None})
        return Row(path.name, ", ".join(media), machine.instructions, machine.time_ns, "table printed")


def rows() -> Iterator[Row]:
    """Every machine in turn; FailedError names the first that fails."""
    for loadout in sorted(LOADOUTS.glob("*.yaml")):
        with tempfile.TemporaryDirectory() as folder:
            path, kind = laid_out(loadout, Path(folder))
            try:
                yield both_boots(path, kind)
            except FailedError as error:
                yield Row(loadout.name, kind, 0, 0, f"FAILED: {error}")
    for name, text in TAPES.items():
        yield from_tape(KITTIWAKE / name, text)


def bus_of(name: str) -> str:
    """The bus of a loadout."""
    path = next(folder / name for folder in (LOADOUTS, KITTIWAKE) if (folder / name).exists())
    return resolve(minisim.read_loadout(path), Catalogue()).bus if path.parent == KITTIWAKE else name.split("-")[0]


def main() -> int:
    """Print the table; 0 if every machine did it all."""
    failed = 0
    print(f"{'loadout':<29}{'bus':<5}{'medium':<24}{'instructions':>13}{'guest time':>13}  outcome")
    for row in rows():
        failed += row.outcome.startswith("FAILED")
        seconds = f"{row.time_ns / 1e9:.2f} s"
        what = f"{row.loadout:<29}{bus_of(row.loadout):<5}{row.medium:<24}"
        print(f"{what}{row.instructions:>13}{seconds:>13}  {row.outcome}", flush=True)
    return int(failed > 0)


if __name__ == "__main__":
    sys.exit(main())
