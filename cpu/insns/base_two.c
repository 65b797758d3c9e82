/* Base set: two operands.  ADD and SUB have no byte form. */

/* A byte that goes to a register is extended with its sign.  D30: some read before they write. */
INSN(MOV, "*1SSDD", MOVE, "**0-", BASE, "", "handbook-1969",
     "moves {S} to {D}: {r}")
{
    SOURCE(s);
    DESTINATION(d);
    const unsigned value = VALUE(s);
    if (FLAG(mov_last_cycle, read_write) && (byte || !m->profile.only_movb_reads)) READ_FIRST(d);
    SET_NZ(value);
    SET_V(0);
    WRITE_EXTENDED(d, value);
}

INSN(CMP, "*2SSDD", COMPARE, "****", BASE, "", "processor-handbooks-1972-81",
     "compares {S} with {D}: {s} - {d} = {r}")
{
    SOURCE(s);
    DESTINATION(d);
    const unsigned b = READ(d), a = VALUE(s), result = a - b;
    SET_NZ(result);
    SET_V((a ^ b) & ~(b ^ result) & TOP);
    SET_C(a < b);
}

INSN(BIT, "*3SSDD", COMPARE, "**0-", BASE, "", "processor-handbooks-1972-81",
     "tests the bits of {D} that are set in {S}: {d} AND {s} = {r}")
{
    SOURCE(s);
    DESTINATION(d);
    const unsigned result = READ(d) & VALUE(s);
    SET_NZ(result);
    SET_V(0);
}

INSN(BIC, "*4SSDD", COMBINE, "**0-", BASE, "", "processor-handbooks-1972-81",
     "clears the bits of {D} that are set in {S}: {d} AND NOT {s} = {r}")
{
    SOURCE(s);
    DESTINATION(d);
    const unsigned result = READ_TO_CHANGE(d) & ~VALUE(s);
    SET_NZ(result);
    SET_V(0);
    WRITE(d, result);
}

INSN(BIS, "*5SSDD", COMBINE, "**0-", BASE, "", "processor-handbooks-1972-81",
     "sets the bits of {D} that are set in {S}: {d} OR {s} = {r}")
{
    SOURCE(s);
    DESTINATION(d);
    const unsigned result = READ_TO_CHANGE(d) | VALUE(s);
    SET_NZ(result);
    SET_V(0);
    WRITE(d, result);
}

INSN(ADD, "06SSDD", COMBINE, "****", BASE, "", "handbook-1969",
     "adds {S} to {D}: {s} + {d} = {r}")
{
    SOURCE(s);
    DESTINATION(d);
    const unsigned b = READ_TO_CHANGE(d), a = VALUE(s), result = a + b;
    SET_NZ(result);
    SET_V(~(a ^ b) & (a ^ result) & TOP);
    SET_C(result > MASK);
    WRITE(d, result);
}

INSN(SUB, "16SSDD", COMBINE, "****", BASE, "", "handbook-1969",
     "subtracts {S} from {D}: {d} - {s} = {r}")
{
    SOURCE(s);
    DESTINATION(d);
    const unsigned b = READ_TO_CHANGE(d), a = VALUE(s), result = b - a;
    SET_NZ(result);
    SET_V((a ^ b) & ~(a ^ result) & TOP);
    SET_C(b < a);
    WRITE(d, result);
}
