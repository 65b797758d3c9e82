"""Loadout version 1, declared once: every key, its type and one line about it.

The reader takes from here which keys are allowed and how their text is read; `minisim schema` prints the same as JSON
Schema.  What needs the catalogue (does this board have that setting?) is in `minisim.loadout.build`.
"""

from __future__ import annotations

from minisim.loadout import fields as f
from minisim.loadout.places import PLACE, SLOTS
from minisim.loadout.shape import IdOf, Key, ListOf, MapOf, Record, TextOr

VERSION = "1"
"""The version this program reads and writes."""

STATES = ("planned", "as-found")
HEIGHTS = ("single", "dual", "quad", "hex")
RAILS = ("+5", "+5 standby", "+12", "-12", "+15", "-15", "+20", "-5")
CHARACTER_BITS = ("5", "6", "7", "8")
PARITIES = ("none", "odd", "even", "mark", "space")
STOP_BITS = ("1", "1.5", "2")
WIRINGS = ("current-loop", "eia")
LOOP_SIDES = ("active", "passive")
MEMORY_VOLTS = ("12", "15")
TERMINAL = "terminal"
"""What a cable may lead to beside a drive of the catalogue."""

_RAIL = f.choice("a rail", RAILS)
_CURRENTS = MapOf(_RAIL, f.AMPERES, "a mapping of rails to amperes")

DESCRIBED_BOARD = Record(
    "a board described in place",
    (
        Key("height", f.choice("height of the board", HEIGHTS), "height of the board"),
        Key("interrupts", f.YES_NO, "does it interrupt"),
        Key("dma", f.YES_NO, "does it do direct memory access"),
        Key("passes-grant", f.YES_NO, "does it hand the bus grants on"),
        Key("amps", _CURRENTS, "current it takes from each rail, in amperes"),
        Key("ac", f.LOADS, "AC bus loads"),
        Key("dc", f.LOADS, "DC bus loads"),
        Key("address", f.REGISTER_ADDRESS, "address of its first register"),
        Key("words", f.count("number of registers", 1, 4096), "number of its registers, 16 bits each; 1 if not given"),
        Key("vector", f.VECTOR, "its first vector"),
        Key("vectors", f.count("number of vectors", 1, 64), "number of its vectors; 1 if not given"),
        Key("level", f.count("bus request level", 4, 7), "bus request level, 4 to 7"),
    ),
)

ROM_FITTED = Record(
    "a ROM",
    (
        Key("rom", IdOf("roms", "ROM"), "what the ROM holds: an id of the catalogue", required=True),
        Key("image", f.TEXT, "file of its words, relative to the folder of the loadout"),
        Key("words", f.count("number of words", 1, 4096), "words the image must have"),
        Key("checksum", f.WORD, "sum printed on the ROM, octal: of its bytes or of its words, the carries dropped"),
        Key("sha256", f.SHA256, "SHA-256 sum the image must have"),
    ),
)

BOARD = Record(
    "a board",
    (
        Key(
            "board",
            TextOr(
                IdOf("boards", "board", described=True),
                Record(
                    "a board nobody knows",
                    (Key("describe", DESCRIBED_BOARD, "what is known of a board that is not in the catalogue", True),),
                ),
            ),
            "the board kind: an id of the catalogue, or {describe: ...}",
            required=True,
        ),
        Key("item", f.LOOSE_TEXT, "name of this very piece in the owner's stock"),
        Key(
            "order",
            ListOf(f.LOOSE_TEXT, "a list of markings"),
            "of a set of boards: the numbers on their handles, from its first slot on",
        ),
        Key("options", ListOf(f.LOOSE_TEXT, "a list of options"), "processor options fitted, such as [eis, fpp]"),
        Key("settings", MapOf(f.LOOSE_TEXT, f.RAW_TEXT, "a mapping of settings"), "switches and jumpers by name"),
        Key(
            "roms",
            MapOf(f.REGISTER_ADDRESS, TextOr(IdOf("roms", "ROM"), ROM_FITTED), "a mapping of addresses to ROMs"),
            "ROMs fitted, by the address of their socket or window",
        ),
    ),
)

JOINT = Record(
    "a joint between two units",
    (
        Key("cable", IdOf("cables", "cable"), "the cable that joins this unit to the one before it", required=True),
        Key("length-m", f.METRES, "its length in metres"),
        Key("connected", f.YES_NO, "is it plugged in; yes if not given"),
    ),
)

WIRES = Record(
    "a set of wires",
    (
        Key(
            "dma-grant",
            MapOf(SLOTS, f.IN_OUT, "a mapping of slots to in or out"),
            "wire CA1-CB1 of each slot: in or out; a single slot goes before a range",
        ),
    ),
)

