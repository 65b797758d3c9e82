"""Builds the C core as `minisim.cpu._core`.

Every family of instructions in insns/*.c and every part in core/*.c is found by its name: a new file needs no list.
What Python may touch is declared in core/*.cdef.
"""

import os
import platform
from pathlib import Path

from cffi import FFI

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent

EXTRA = os.environ.get("MINISIM_CORE_CFLAGS", "").split()
CARRIES_TAIL_CALLS = ("x86_64", "aarch64", "arm64")
SPOILS_TAIL_CALLS = ("-O0", "-O1", "-Og", "-fno-optimize-sibling-calls", "-pg", "-finstrument-functions")


def dispatch() -> str:
    """The back end of the fast core: tail calls where the compiler turns them into jumps, else computed goto.

    Where they stay calls, each instruction would take a piece of the stack.  That can be seen neither from C nor from
    the compiler's name alone; gcc does it at -O2 on these processors, and our own -O2 stands behind the flags of the
    environment.  MINISIM_CORE_DISPATCH (tail, goto, switch) overrules.
    """
    flags = [*os.environ.get("CFLAGS", "").split(), *EXTRA]
    spoilt = any(flag in SPOILS_TAIL_CALLS[3:] or flag.startswith("-fsanitize") for flag in flags)
    spoilt = spoilt or any(flag in SPOILS_TAIL_CALLS for flag in EXTRA)
    chosen = "goto" if spoilt or platform.machine() not in CARRIES_TAIL_CALLS else "tail"
    return os.environ.get("MINISIM_CORE_DISPATCH", chosen).upper()



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
    '#include "machine.h"\n#include "record.h"\n#include "export.h"\n#include "mapping.h"\n',
    sources=[relative(path) for path in parts],
    include_dirs=[relative(HERE / "core"), relative(HERE), "build/generated"],
    depends=[relative(path) for path in sorted(HERE.glob("**/*.[ch]")) + sorted(HERE.glob("**/*.inc"))],
    define_macros=[("MS_DISPATCH", f"MS_{dispatch()}")],
    extra_compile_args=["-O2", "-g0", "-std=c11", "-Wall", "-Wextra", "-Wno-unused-parameter", *EXTRA],
    extra_link_args=EXTRA,
)

# The families in one file, for the parts that include every body (interpreter) or every record (table).
generated = ROOT / "build" / "generated" / "families.inc"
generated.parent.mkdir(parents=True, exist_ok=True)
if not generated.exists() or generated.read_text(encoding="utf-8") != families + "\n":
    generated.write_text(families + "\n", encoding="utf-8")

if __name__ == "__main__":
    ffibuilder.compile(verbose=True)
