# Drawings of backplanes, pins and switches.

# Boards
drawing-no-number = number: read it from the handle
drawing-item = item { $item }
drawing-assumed = described by the owner: assumed
drawing-set = one set, slots { $first } to { $last }
drawing-set-order-unknown = Which board of it stands in which slot: not known. See the print set.
drawing-set-part = set, slot { $number } of { $count }
drawing-set-part-known = set, slot { $number }: { $marking }
drawing-ends-bus = terminator: { $strength }, { $end ->
    [near] at the near end
    [far] at the far end
   *[inside] inside the bus
  } ({ $sure })
drawing-ends-bus-unknown = may be a terminator: not known
drawing-looked-at = looked at:

# Slots
drawing-slot = slot { $slot }
drawing-taken-twice = This place is taken twice.
drawing-empty = empty
drawing-no-slots = The slots of this backplane are not known.
drawing-grant-card = grant card
drawing-wire-in = wire CA1-CB1: in
drawing-wire-out = wire CA1-CB1: out
drawing-kinds-unknown = kind not known

# Grants
drawing-broken = BROKEN at hop { $hop }{ $kind ->
    [interrupt] {" "}(interrupts)
    [dma] {" "}(DMA)
   *[both] {""}
  }: { $why }
drawing-broken-long = { $kind ->
    [interrupt] The interrupt grants stop
    [dma] The DMA grant stops
   *[both] The grants stop
  } at hop { $hop } ({ $place }): { $why }.
drawing-cut-off = { $kind ->
    [interrupt] No interrupt grant reaches
    [dma] No DMA grant reaches
   *[both] No grant reaches
  }: { $boards }.
drawing-behind = Behind that place as well, but they wait for no { $kind ->
    [interrupt] interrupt grant
    [dma] DMA grant
   *[both] grant
  }: { $boards }.
drawing-stands-still = A turnaround terminator stands behind it: the processor stands still at power-up (sep-terminators-wiki).
drawing-starts = { $kind ->
    [interrupt] The interrupt grants start here.
    [dma] The DMA grant starts here.
   *[both] The grants start here.
  }
drawing-end = { $kind ->
    [interrupt] The interrupt grants end
    [dma] The DMA grant ends
   *[both] The grants end
  } at hop { $hop } ({ $place }): { $why }. No board behind it waits for them.
drawing-end-unsure = { $kind ->
    [interrupt] The interrupt grants end
    [dma] The DMA grant ends
   *[both] The grants end
  } at hop { $hop } ({ $place }). Whether that matters is not known: { $needs }.
drawing-doubtful = { $kind ->
    [interrupt] Interrupt grants
    [dma] DMA grant
   *[both] Grants
  }, hop { $hop } ({ $place }), doubtful: { $why }.
drawing-no-processor = No processor stands on the way of the { $kind ->
    [interrupt] interrupt grants
    [dma] DMA grant
   *[both] grants
  }: none starts.
drawing-hop = hop { $hop }{ $passes ->
    [unknown] ?
   *[known] {""}
  }{ $reached ->
    [yes] {""}
    [no] {" "}(no grant arrives)
   *[unknown] {" "}(not known whether a grant arrives)
  }

# The bus
drawing-bus-begins = The bus begins in this backplane.
drawing-bus-stops = The bus ends in this backplane.
drawing-joint = The bus { $way ->
    [from] comes from
   *[to] goes on to
  } { $unit } by the cable { $cable } ({ $length }){ $state ->
    [in] {""}
   *[out] : NOT PLUGGED IN
  }.
drawing-cable-not-named = (no kind named)
drawing-metres = { $metres } m
drawing-length-unknown = length not known
drawing-backplane-ends-bus = The backplane itself holds a terminator: { $strength }, { $end ->
    [near] at the near end
    [far] at the far end
   *[inside] inside the bus
  } ({ $sure }).
drawing-backplane-ends-bus-unknown = Whether the backplane itself holds a terminator is not known: look for resistor packs.
drawing-order-sure = Order of the hops: { $sure }{ $sources }.
drawing-order-sure-unknown = The order of the hops is not known.
drawing-slots-sure = Kinds of the slots: { $sure }{ $sources }.
drawing-slots-sure-unknown = How sure the kinds of the slots are is not known.
drawing-disputed = Disputed: { $note }. Measure the way with an ohm-meter, power off.

