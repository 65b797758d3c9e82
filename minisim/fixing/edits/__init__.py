"""What a repair can change in a loadout, as values: each knows its cost, says itself in words, and finds its place
in the owner's text."""

from minisim.fixing.edits._edit import Edit
from minisim.fixing.edits.backplane import PlugJoint, SetRegulator, SetWire
from minisim.fixing.edits.boards import Move, MoveBoards, PutBoard, RemoveBoard
from minisim.fixing.edits.hanging import HaltOff, SetAcceptance, SetCable
from minisim.fixing.edits.settings import SetDescribed, SetOption, SetOrder, SetSetting

__all__ = [
    "Edit",
    "HaltOff",
    "Move",
    "MoveBoards",
    "PlugJoint",
    "PutBoard",
    "RemoveBoard",
    "SetAcceptance",
    "SetCable",
    "SetDescribed",
    "SetOption",
    "SetOrder",
    "SetRegulator",
    "SetSetting",
    "SetWire",
]
