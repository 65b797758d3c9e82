"""Findings shown at work: the emulated machine is booted with its fault, and what follows is told.

wired = resolve(loadout, catalogue)
for shown in show(finding, wired, check_wired(wired), catalogue): ...
"""

from __future__ import annotations

from minisim.consequence._framework import Kind, kinds, served, show, shows
from minisim.consequence.model import NotShownError, Shown

__all__ = ["Kind", "NotShownError", "Shown", "kinds", "served", "show", "shows"]
