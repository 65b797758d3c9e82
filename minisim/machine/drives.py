"""The drives of a running machine: what is put in, taken out, protected."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from minisim.media.writing import Writing

if TYPE_CHECKING:
    from minisim.devices._controller import Drive, SectorMedium
    from minisim.machine.controllers import Controllers
    from minisim.machine.inputs import Inputs


class Drives(Mapping[str, "Drive"]):
    """Drives by place: `main/a/3:0` is unit 0 of the board at main/a/3.  NotFittedError for a place without one."""

    def __init__(self, controllers: Controllers, inputs: Inputs) -> None:
        self._controllers, self._inputs, self._hold = controllers, inputs, inputs.hold

    def __getitem__(self, place: str) -> Drive:
        return self._controllers.drive(place)[1]

    def __iter__(self) -> Iterator[str]:
        return iter(self._controllers.drives())

    def __len__(self) -> int:
        return len(self._controllers.drives())

    def put_in(self, place: str, path: str | Path, *, write_through: bool = False) -> None:
        """Put a medium in; one that was in is taken out.  LoadoutError: the image can't be used in this drive."""
        from minisim.catalogue import Catalogue
        from minisim.machine.media import opened

        writing = Writing.THROUGH if write_through else Writing.APART
        drive, path = self[place], Path(path)
        with self._hold:
            if drive.medium is not None and drive.medium.path and Path(drive.medium.path).resolve() == path.resolve():
                self.take_out(place)  # the same one again
            self.put(place, opened(path, drive.takes, Catalogue(), writing=writing, mark=None))

    def put(self, place: str, medium: SectorMedium) -> None:
        """The same with a medium that is open already."""
        controller, drive = self._controllers.drive(place)
        with self._hold:
            self.take_out(place)
            self._inputs.of_drive("put in", place, medium=medium)
            drive.medium, drive.off_line = medium, ""
            controller.changed(drive.unit)

    def take_out(self, place: str) -> None:
        """Take the medium out, if one is in."""
        controller, drive = self._controllers.drive(place)
        with self._hold:
            if drive.medium is not None:
                self._inputs.of_drive("take out", place)
                drive.medium.close()
                drive.medium = None
                controller.changed(drive.unit)

    def protect(self, place: str, on: bool = True) -> None:
        """Move the write-protect switch.  LoadoutError: off, and another machine has the medium in."""
        controller, drive = self._controllers.drive(place)
        with self._hold:
            if not on:
                self._open_for_writing(drive)
            self._inputs.of_drive("protect", place, on=on)
            drive.protected = on
            controller.switched(drive.unit)

    def _open_for_writing(self, drive: Drive) -> None:
        """A medium that was put in protected is open for looking only."""
        from minisim.catalogue import Catalogue
        from minisim.machine.media import opened
        from minisim.media import Medium

        medium = drive.medium
        if isinstance(medium, Medium) and medium.writing is Writing.NEVER:
            medium.close()
            drive.medium = None
            drive.medium = opened(medium.path, drive.takes, Catalogue(), writing=Writing.APART, mark=None)
