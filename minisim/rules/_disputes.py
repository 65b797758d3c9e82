"""Questions on which the sources differ: what is asked, and the reading the rules take.  One place for all of them."""

DISPUTES: dict[str, str] = {
    "D1": "how far the gap behind a kind of floating address reaches; read as one word at the next place of that kind",
    "D2": "whether the first Ethernet board floats; read as fixed",
    "D3": "alignment of kinds with three or more vectors is not stated; read as a multiple of 10",
    "D4": "the weak terminator is called 220, 240 or 250 ohm; read as 330 and 680 ohm, 222 together",
    "D5": "which processor boards hold 120 ohm and which weak resistors; where unknown the stricter limit is taken",
    "D6": "which way the grants step behind the last private-link slot; read as the backplane entry has it, "
    "an ohm-meter decides",
    "D7": "whether the first of three backplanes is terminated at its far end; read as at the ends of the bus only",
    "D8": "whether a plain or turnaround terminator may stand in a modified slot; read as damage",
    "D9": "whether exactly 20 unit loads are allowed on the separate-line bus; read as allowed, with a note",
    "D10": "whether the vector space ends at 774 or 776; read as 774, where the last vector starts",
    "D11": "whether one end is enough below 20 AC loads; read as enough, with a note",
    "D12": "whether the first quad disk-protocol port holds bus resistors; left unknown",
    "D13": "figures recalled but not seen printed; used, and named as unconfirmed",
    "D14": "how link memory is damaged in a twin-bus slot is not understood; the severity stays damage",
    "D15": "whether the AC load of the backplane itself counts; read as not counted",
}


def dispute(number: str) -> str:
    """`D6: which way ...; read as ...`."""
    return f"{number}: {DISPUTES[number]}"
