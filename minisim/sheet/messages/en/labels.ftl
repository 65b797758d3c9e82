# Labels for boards, places, cable ends and boxes.
label-title = Labels: { $name }
label-box = Box { $box }
label-units = backplanes { $units }
label-supply = supply { $supply }
label-slot = { $unit } slot { $slot }
label-empty = empty
label-item = item { $item }
label-options = options { $options }
label-this-end = To { $here }
label-other-end = other end: { $there }
label-more = more in the code
