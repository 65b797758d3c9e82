"""The words the catalogue files are written with: one place for the reader, the schemas and the checks."""

from __future__ import annotations

from minisim.known import Evidence

KINDS = ("boards", "backplanes", "supplies", "chassis", "drives", "cables", "media", "roms", "profiles")
"""The folders of the catalogue."""

ONE_OF = {
    "boards": "board",
    "backplanes": "backplane",
    "supplies": "supply",
    "chassis": "chassis",
    "drives": "drive",
    "cables": "cable",
    "media": "medium",
    "roms": "ROM",
    "profiles": "profile",
}
"""What one entry of a folder is called in a message."""

EVIDENCE = tuple(word.value for word in Evidence if word not in (Evidence.OWNER, Evidence.ASSUMED))
"""Evidence words a catalogue file may use: `owner` and `assumed` belong to loadouts."""

OWN_EVIDENCE = (*EVIDENCE, Evidence.OWNER.value, Evidence.ASSUMED.value)
"""Evidence words of an owner's own entries: `owner` for what was measured or read on it, `assumed` for a guess."""

OWN_FOLDER = "catalogue"
"""Name of the folder of own entries that is looked for beside a loadout or list."""

UNKNOWN = "unknown"
NONE = "none"
YES_NO = ("yes", "no")
BUSES = ("mux", "sep")
HEIGHTS = ("single", "dual", "quad", "hex")
RAILS = ("+5", "+5 standby", "+12", "-12", "+15", "-15", "+20", "-5")
SLOT_KINDS = (
    "dual",
    "twin-bus",
    "private-link",
    "processor",
    "small-peripheral",
    "modified",
    "extended",
    "bus-end",
    "dedicated",
)
BOARD_ROWS = ("A", "B", "C", "D", "AB", "CD", "ABCD", "CDEF", "ABCDEF", "unknown")
SLOT_ROWS = ("A", "B", "C", "D", "E", "F", "AB", "CD", "EF", "ABCD", "CDEF", "ABCDEF")
OPTIONS = ("eis", "fis", "fpp", "cis", "mmu", "map")
"""The options of a profile."""
RARE_OPTIONS = ("map", "stack-limit")
"""Options that a processor board may leave out of its list: it never has them then.  The last is no option of the
profile but one word of its row D24."""
BOARD_OPTION = ("standard", "socket", "board", "never", "unknown")
PROFILE_OPTION = ("standard", "option", "never")
FPP_UNIT = ("parallel", "serial", "microcode", "none")
"""Kinds of floating point processor."""
DEBUGGER = ("first-chip-set", "later", "console-processor")
"""Whose keys a console debugger has."""
LOOPS = ("20 mA", "EIA")
"""What a serial line works with: current loop or voltage levels."""
SEVERITIES = ("damage", "fault")
ENDS = ("near", "far", "either", "both-segments")
TERMINATES = ("no", "weak", "full")
TERMINATION = ("none", "weak", "full", "sockets")
IO_PAGE = 0o17777
"""Mask of an I/O-page offset; the page begins at 760000 in the 18-bit form the files use."""
