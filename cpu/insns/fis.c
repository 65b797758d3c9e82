/* FIS: floating arithmetic on four words that a register points to: B, then A, high words first.  A op B takes the place
 * of A, and the register is stepped past B.  An error traps through 244 and leaves operands and register as they were. */

INSN(FADD, "07500R", FLOATING, "**00", FIS, "244", "course-processor",
     "adds the two floating numbers at {R}: {1} + {2}[ gives {3}]; N: the result is negative; Z: the result is 0; "
     "V: there is no such floating number")
{ SMALL_FLOAT(MS_FLOAT_ADD); }

INSN(FSUB, "07501R", FLOATING, "**00", FIS, "244", "course-processor",
     "subtracts the floating number at {R} from the one behind it: {1} - {2}[ gives {3}]; N: the result is "
     "negative; Z: the result is 0; V: there is no such floating number")
{ SMALL_FLOAT(MS_FLOAT_SUBTRACT); }

INSN(FMUL, "07502R", FLOATING, "**00", FIS, "244", "course-processor",
     "multiplies the two floating numbers at {R}: {1} * {2}[ gives {3}]; N: the result is negative; Z: the result "
     "is 0; V: there is no such floating number")
{ SMALL_FLOAT(MS_FLOAT_MULTIPLY); }

INSN(FDIV, "07503R", FLOATING, "**00", FIS, "244", "course-processor",
     "divides the floating number behind the one at {R} by that one: {1} / {2}[ gives {3}]; N: the result is "
     "negative; Z: the result is 0; V: there is no such floating number; C: the divisor is 0")
{ SMALL_FLOAT(MS_FLOAT_DIVIDE); }
