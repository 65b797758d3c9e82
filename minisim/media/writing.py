"""Where the writes of a drive go."""

from __future__ import annotations

from enum import StrEnum


class Writing(StrEnum):
    """Where a drive's writes go."""

    APART = "apart"  # into the overlay: the image stays as it is (the usual)
    THROUGH = "through"  # into the image, by way of the overlay
    NEVER = "never"  # the medium is only looked at
