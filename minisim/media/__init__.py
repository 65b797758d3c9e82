"""Media as files: bare sectors in the order of the medium, a small YAML beside them, and what was written kept apart.

`geometry` knows kinds and sizes, `description` the YAML, `overlay` what was written and where it lies until it is kept,
`store` the medium as a drive sees it, `raw` dumps in other orders.  Why: docs/design/media.md.
"""

from minisim.media.geometry import Geometry, geometry_of
from minisim.media.overlay import MediumFullError
from minisim.media.store import Medium, open_medium
from minisim.media.writing import Writing

__all__ = ["Geometry", "Medium", "MediumFullError", "Writing", "geometry_of", "open_medium"]
