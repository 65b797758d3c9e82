"""What to mind before a hand goes into a machine: the line under a report.  The list: `minisim.sheet.cautions`."""

CAUTION = (
    "Before a hand goes in: power off, plug out and in sight, charge gone from the supply, wrist strap on "
    "(all cautions: minisim check --explain cautions)."
)
