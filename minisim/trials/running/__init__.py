"""Runs test programs on the machine of a loadout, and says what became of each: `minisim trial run`.

`bench` makes a machine for each program, `suite` runs our own, `owners` the images of an owner by their `sheets`,
`learning` drafts such a sheet, `account` tells how a run ended; `text`, `as_json`, `junit` and `tap` print a report.
"""
