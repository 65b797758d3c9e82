"""Compares the model with documented results: trial cases by processor profiles."""

from minisim.compare.run import compare
from minisim.compare.select import SelectionError, chosen_cases, chosen_profiles

__all__ = ["SelectionError", "chosen_cases", "chosen_profiles", "compare"]
