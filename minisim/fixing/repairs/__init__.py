"""Repairs, one file an area: adding one means adding a function here, and a fixture to its test."""

from minisim.fixing.repairs._framework import (
    Changes,
    Repair,
    all_repairs,
    beyond,
    candidates,
    cost_of,
    repair,
    repairs_of,
)

__all__ = ["Changes", "Repair", "all_repairs", "beyond", "candidates", "cost_of", "repair", "repairs_of"]
