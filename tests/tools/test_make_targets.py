"""Every target that the Makefile names does something."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MAKEFILE = (ROOT / "Makefile").read_text("utf-8")
PHONY = MAKEFILE.split(".PHONY:")[1].split()
HELPED = re.findall(r'@echo "make ([a-z-]+) ', MAKEFILE)
OF_OTHERS = {"check"}  # its work is that of the targets it names


@pytest.mark.parametrize("target", sorted({*PHONY, *HELPED} - OF_OTHERS))
def test_a_target_has_a_recipe(target: str) -> None:
    rule = re.search(rf"^{target}:[^\n]*\n(?:\t[^\n]*\n)+", MAKEFILE, re.M)
    assert rule is not None, f"make {target} would do nothing"


def test_make_knows_every_target() -> None:
    done = subprocess.run(["make", "-n", "-s", *PHONY], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
