/* FIS: floating arithmetic on four words that a register points to: B, then A, high words first.  A op B takes the place
 * of A, and the register is stepped past B.  An error traps through 244 and leaves operands and register as they were. */

INSN(FADD, "07500R", FLOATING, "**00", FIS, "244", "course-processor")
{ SMALL_FLOAT(MS_FLOAT_ADD); }

INSN(FSUB, "07501R", FLOATING, "**00", FIS, "244", "course-processor")
{ SMALL_FLOAT(MS_FLOAT_SUBTRACT); }

INSN(FMUL, "07502R", FLOATING, "**00", FIS, "244", "course-processor")
{ SMALL_FLOAT(MS_FLOAT_MULTIPLY); }

INSN(FDIV, "07503R", FLOATING, "**00", FIS, "244", "course-processor")
{ SMALL_FLOAT(MS_FLOAT_DIVIDE); }
