/* Base set: one operand. */

INSN(CLR, "*050DD", STORE, "0100", BASE, "", "course-processor",
     "clears {D}")
{
    DESTINATION(d);
    if (FLAG(clr_sxt_last_cycle, read_write)) READ_FIRST(d);       /* D35 */
    SET_NZ(0);
    SET_V(0);
    SET_C(0);
    WRITE(d, 0);
}

INSN(COM, "*051DD", CHANGE, "**01", BASE, "", "processor-handbooks-1972-81",
     "inverts {D}: NOT {d} = {r}")
{
    DESTINATION(d);
    const unsigned result = ~READ_TO_CHANGE(d) & MASK;
    SET_NZ(result);
    SET_V(0);
    SET_C(1);
    WRITE(d, result);
}

INSN(INC, "*052DD", CHANGE, "***-", BASE, "", "course-processor",
     "adds 1 to {D}: {d} + 1 = {r}")
{
    DESTINATION(d);
    const unsigned old = READ_TO_CHANGE(d), result = old + 1;
    SET_NZ(result);
    SET_V(old == TOP - 1);
    WRITE(d, result);
}

INSN(DEC, "*053DD", CHANGE, "***-", BASE, "", "course-processor",
     "takes 1 from {D}: {d} - 1 = {r}")
{
    DESTINATION(d);
    const unsigned old = READ_TO_CHANGE(d), result = old - 1;
    SET_NZ(result);
    SET_V(old == TOP);
    WRITE(d, result);
}

INSN(NEG, "*054DD", CHANGE, "****", BASE, "", "course-processor",
     "negates {D}: 0 - {d} = {r}")
{
    DESTINATION(d);
    const unsigned result = (0 - READ_TO_CHANGE(d)) & MASK;
    SET_NZ(result);
    SET_V(result == TOP);
    SET_C(result);
    WRITE(d, result);
}

INSN(ADC, "*055DD", CHANGE, "****", BASE, "", "handbook-1969",
     "adds C to {D}: {d} + {c} = {r}")
{
    DESTINATION(d);
    const unsigned old = READ_TO_CHANGE(d), carry = GET_C, result = old + carry;
    SET_NZ(result);
    SET_V(old == TOP - 1 && carry);
    SET_C(old == MASK && carry);
    WRITE(d, result);
}

/* Disputed: V and C as the later books have them, by the operand; [handbook-1969] p. 33 goes by the result. */
INSN(SBC, "*056DD", CHANGE, "****", BASE, "", "processor-handbooks-1972-81",
     "takes C from {D}: {d} - {c} = {r}")
{
    DESTINATION(d);
    const unsigned old = READ_TO_CHANGE(d), carry = GET_C, result = old - carry;
    SET_NZ(result);
    SET_V(old == TOP);
    SET_C(old == 0 && carry);
    WRITE(d, result);
}

INSN(TST, "*057DD", TEST, "**00", BASE, "", "course-processor",
     "tests {D}: {d}")
{
    DESTINATION(d);
    const unsigned value = READ(d);
    SET_NZ(value);
    SET_V(0);
    SET_C(0);
}

INSN(ROR, "*060DD", CHANGE, "****", BASE, "", "handbook-1969",
     "rotates {D} right through C: {d} with C {c} becomes {r}; C: bit 0 was 1; V: N and C differ")
{
    DESTINATION(d);
    const unsigned old = READ_TO_CHANGE(d), result = old >> 1 | (GET_C ? TOP : 0);
    SET_NZ(result);
    SET_C(old & 1);
    SET_V(GET_N ^ GET_C);
    WRITE(d, result);
}

INSN(ROL, "*061DD", CHANGE, "****", BASE, "", "handbook-1969",
     "rotates {D} left through C: {d} with C {c} becomes {r}; C: the top bit was 1; V: N and C differ")
{
    DESTINATION(d);
    const unsigned old = READ_TO_CHANGE(d), result = old << 1 | GET_C;
    SET_NZ(result);
    SET_C(old & TOP);
    SET_V(GET_N ^ GET_C);
    WRITE(d, result);
}

INSN(ASR, "*062DD", CHANGE, "****", BASE, "", "handbook-1969",
     "shifts {D} right by one, the sign stays: {d} becomes {r}; C: bit 0 was 1; V: N and C differ")
{
    DESTINATION(d);
    const unsigned old = READ_TO_CHANGE(d), result = old >> 1 | (old & TOP);
    SET_NZ(result);
    SET_C(old & 1);
    SET_V(GET_N ^ GET_C);
    WRITE(d, result);
}

INSN(ASL, "*063DD", CHANGE, "****", BASE, "", "handbook-1969",
     "shifts {D} left by one: {d} becomes {r}; C: the top bit was 1; V: N and C differ")
{
    DESTINATION(d);
    const unsigned old = READ_TO_CHANGE(d), result = old << 1;
    SET_NZ(result);
    SET_C(old & TOP);
    SET_V(GET_N ^ GET_C);
    WRITE(d, result);
}

/* N and Z of the low byte; V see D06. */
INSN(SWAB, "0003DD", CHANGE, "**00", BASE, "", "handbook-1969",
     "swaps the bytes of {D}: {d} becomes {r}; N: bit 7 of the result is 1; Z: the low byte of the result is 0")
{
    DESTINATION(d);
    const unsigned old = READ_TO_CHANGE(d), result = (old >> 8 | old << 8) & MASK;
    SET_N(result & 0200);
    SET_Z(!(result & 0377));
    if (!FLAG(swab_v, unchanged)) SET_V(0);
    SET_C(0);
    WRITE(d, result);
}
