"""Builds the C core as `minisim.cpu._core`.

Every family of instructions in insns/*.c and every part in core/*.c is found by its name: a new file needs no list.
What Python may touch is declared in core/*.cdef.
"""

import os
from pathlib import Path

from cffi import FFI

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent

EXTRA = os.environ.get("MINISIM_CORE_CFLAGS", "").split()


def relative(path: Path) -> str:
    """Sources are named from the project's root, as the build back end wants."""
    return str(path.relative_to(ROOT))


families = "\n".join(f'#include "insns/{path.name}"' for path in sorted((HERE / "insns").glob("*.c")))
parts = sorted((HERE / "core").glob("*.c"))

ffibuilder = FFI()
for declarations in sorted((HERE / "core").glob("*.cdef")):
    ffibuilder.cdef(declarations.read_text(encoding="utf-8"))
ffibuilder.set_source(
    "minisim.cpu._core",
    '#include "machine.h"\n#include "record.h"\n#include "export.h"\n',
    sources=[relative(path) for path in parts],
    include_dirs=[relative(HERE / "core"), relative(HERE), "build/generated"],
    depends=[relative(path) for path in sorted(HERE.glob("**/*.[ch]")) + sorted(HERE.glob("**/*.inc"))],
    extra_compile_args=["-O2", "-std=c11", "-Wall", "-Wextra", "-Wno-unused-parameter", *EXTRA],
    extra_link_args=EXTRA,
)

# The families in one file, for the parts that include every body (interpreter) or every record (table).
generated = ROOT / "build" / "generated" / "families.inc"
generated.parent.mkdir(parents=True, exist_ok=True)
if not generated.exists() or generated.read_text(encoding="utf-8") != families + "\n":
    generated.write_text(families + "\n", encoding="utf-8")

if __name__ == "__main__":
    ffibuilder.compile(verbose=True)
