"""The words people use in their lists, as tables: names of columns, conditions, counts.  A new word is added here.

All words are as `plain()` leaves them: small letters, no accents, no dots, single blanks.
"""

from __future__ import annotations

import re
import unicodedata

from minisim.stock.model import Condition

FIELDS = ("item", "marking", "count", "condition", "box", "what", "notes", "photo")
"""Our names of the columns, in the order of our own list format."""

OUR_COLUMNS = (*FIELDS, "history", "conflict")
"""The columns of a list that minisim writes; further ones may follow."""

COLUMNS: dict[str, tuple[str, ...]] = {
    "marking": (
        "marking", "markings", "number on handle", "handle", "handle number", "handle no", "board no", "board number",
        "board nr", "module no", "module number", "module nr", "part no", "part number", "part nr", "part", "pn",
        "p n", "partno", "part #", "board #", "module", "board", "number", "no", "nr", "#", "card", "card no",
        "card number", "marked", "label", "mark", "etched", "etch no", "stamp", "id number", "type number", "typ",
        "modul", "nummer", "baugruppe", "karte", "artikel",
    ),
    "count": (
        "count", "qty", "quantity", "qnty", "quant", "how many", "pcs", "pieces", "amount", "number of", "no of",
        "num", "n", "cnt", "have", "in stock", "total", "anzahl", "stuck", "stueck", "menge", "aantal", "antal",
        "nombre", "cantidad", "qte",
    ),
    "condition": (
        "condition", "cond", "state", "status", "working", "works", "tested", "test", "test result", "result",
        "grade", "health", "ok", "zustand", "etat", "staat", "getestet", "functional",
    ),
    "box": (
        "box", "shelf", "box no", "box number", "box or shelf", "box/shelf", "location", "loc", "where", "place",
        "crate", "bin", "tray", "drawer", "cabinet", "storage", "stored", "stored in", "position", "room", "rack",
        "tote", "container", "kiste", "karton", "lager", "ort", "lagerort", "regal", "doos", "boite", "carton",
    ),
    "notes": (
        "notes", "note", "remarks", "remark", "comment", "comments", "bemerkung", "bemerkungen", "notiz", "info",
        "information", "details", "misc", "observations", "opmerking", "remarques",
    ),
    "photo": (
        "photo", "photos", "picture", "pictures", "pic", "pics", "image", "images", "img", "foto", "bild", "file",
    ),
    "item": (
        "item", "item no", "item number", "item id", "id", "tag", "tag no", "our no", "inventory", "inventory no",
        "inventory number", "inv no", "inv", "asset", "asset no", "asset tag", "key", "serial", "serial no", "s n",
        "sn", "serial number", "lfd nr", "inventarnummer",
    ),
    "what": (
        "what", "what it is", "description", "desc", "descr", "function", "kind", "type", "name", "title", "thing",
        "device", "object", "beschreibung", "bezeichnung", "funktion", "omschrijving", "designation",
    ),
    "history": ("history",),
    "conflict": ("conflict",),
}  # fmt: skip
"""Our name -> names people give the column, the surest first."""

CONDITIONS: dict[Condition, tuple[str, ...]] = {
    Condition.WORKS: (
        "works", "work", "working", "ok", "okay", "good", "tested", "tested ok", "tested good", "tested working",
        "fine", "passed", "pass", "passes", "functional", "fully working", "runs", "yes", "y", "known good",
        "perfect", "refurbished", "repaired", "fixed", "geht", "funktioniert", "getestet", "gut", "i o", "in ordnung",
        "working ok", "tests ok", "passes tests", "works fine", "verified",
    ),
    Condition.UNTESTED: (
        "untested", "not tested", "not yet tested", "to test", "to be tested", "tbt", "as is", "as found", "nt",
        "never tested", "to check", "not checked", "unchecked", "ungetestet", "nicht getestet", "not tried",
        "untried", "test", "needs testing", "needs test", "not tested yet", "pulled", "new old stock", "nos", "new",
        "cleaned",
    ),
    Condition.UNKNOWN: (
        "unknown", "unk", "na", "n a", "not known", "don t know", "dont know", "dunno", "no idea", "unsure",
        "not sure", "tbd", "unbekannt", "maybe", "none",
    ),
    Condition.INCOMPLETE: (
        "incomplete", "parts missing", "part missing", "missing parts", "missing part", "missing chips",
        "missing chip", "chips missing", "chip missing", "chips pulled", "stripped", "missing", "partial",
        "partly stripped", "robbed", "scavenged", "unvollstandig", "no roms", "roms missing", "rom missing",
        "missing rom", "missing roms", "not complete", "handle missing", "missing handle", "sockets empty",
        "empty sockets", "no chips",
    ),
    Condition.FAULTY: (
        "faulty", "fault", "bad", "dead", "doa", "broken", "defective", "defect", "failed", "fails", "fail",
        "damaged", "not working", "doesn t work", "doesnt work", "does not work", "no", "not ok", "nonworking",
        "non working", "scrap", "junk", "burnt", "burned", "cracked", "shorted", "short", "kaputt", "defekt",
        "for parts", "parts only", "parts", "spares only", "for spares", "needs repair", "to repair", "repair",
        "to be repaired", "blown", "water damage", "corroded", "intermittent", "partly working", "partially working",
        "corrosion", "kaput", "n g", "ng", "not good", "no good", "bad memory", "half working", "works partly",
        "tested bad", "tested faulty", "tested dead", "untestable", "works sometimes", "sometimes works",
    ),
}  # fmt: skip
"""What a condition is called.  The longest phrase decides: "not tested" before "tested"."""

