"""The machine as built so far: supply alone, the least that can talk, then board by board along the bus.

`plan` cuts a loadout into stages, `budget` works out amperes, watts and dummy loads, `checks` runs the rules over a
stage, `words` shows them.
"""

from minisim.staging.checks import StageReport, check_stage
from minisim.staging.plan import Stage, Staging

__all__ = ["Stage", "StageReport", "Staging", "check_stage"]
