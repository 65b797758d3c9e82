"""python -m minisim"""

import sys

from minisim.cli import main

sys.exit(main())
