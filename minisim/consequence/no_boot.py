"""The machine that does not start: what the processor does at power-up."""

from __future__ import annotations

from minisim.catalogue.reader import Catalogue
from minisim.consequence._bench import Bench, shown
from minisim.consequence._framework import shows
from minisim.consequence.model import NotShownError, Shown
from minisim.findings import Finding
from minisim.machine.records import Reason
from minisim.wiring.model import Wired

STEPS, LIMIT = 12, 200_000


@shows("no-boot-path", "power-up-starts-nowhere")
def no_boot(finding: Finding, wired: Wired, catalogue: Catalogue) -> Shown:
    """Switch on as the loadout says, and follow the first instructions."""
    bench = Bench(wired, catalogue)
    machine = bench.machine
    if machine.layout.start is None:
        raise NotShownError(
            "where the processor starts is not known" + (f" ({wired.boot.how})" if wired.boot.how else "")
        )
    rom = wired.roms[wired.boot.rom] if wired.boot.rom is not None else None
    if rom is not None and rom.fitted is not None and rom.fitted.image is None:
        raise NotShownError(f"it starts in {rom.fitted.rom}, whose words are not at hand")
    first = machine.layout.start[0]
    machine.power_up()
    for _ in range(STEPS):
        step = machine.step()
        bench.say("; ".join(step.explanation))
        if step.reason is not Reason.LIMIT:
            break
    stop = machine.run(LIMIT) if step.reason is Reason.LIMIT else None
    end = str(stop) if stop is not None else f"the processor halted; next would be {machine.cpu.pc:06o}"
    bench.say(end)
    printed = b"" if machine.layout.console is None else machine.console.take()
    traps = {f"{vector:03o}": count for vector, count in machine.counters().traps.items()}
    return Shown(
        kind="the machine that does not start",
        does=f"Nothing is put into memory; the machine is switched on, and the first instruction is fetched at "
        f"{shown(first)}.",
        expected="A boot ROM begins there and goes to a device of this machine.",
        happened=f"{_sentence(traps)}{end[0].upper()}{end[1:]}. Characters at the console: {len(printed)}.",
        trace=tuple(bench.trace),
        facts={
            "start": shown(first),
            "instructions": machine.instructions,
            "halted": int(bool(machine._raw.halted)),
            "pc": f"{machine.cpu.pc:06o}",
            "traps": tuple(f"{vector}: {count}" for vector, count in traps.items()),
            "printed": len(printed),
        },
        really="After a real power-up memory holds anything; in the model memory and empty ROM sockets read as 0.",
    )


def _sentence(traps: dict[str, int]) -> str:
    """How often which trap was taken."""
    told = [f"{count} through {vector}" for vector, count in traps.items()]
    return f"Traps: {', '.join(told)}. " if told else ""
