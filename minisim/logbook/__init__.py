"""What was measured and done on a machine: a file of dated entries beside its loadout, only ever added to.

`reader` and `writer` know the file, `summary` what a machine is in one flat table, `changes` what became different
since it last worked.  The log never changes a verdict: what the owner takes on stands in the loadout (`accept:`).
"""

from minisim.logbook.changes import Changes, changes_since_worked
from minisim.logbook.model import Entry, Kind, Log
from minisim.logbook.reader import log_path, read_log

__all__ = ["Changes", "Entry", "Kind", "Log", "changes_since_worked", "log_path", "read_log"]