# The whole drawing
drawing-backplane-caption = Backplane { $unit }: { $kind }
drawing-board-side = SEEN FROM THE BOARD SIDE. Slot { $slot } at the top. Rows { $first } to { $last } from left to right.
drawing-backplane-description = Backplane { $unit } seen from the board side: { $boards } boards in { $slots } slots, and the way of the grants hop by hop. { $state }
drawing-grants-closed = The grants reach every board that waits for them, as far as is known.
drawing-orientation = Every board: handle towards you, component side as on its neighbours. No document here says which side that is. Look at the key before power, then tick "looked at" (CARE-001, slot-order-posts-1999).
drawing-legend-both = interrupt and DMA grants, together
drawing-legend-interrupt = interrupt grants (circles, whole line)
drawing-legend-dma = DMA grant (squares, broken line)
drawing-legend-arrives = a grant arrives
drawing-legend-none = no grant arrives
drawing-legend-unknown = not known
drawing-legend-broken = the first hop that breaks
drawing-legend-card = needs a grant card
drawing-legend-tick = tick it when you have looked at the board
drawing-card-needed = needs a grant card in { $rows }
drawing-path-both = { $place }: { $hop }
drawing-path-interrupt = interrupt grants { $place }: { $hop }
drawing-path-dma = DMA grant { $place }: { $hop }
drawing-machine-title = { $name }, seen from the board side

# Pins
drawing-pin-side = SEEN FROM THE PIN SIDE, MIRRORED: rows { $first } to { $last } from left to right. Slot { $slot } at the top.
drawing-wires-caption = Backplane { $unit }: the DMA-grant wires CA1-CB1
drawing-wires-description = Backplane { $unit } seen from the pin side, mirrored: for each slot whether the DMA-grant wire from pin CA1 to pin CB1 is in or out, and how it must stand.
drawing-wires-head-slot = slot, and what stands in row C
drawing-wires-head-now = wire CA1-CB1
drawing-wires-now = loadout: { $now ->
    [in] in
   *[out] out
  }{ $wrong ->
    [yes] {" "}- WRONG
   *[no] {""}
  }
drawing-wires-must-in = must be IN
drawing-wires-must-in-once-needed = IN once needed behind
drawing-wires-must-out = must be OUT
drawing-wires-must-either = in or out (card)
drawing-wires-must-one-out = out at one slot
drawing-wires-must-unknown = not known
drawing-looked-at-short = looked at
drawing-wires-rule = The wire must be OUT where a board does DMA, and IN at every other slot, unless a dual grant card in rows C-D passes the grant (seen in print: { $sources }).
drawing-wires-set = "Out at one slot": the board is a set over several slots. Out at one of them at least; at which one: not known here, read it from the manual of the set.
drawing-wires-measure = Power off, boards out of the slot: measure from CA1 to CB1. In: closed, near 0 ohm. Out: open. "Not known": read from the manual of the board whether it does DMA.
drawing-pins-letters = Pin letters: { $letters } (no G, I, O, Q). They are drawn mirrored, like the rows (common practice). Which of the two lines of pins is side 1 is not known here: read the letters and numbers on the backplane before you measure.
drawing-connector = Connector { $row } of one slot, large
drawing-side = side { $side } ?
drawing-widen-caption = Backplane { $unit }: from 18 to 22 address bits
drawing-widen-what = This machine has memory above 256 KB, and this backplane carries 18 address lines. Pins BC1, BD1, BE1 and BF1 carry address lines 18 to 21: join BC1 with BC1 of the next slot, and so on, by four wires from slot to slot ({ $sure }: { $sources }).
drawing-widen-order = No branches: one wire from place to place. The place where the bus leaves comes last. The order of the places: { $order }.
drawing-widen-private = Private-link slots: wires on the A-B side only, none in rows C and D.
drawing-widen-twin = Twin-bus slots carry the bus in rows C-D as well: there the same pins of row D (DC1, DD1, DE1, DF1; derived).
drawing-widen-measure = Power off, boards out: each of the four lines closed from the first place to the last, and open to the three others and to ground.

# Switches
drawing-switches-caption = Switches of { $marking } at { $place }
drawing-switch = { $name }: { $position ->
    [closed] CLOSED (ON)
    [open] OPEN (OFF)
   *[unknown] position not known
  }; { $meaning }
drawing-switch-setting = { $setting } = { $value }
drawing-switch-bit = { $setting }, bit { $bit } ({ $weight }) = { $value }
drawing-switch-not-stated = not stated: read it from the board
drawing-switches-head-bit = bit
drawing-switches-head-weight = value (octal)
drawing-switches-head-value = wanted
drawing-switches-closed-head = CLOSED (ON)
drawing-switches-open-head = OPEN (OFF)
drawing-switches-sure = Which switch makes { $setting }: { $sure }{ $sources }.
drawing-switches-ends = This is a table, not the look of the pack. Which end is switch 1, and which way is ON, is not known here: read it on the pack.
drawing-switches-polarity = Whether a closed switch makes a 1 or a 0 in these bits is not known here. Set them, read the word at the address that the board's manual gives, and change all of them if it comes out inverted.
drawing-switches-closed = ON is taken to mean closed (common practice).
