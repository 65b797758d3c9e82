"""How fast the core is, beside other ways of doing the same work; `make bench` runs this.  The rest: tools/bench/."""

from __future__ import annotations

import sys

from bench.main import main

if __name__ == "__main__":
    sys.exit(main())
