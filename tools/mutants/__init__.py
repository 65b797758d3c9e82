"""Planted defects: what they are (defects), a core with all of them (build), and what kills them (killers, run)."""
