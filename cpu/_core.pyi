"""The compiled core (cffi): `lib` has the functions of core/*.cdef, `ffi` makes and reads C data."""

from typing import Any

ffi: Any
lib: Any
