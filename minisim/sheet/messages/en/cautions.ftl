# What to mind before a hand goes into a machine. Practice of the trade; see docs/sources.md for the cage guide.
cautions-title = Cautions
cautions-codes = Local electrical codes and licensed practice come first.
caution-plug = Plug out and in sight before a box is opened. Distrust inherited power wiring.
caution-fuse = A tripped breaker or a blown fuse has a cause: never a bigger fuse, never a defeated protection circuit.
caution-charge = Some switching supplies hold over 400 V for days: discharge through a resistor, then measure.
caution-rings = Charged capacitor banks weld rings to terminals: take rings and watches off.
caution-dummy = First power-up of a supply is without boards, under a dummy load; adjust it under load and measure at the backplane.
caution-second = A second person stands by who knows the main switch.
caution-static = Power off for every card change; wrist strap on, cards on a conducting mat.
caution-key = Before power comes on, look at the key and the component side of every dual board: put in backwards it is damaged (CARE-001).
caution-weight = A processor box can weigh 40 kg, a full one 90 kg: two people, lift or gantry.
caution-rack = Feet of the rack out before a slide comes forward; one slide at a time; mind fingers at the pivots.
caution-dust = Brush and vacuum before compressed air; eye protection; gloves and mask where animals have been.
caution-lines = Current-loop lines can carry 100 V. Leave terminals with picture tubes closed unless you are trained.

# What this machine adds
caution-box-people = Box { $box } ({ $chassis }): at least { $people } people to lift it ({ $evidence }).
caution-box-kg = Box { $box } ({ $chassis }): { $kg } kg empty ({ $evidence }); boards and drives come on top.
caution-box-unknown = Box { $box }: which chassis it is, and so what it weighs, is not known. Lift with two people until it has been weighed.
caution-box-no-kg = Box { $box } ({ $chassis }): its weight is not known. Lift with two people until it has been weighed.
caution-box-slides = Box { $box } ({ $chassis }): { $slides } ({ $evidence }).
caution-supply = Box { $box }: supply { $supply } gives up to { $rails }. A short circuit at such a rail burns: no tool and no ring near the backplane with power on.
caution-drive-heavy = Drive { $drive } at { $place }: { $weight }.
caution-drive-heads = Disk drives: heads locked for transport, unlocked before the disk turns; never put in a disk pack nobody knows.
caution-current-loop = The line at { $place } is a current loop: it can carry 100 V.
