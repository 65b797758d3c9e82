"""A processor of any profile with a console line, memory and the devices a test names: no board, no loadout."""

from __future__ import annotations

from collections.abc import Iterable

from minisim.cpu.profile import available, configuration, named
from minisim.devices._device import Placement, model_of
from minisim.known import Known
from minisim.machine.assemble import Source, put_together
from minisim.machine.machine import Machine


def placement(device: str, base: int, *vectors: tuple[int, int], **more: object) -> Placement:
    """A device at an offset of the I/O page, with (vector, level) pairs."""
    return Placement(device, "test", base=base, vectors=vectors, order=64, granted=True, **more)  # type: ignore[arg-type]


CONSOLE = placement("serial-line", 0o17560, (0o60, 4), (0o64, 4), settings={"baud": "9600"}, bauds=("9600",))
SWITCHES = Placement("switch-register", "test", register=0)


def rig(
    profile: str, options: Iterable[str] | None = None, *more: Placement, kb: int = 56, switches: bool = False
) -> Machine:
    """The machine; options None: all that the profile can have."""
    chosen = configuration(profile, available(named(profile)) if options is None else options)
    bits = named(profile).address_bits
    wanted = [CONSOLE, *([SWITCHES] if switches else []), *more]
    devices = []
    for each in wanted:
        model = model_of(each.device)
        assert model is not None, each.device
        devices += model.build(each)
    return put_together(
        chosen, [(0, kb * 1024)], devices,
        address_bits=bits.peek if isinstance(bits, Known) else 16, console=0, source=Source(name=profile, place="test"),
    )  # fmt: skip
