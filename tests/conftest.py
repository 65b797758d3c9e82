"""For all tests: hypothesis tries the same examples in every run, so that a failure is not a matter of luck.

`HYPOTHESIS_PROFILE=searching` looks for new ones.
"""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("searching", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))
