"""Wired: a loadout resolved against the catalogue; begin with `minisim.wiring.resolve.resolve`."""
