# One page for each stage of the bring-up, and the test record.
bringup-page = Stage { $number } of { $last }: { $title }
bringup-supply-alone = the supply alone, no board in any slot
bringup-least = the least that can talk
bringup-with = with { $board }

# The supply alone
bringup-supply-cautions-1 = Plug out and in sight. Look at the power wiring, fuses and filter before anything is switched on.
bringup-supply-cautions-2 = Some supplies hold over 400 V for days after the plug is out: discharge through a resistor, then measure.
bringup-supply-cautions-3 = A second person stands by who knows the main switch.
bringup-supply-cautions-4 = The dummy load gets hot: put it on something that does not burn, away from cables and fingers.
bringup-supply-do-1 = All boards out. Unplug the drives in the box.
bringup-supply-do-2 = Connect the dummy load of the table at the backplane, between each rail and ground.
bringup-supply-do-3 = Plug in, switch on, and measure each rail at the backplane within the first seconds. Out of the limits: switch off.
bringup-supply-do-4 = Adjust under load only. Write down volts and ripple. Switch off, plug out.
bringup-dummy-caption = Dummy load of box { $box }
bringup-dummy-rail = Rail
bringup-dummy-amps = Draws
bringup-dummy-ohms = Resistor
bringup-dummy-watts = Heat
bringup-dummy-buy = Take one for
bringup-dummy-none = Box { $box }: no least load and no load of the first boards is known. Read the least load of each rail from the manual of the supply before it is switched on.
bringup-dummy-unknown = Least load of { $rails } in box { $box } not known: read it from the manual of the supply.
bringup-dummy-why = The load is the larger of the least load of the supply and what the boards of stage 1 are known to draw. Resistors for twice the heat: common practice.

# Rails
bringup-rails-caption = Rails of box { $box }: measure at the backplane
bringup-rails-rail = Rail
bringup-rails-limits = Limits
bringup-rails-between = { $low } to { $high } V
bringup-rails-load = Load
bringup-rails-grown = { $load } A, before { $before } A
bringup-rails-rating = Rating
bringup-rails-volts = Volts
bringup-rails-ripple = Ripple, mV
bringup-rails-initials = By
bringup-rails-why = Limits: plus and minus 5 % of the rail; the data sheets of the logic family print 4.75 to 5.25 V for +5 V. For the other rails this is common practice. Limit of ripple: see the manual of the supply.
bringup-power-good = Power-good lines of the multiplexed bus: BA1 (DC good) comes at least 3 ms after the rails, BB1 (power good) at least 70 ms after BA1. Pins from memory, firm; times unconfirmed. Without both the processor does not start.

# Boards in
bringup-in-caption = Put in now
bringup-in-place = Place
bringup-in-handle = On the handle
bringup-in-item = Item
bringup-in-done = In, initials
bringup-cards = For the time being also { $cards }: they keep the grants whole until the board of that place comes. Take each out when its board goes in.
bringup-power-off = Power off and plug out for every card. Look at key and component side. Then measure each rail again before you go on.
bringup-halt-on = Halt switch ON, or the halt line held, until the console answers.
bringup-waits = Still outside: { $boards }.

