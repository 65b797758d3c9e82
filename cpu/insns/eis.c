/* EIS: multiply, divide, shift by a count.  R and its neighbour R|1 are one operand of 32 bits; an odd R is both halves.
 * Some processors can abandon these for an interrupt and start again (D27): between two instructions nobody sees it. */

/* An odd R takes the low half of the product only [course-processor]. */
INSN(MUL, "070RSS", ARITHMETIC, "**0*", EIS, "", "course-processor",
     "multiplies {R} by {S} into {RR}: {d#} * {s#} = {p#}; N: the product is negative; Z: the product is 0; C: the "
     "product needs more than 16 bits")
{
    DESTINATION(s);
    const int32_t factor = (int16_t)READ(s), product = (int16_t)REGISTER(FIELD_R) * factor;
    REGISTER(FIELD_R) = (uint16_t)((uint32_t)product >> 16);
    REGISTER(FIELD_R | 1) = (uint16_t)product;
    SET_N(product < 0);
    SET_Z(product == 0);
    SET_V(0);
    SET_C(product != (int16_t)product);
}

/* Given up, registers unchanged, where the quotient does not fit.  N and Z are then undefined: as they were. */
INSN(DIV, "071RSS", ARITHMETIC, "****", EIS, "", "course-processor",
     "divides {RR} by {S}: {dd#} / {s#}[ = {q#} in {R}, remainder {m#} in {R1}]; N: the quotient is negative; Z: "
     "the quotient is 0; V: there is no quotient of 16 bits; C: the divisor is 0")
{
    DESTINATION(s);
    const int64_t divisor = (int16_t)READ(s), dividend = PAIR_OF_REGISTERS;
    const int64_t quotient = divisor ? dividend / divisor : 0;
    SET_C(divisor == 0);
    SET_V(divisor == 0 || quotient != (int16_t)quotient);
    if (GET_V) return;
    REGISTER(FIELD_R) = (uint16_t)quotient;
    REGISTER(FIELD_R | 1) = (uint16_t)(dividend % divisor);
    SET_N(quotient < 0);
    SET_Z(quotient == 0);
}

/* The count is six bits with sign: left with zeros, right with copies of the sign.  V: the sign changed on the way, that
 * is, the number times 2^count does not fit.  All bits that a shift could reach stand in 64. */
INSN(ASH, "072RSS", ARITHMETIC, "****", EIS, "", "processor-handbooks-1972-81",
     "shifts {R} by the count in {S}: {by}, {d} becomes {r}; V: the sign changed on the way; C: the last bit "
     "shifted out is 1")
{
    DESTINATION(s);
    const int count = SIGNED_SIX_BITS(READ(s));
    const int64_t old = (int16_t)REGISTER(FIELD_R), shifted = SHIFTED(old, count);
    REGISTER(FIELD_R) = (uint16_t)shifted;
    SET_NZ((uint16_t)shifted);
    SET_V(count > 0 && shifted != (int16_t)shifted);
    SET_C(count > 0 ? shifted >> 16 & 1 : count < 0 && SHIFTED(old, count + 1) & 1);
}

/* The same on 32 bits.  An odd R ends as the low half, which turns a right shift into a rotation. */
INSN(ASHC, "073RSS", ARITHMETIC, "****", EIS, "", "processor-handbooks-1972-81",
     "shifts {RR} by the count in {S}: {by}, {dd} becomes {rr}; N: the sign of the 32 bits is 1; Z: the 32 bits "
     "are 0; V: the sign changed on the way; C: the last bit shifted out is 1")
{
    DESTINATION(s);
    const int count = SIGNED_SIX_BITS(READ(s));
    const int64_t old = PAIR_OF_REGISTERS, shifted = SHIFTED(old, count);
    REGISTER(FIELD_R) = (uint16_t)((uint64_t)shifted >> 16);
    REGISTER(FIELD_R | 1) = (uint16_t)shifted;
    SET_N((int32_t)shifted < 0);
    SET_Z((int32_t)shifted == 0);
    SET_V(count > 0 && shifted != (int32_t)shifted);
    SET_C(count > 0 ? shifted >> 32 & 1 : count < 0 && SHIFTED(old, count + 1) & 1);
}
