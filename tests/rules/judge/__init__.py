"""A second opinion: what must be said of a machine, worked out from the facts in plain Python.

Nothing here uses the rules, the wiring or the reader of the project.  It reads the loadout as a tree of texts, the
catalogue as plain YAML, and walks the buses by itself.  Only faults and damage are judged.

`verdict(tree)` gives two sets of (rule, place): what must be said, and what may be said besides.  The second is for
boards that stand where they can't stand: whether such a board is in the machine at all, nobody knows, so both readings
of the rest of the machine are right.
"""

from judge.verdict import Verdict, verdict

__all__ = ["Verdict", "verdict"]