# What the console must answer
bringup-console = What the console must answer
bringup-console-debugger = { $speed } 8 bits and no parity, unless the boards are set otherwise. Type the address and "/". The processor prints a space, six octal digits, a space; Return closes the place. A place that nobody answers gives "?" and a new "@".
bringup-console-debugger-up = With the halt switch ON the terminal shows an address of six digits, a new line, and the prompt "@". Nothing comes: the halt switch is the first question, then baud and cable, then the power-good lines. Processors of the first chip set also need working memory at 0 for it [wiki-terminal-debugger].
bringup-console-sure = That this processor is spoken to in this way: { $sure }.
bringup-console-own-line = You ask through the line at 777560 itself: while it still sends, its transmit status may show bit 7 (000200) as 0. Other lines must show what the table says.
bringup-no-model = The model of this stage can't be built, so words of registers are missing here: { $why }
bringup-console-commercial = Terminal: control-P enters the console of the processor, its prompt is ">>>"; H halts, C continues [console-manual-page]. How it examines a place is not known here: see its manual. The addresses and words below are what it must show.
bringup-console-switches = Panel: halt, set the address in the switches, load address, examine; the data lamps show the word. A place that nobody answers: the processor stops in a bus error, as the panel of this processor shows it (see its manual) [console-chapter-1969].
bringup-console-none = This processor has no console of its own: the words below are read by a program, or by the boot ROM if it has such a part.
bringup-console-unknown = How this processor is spoken to is not known here: see its manual. The addresses and words below are what it must show.
bringup-console-baud = Terminal at { $baud } baud.
bringup-console-any-baud = Terminal at the speed the board is set to: read its switches.
bringup-power-up = After power-up with the halt switch OFF: { $how }.
bringup-answers-caption = Expected answers, computed from the loadout by the model of this stage
bringup-answers-address = Address
bringup-answers-what = What is there
bringup-answers-expect = Expect
bringup-answers-sure = How sure
bringup-answers-found = Found
bringup-sure-model = model of the { $device }
bringup-sure-rom = words of { $file }
bringup-sure-loadout = from the loadout
bringup-sure-not-modelled = the register is not in the model
bringup-any-word = any word: it answers
bringup-no-answer = no answer
bringup-beyond = not with the { $bits } bits of this console: a program with memory management reaches it
bringup-register = { $device }: { $register }
bringup-registers-first = { $device }: first register
bringup-rom-word = first word of the boot ROM
bringup-memory-first = first word of memory
bringup-memory-last = last word of memory
bringup-memory-behind = first word behind the memory
bringup-deposit-caption = Write and read back: a wrong bit names a chip or a line
bringup-deposit-write = Write
bringup-deposit-read = Read back
bringup-deposit-how-debugger = Type the address, "/", the word, Return; then the address and "/" again. Only memory is written to, no register.
bringup-deposit-how-switches = Load address, deposit the word, load address again, examine. Only memory is written to, no register.
bringup-deposit-how-other = As the manual of the processor says. Only memory is written to, no register.
bringup-program-caption = A program of three words to toggle in
bringup-program-word = Word
bringup-program-text = Instruction
bringup-program-start-debugger = Halt switch OFF, then { $start }G. It halts at once: the terminal shows { $stop } and the prompt "@". R0/ shows { $value }.
bringup-program-start-other = Start it at { $start }. It halts with the PC at { $stop } and R0 holding { $value }.
bringup-program-sure = G clears PS and memory management, and its bus initialise keeps the interrupts of the boards off (unconfirmed).
bringup-program-clock = Switch the line clock off first (jumper or panel switch): this processor takes its interrupts through { $vector } as soon as PS is low, also in these three words.

# A later stage
bringup-test = Test of { $board }
bringup-test-memory = Memory of { $place }: { $size } from { $first } to { $last }. At both ends write 125252, read it back, then 052525; then run a memory test over all of it.
bringup-test-memory-beyond = Memory of { $place }: { $size } from { $first }. This console takes { $bits } bits and does not reach it: a memory test with memory management does.
bringup-test-line = Line of { $place }: write 000101 to { $address } (transmit data); the letter A appears on what hangs on the line. Then read { $status } again: 000200 means ready for the next.
bringup-test-clock = Clock of { $place }: read { $address }: the word of the table. Write nothing there. That it ticks is shown by the first program that waits for it.
bringup-test-clock-none = Clock of { $place }: this machine can't read it; it interrupts through { $vector } as soon as the level of PS is low.
bringup-test-interrupts = It interrupts through { $vectors }. With low memory filled as usual (each vector holds the address of its second word, which holds HALT) an interrupt that nobody expects stops the machine at { $stops }.
bringup-test-silent = If it does not answer: address switches first (see its settings), then the fingers, then the slot next to it.
bringup-test-grant = If it answers and never interrupts: the grant comes over { $hops }. Measure at each with power off, from the output of one to the input of the next.
bringup-test-grant-open = No grant reaches it: hop { $hop } is open. It will answer and never interrupt.
bringup-test-grant-doubtful = Whether a grant reaches it is not known: look at hop { $hop } first.
bringup-test-none = No register and no memory of this board is known here: after it is in, the answers of the stages before must still be right.

# Test record
record-title = Test record
record-caption = Every stage, signed by who did it
record-stage = Stage
record-done = Done
record-result = Result, what was odd
record-initials = Initials
record-date = Date
record-rails = Rails of box { $box }, measured at the backplane under load
record-alone = Volts, dummy load
record-full = Volts, all boards
record-boards = Every board in its place
record-final-caption = Before it is handed on
record-final-what = What
record-final-rails = all rails within limits after an hour with covers on
record-final-fans = every fan turns, filters clean
record-final-boot = it starts as planned: { $how }
record-final-log = measurements written down: minisim loadout log { $file } --measured "+5 4.98 V"
record-final-sheet = this sheet, with the loadout, goes with the machine