_UNIT_KEYS = (
    Key("backplane", IdOf("backplanes", "backplane"), "the backplane kind: an id of the catalogue", required=True),
    Key("wires", WIRES, "wires on the backplane that can be put in and taken out"),
    Key(
        "regulators",
        MapOf(SLOTS, f.NAME, "a mapping of slots to names"),
        "which +5 regulator of the box feeds each slot, by a name of your own; a single slot goes before a range",
    ),
    Key(
        "memory-volts",
        f.choice("volts on the memory pins", MEMORY_VOLTS),
        "volts on the memory pins of its modified and extended slots, as measured without boards: 12 or 15",
    ),
    Key("joined-by", JOINT, "how this unit hangs on the one before it"),
    Key("slots", MapOf(PLACE, BOARD, "a mapping of places to boards"), "what stands in each place: 2AB, 3CF, 4 or 1-2"),
)

UNIT = Record("a unit", (Key("id", f.NAME, "name of the unit in places, such as a", required=True), *_UNIT_KEYS))

DESCRIBED_SUPPLY = Record(
    "a supply described in place",
    (
        Key("rails", _CURRENTS, "most current of each rail, in amperes", required=True),
        Key("minimum", _CURRENTS, "least load of each rail, in amperes"),
        Key("watts", f.WATTS, "most power over all rails, in watts"),
    ),
)

BOX = Record(
    "a box",
    (
        Key("id", f.NAME, "name of the box in places, such as main", required=True),
        Key(
            "supply",
            TextOr(
                IdOf("supplies", "supply", described=True),
                Record("a supply of one's own", (Key("describe", DESCRIBED_SUPPLY, "its ratings", required=True),)),
            ),
            "the power supply: an id of the catalogue, or {describe: ...}",
        ),
        Key("units", ListOf(UNIT, "a list of units"), "its backplanes, in the order of the bus"),
        *(Key(key.name, key.shape, f"{key.what} (box with one unit, called a)") for key in _UNIT_KEYS),
    ),
    either=("units", "backplane"),
)

CABLE_END = Record(
    "a cable",
    (
        Key("from", f.LOOSE_TEXT, "place of the board it leaves, such as main/a/2AB", required=True),
        Key("line", f.count("a line", 0, 255), "line of the board, from 0"),
        Key("unit", f.count("a unit", 0, 255), "unit number of the drive, from 0"),
        Key(
            "to",
            IdOf("drives", "drive", also=(TERMINAL,)),
            "what hangs on it: a drive of the catalogue, or terminal",
            True,
        ),
        Key("cable", IdOf("cables", "cable"), "the cable kind: an id of the catalogue"),
        Key("baud", f.count("a speed in baud", 1, 1_000_000), "speed of what hangs on it, in baud"),
        Key("bits", f.choice("bits of a character", CHARACTER_BITS), "bits of a character, as what hangs on it is set"),
        Key("parity", f.choice("parity", PARITIES), "parity, as what hangs on it is set"),
        Key("stop-bits", f.choice("stop bits", STOP_BITS), "stop bits, as what hangs on it is set"),
        Key("wiring", f.choice("wiring", WIRINGS), "current loop or voltage levels, as what hangs on it is wired"),
        Key(
            "loop", f.choice("side of a loop", LOOP_SIDES), "of a current loop: does what hangs on it feed it (active)"
        ),
        Key(
            "through",
            ListOf(IdOf("cables", "cable"), "a list of cables"),
            "further cables of the chain, from the board on, such as that to a panel",
        ),
        Key("media", f.TEXT, "file of the medium put in, relative to the folder of the loadout"),
        Key("write-protect", f.ON_OFF, "write-protect switch of the drive; off if not given"),
    ),
)

SWITCHES = Record(
    "a set of panel switches",
    (
        Key("register", f.WORD, "the switch register"),
        Key("halt", f.ON_OFF, "the halt switch; off if not given"),
    ),
)

ACCEPTANCE = Record(
    "an accepted finding",
    (
        Key("rule", f.TEXT, "id or name of the rule, such as GRANT-001 or bus-grant-gap", required=True),
        Key("at", f.LOOSE_TEXT, "place of the finding as printed, such as main/a/3CF or main +5", required=True),
        Key("because", f.REASON, "the reason, which is printed", required=True),
    ),
)

LOADOUT = Record(
    "a loadout",
    (
        Key("loadout", f.choice("version of the format", (VERSION,)), "version of the format", required=True),
        Key("name", f.LOOSE_TEXT, "what the machine is called", required=True),
        Key("state", f.choice("state of the machine", STATES), "planned, or as-found; planned if not given"),
        Key(
            "boxes", ListOf(BOX, "a list of boxes"), "the boxes of the machine, in the order of the bus", required=True
        ),
        Key("cables", ListOf(CABLE_END, "a list of cables"), "what hangs on the boards"),
        Key("switches", SWITCHES, "the switches of the panel"),
        Key("accept", ListOf(ACCEPTANCE, "a list of accepted findings"), "findings taken on with a reason"),
        Key(
            "modifications",
            ListOf(f.LOOSE_TEXT, "a list of texts"),
            "what was changed on the machine",
        ),
        Key("notes", f.LOOSE_TEXT, "anything else"),
    ),
)
"""The whole file."""
