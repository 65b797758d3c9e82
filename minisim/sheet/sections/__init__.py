"""The parts of a sheet, one file each: functions of `Wired` (and the report) that give a `Page`."""
