# Check list after transport. Practice of the trade, no source; limits of the rails as in bringup.ftl.
transport-title = After transport: { $name }
transport-foot = { $name }, check list after transport, minisim { $version }, { $date }, { $hash }
transport-how = Work from top to bottom. What is not in order stops the list: write it down, put it right, begin that part again.
transport-who = Who checked, and when
transport-where = Place of the event
transport-initials = Initials
transport-date = Date and time

# Before the plug
transport-before = Before the plug goes in
transport-before-warm = The machine has stood in the room until it is as warm as the room and dry. Cold metal takes on water.
transport-before-stand = It stands level and does not roll: feet down, castors locked, chocks in. Feet of the rack out before any slide comes forward.
transport-before-marks = Looked at all round for dents, loose screws, torn cables. Rocked gently by two people: nothing rattles.
transport-before-foam = Straps, foam and transport brackets are out, all of them, and counted.
transport-before-mains = Mains lead whole, no kink, no bare wire. Socket with earth and a residual-current breaker; its test button works.
transport-before-fans = Fans turn by hand, filters and air slots are free.
transport-before-covers = Covers are at hand: visitors see the machine with its covers on. Only the crew opens a slide.
transport-before-screens = Picture tubes, displays and lamps: no crack. A cracked picture tube stays under its cover, away from people.

# Boards and cables
transport-seated = Boards
transport-seated-how = Power off, plug out, wrist strap on. Press every board home with both thumbs, evenly; look at key and component side. No board is drawn that does not have to be.
transport-boards-caption = Every board in its place and seated
transport-place = Place
transport-handle = On the handle
transport-what = What it is
transport-done = Seated
transport-by = By
transport-cards-caption = Cables: pressed home at both ends, not under strain
transport-from = From
transport-to = To
transport-through = Through
transport-tight = Tight
transport-joints-caption = Joints between backplanes
transport-unit = Backplane
transport-cable = Cable
transport-no-cables = The loadout names no cable.

# Drives
transport-drives = Drives and media
transport-drive-locked = { $drive } ({ $place }): heads unlocked and every transport lock out, where it has them, before it turns.
transport-drive-door = { $drive } ({ $place }): door or latch opens and closes; nothing is inside that does not belong there.
transport-drive-reader = { $drive } ({ $place }): the way of tape or paper is clean and free.
transport-drive-terminal = { $drive } ({ $place }): paper and ribbon in, or the screen lights; on line.
transport-media = Media have been in the room as long as the machine. The master copies stayed at home: only copies are put in.

# Power on
transport-power = Power on
transport-power-halt = Halt switch ON, drives off. A second person stands at the main switch.
transport-power-on = Switch on. Smell, listen, look for ten seconds: fans turn, nothing smokes, nothing clicks again and again. Else off at once, plug out; a trip has a cause.
transport-power-rails = Measure each rail at the backplane. Out of the limits: off. It is not adjusted here on the table.
transport-answers = The console, in this order
transport-answers-none = What the console must answer can't be said: { $why }
transport-power-run = Halt switch OFF, drives on, one after the other. Then: { $how }.
transport-power-boot = The first lines on the console are those that { $file } gives in the model (minisim boot).

# The day and the way home
transport-day = During the day
transport-day-twin = The model runs beside the machine: minisim learn --event. It carries the day if the machine does not.
transport-day-spares = At hand: fuses of the printed rating, spare copies of the media, the build sheet, meter, torch, paper for the console.
transport-day-people = One of the crew stays within reach of the main switch while visitors are near.
transport-home = Before the van goes home
transport-home-off = Machine halted, drives stopped, power off, plug out and in sight.
transport-home-heads = Media out. Heads locked, transport brackets in.
transport-home-cards = Boards are left in their slots, covers on, straps over padding and never over a panel.
transport-home-lift = Heavy boxes: two people, a lift or a gantry; weights stand on the build sheet.
transport-home-log = What was odd today is in the log (minisim loadout log).
