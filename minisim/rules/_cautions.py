"""What to mind before a hand goes into a machine: the line under a report, and the list behind it."""

CAUTION = (
    "Before a hand goes in: power off, plug out and in sight, charge gone from the supply, wrist strap on "
    "(all cautions: minisim check --explain cautions)."
)

CAUTIONS = """\
Cautions

Local electrical codes and licensed practice come first.

- Plug out and in sight before a box is opened. Distrust inherited power wiring.
- A tripped breaker or a blown fuse has a cause: never a bigger fuse, never a defeated protection circuit.
- Some switching supplies hold over 400 V for days: discharge through a resistor, then measure.
- Charged capacitor banks weld rings to terminals: take rings and watches off.
- First power-up of a supply is without boards, under a dummy load; adjust it under load and measure at the backplane.
- A second person stands by who knows the main switch.
- Power off for every card change; wrist strap on, cards on a conducting mat.
- Before power comes on, look at the key and the component side of every dual board: put in backwards it is damaged
  (CARE-001).
- A processor box can weigh 40 kg, a full one 90 kg: two people, lift or gantry.
- Feet of the rack out before a slide comes forward; one slide at a time; mind fingers at the pivots.
- Brush and vacuum before compressed air; eye protection; gloves and mask where animals have been.
- Current-loop lines can carry 100 V. Leave terminals with picture tubes closed unless you are trained.
"""
