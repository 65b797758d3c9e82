"""What the builders of one loadout share: the catalogue, the folder of its files, and the list of problems."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from minisim.catalogue.reader import Catalogue
from minisim.findings import Mark
from minisim.loadout.convert import Value, note, quoted
from minisim.loadout.fields import FieldError
from minisim.loadout.files import Tree
from minisim.problems import Problem


@dataclass(frozen=True, slots=True)
class Context:
    """One reading of one file."""

    catalogue: Catalogue
    tree: Tree
    problems: list[Problem]

    def say(self, mark: Mark, message: str) -> None:
        """Write a problem down."""
        note(self.problems, mark, message)

    def file(self, written: Value, key: str, what: str) -> Path | None:
        """The file that a key names, or None with a problem written down."""
        try:
            return self.tree.find(str(written.value), what)
        except FieldError as error:
            self.say(written.mark, f"{key} {quoted(written.text)}: {error}")
            return None