ANSWERS: dict[str, dict[str, Condition]] = {
    "test": {"true": Condition.WORKS, **dict.fromkeys(("no", "n", "false", "not", "nein", "non"), Condition.UNTESTED)},
    "getestet": dict.fromkeys(("no", "n", "false", "nein"), Condition.UNTESTED),
    "work": {"true": Condition.WORKS, "false": Condition.FAULTY},
    "ok": {"true": Condition.WORKS, "false": Condition.FAULTY},
    "functional": {"true": Condition.WORKS, "false": Condition.FAULTY},
}
"""Where the name of the column is a question, what an answer means: not tested is not faulty."""

MARKS: dict[str, Condition] = {"?": Condition.UNKNOWN, "-": Condition.UNKNOWN, "✓": Condition.WORKS,
                               "✔": Condition.WORKS, "✗": Condition.FAULTY, "✘": Condition.FAULTY,
                               "??": Condition.UNKNOWN, "???": Condition.UNKNOWN}  # fmt: skip
"""Signs instead of words."""

NUMBERS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
           "eleven": 11, "twelve": 12, "dozen": 12, "a dozen": 12, "pair": 2, "a pair": 2, "single": 1, "none": 0,
           "a": 1, "both": 2}  # fmt: skip

UNITS = ("x", "pcs", "pc", "pieces", "piece", "off", "ea", "each", "units", "unit", "no", "boards", "board", "stk",
         "st", "stuck", "of", "times", "items", "cards", "card", "sets", "set", "pairs", "ct")  # fmt: skip
"""Words that may stand behind (or before) a count."""

HEADINGS = ("box", "shelf", "crate", "bin", "tray", "drawer", "rack", "cabinet", "carton", "tote", "pallet", "cupboard",
            "bag", "case", "kiste", "karton", "regal")  # fmt: skip
"""A row with one cell that begins with one of these names the box of the rows under it."""

SUMS = ("total", "totals", "sum", "sums", "grand total", "subtotal", "summe", "gesamt")

THINGS: dict[str, tuple[str, ...]] = {
    "boards": ("board", "boards", "module", "modules", "card", "cards", "memory", "controller", "interface",
               "processor", "terminator", "multiplexer", "adapter", "cpu"),
    "backplanes": ("backplane", "backplanes", "system unit", "bus unit"),
    "supplies": ("supply", "supplies", "psu", "regulator", "regulators"),
    "chassis": ("chassis", "cabinet", "cabinets", "enclosure", "cage", "rack", "mounting box"),
    "drives": ("drive", "drives", "reader", "punch", "terminal", "terminals", "printer", "printers"),
    "cables": ("cable", "cables", "cord", "cords", "lead", "leads", "ribbon"),
    "media": ("pack", "packs", "cartridge", "cartridges", "floppy", "floppies", "diskette", "diskettes", "disks",
              "tape", "tapes", "reel", "reels"),
    "roms": ("rom", "roms", "prom", "proms", "eprom", "eproms"),
    "panels": ("panel", "panels", "bulkhead", "bezel", "bezels"),
    "brackets": ("bracket", "brackets", "rail", "rails", "slide", "slides", "ears", "feet", "screws", "hardware"),
}  # fmt: skip
"""What a thing is by its words: the last one of the table before "for", "with" and the like decides."""

OUTSIDE = ("panels", "brackets")
"""Things that the catalogue has no entries for: words are enough to understand them."""

PHOTO_ENDINGS = (".jpg", ".jpeg", ".png", ".heic", ".gif", ".tif", ".tiff", ".webp", ".dng")


def plain(text: str) -> str:
    """Small letters, no accents and no punctuation but # and /; blanks single: how the words of the tables stand."""
    flat = unicodedata.normalize("NFKD", text[:200]).casefold()
    letters = "".join(letter for letter in flat if not unicodedata.combining(letter))
    return " ".join(re.sub(r"[^\w#]+", " ", letters).replace("_", " ").split())


def phrases() -> dict[str, Condition]:
    """Every phrase of a condition."""
    return {phrase: condition for condition, all_of_it in CONDITIONS.items() for phrase in all_of_it}
