/* Later base set: every machine after the first ones (D08, D14). */

INSN(RTT, "000006", RETURN, "****", RTT, "", "assembler-manual-options",
     "takes PC and PS from the stack, and is not traced: PC {w1} from {@1}, PS {w2} from {@2}")
{
    const uint16_t pc = STACK_WORD(0), ps = STACK_WORD(2);
    SP += 4;
    GO_TO(pc);
    ms_return_ps(m, ps);
    m->trace_due = 0;              /* T or not, one instruction runs first */
}

INSN(MARK, "0064NN", MARKER, "----", MARK, "", "assembler-manual-options",
     "steps SP past {N} words, goes to the address in R5, and R5 takes the word on the stack: goes on at {t}, R5 "
     "is {w1}")
{
    SP = (uint16_t)(PC + 2 * FIELD_NN);
    GO_TO(REGISTER(5));
    REGISTER(5) = POP();
}

INSN(SXT, "0067DD", STORE, "-*0-", SXT, "", "assembler-manual-options",
     "fills {D} with copies of N: {r}")
{
    DESTINATION(d);
    if (FLAG(clr_sxt_last_cycle, read_write)) READ_FIRST(d);       /* D35 */
    SET_Z(!GET_N);
    SET_V(0);
    WRITE(d, GET_N ? 0177777 : 0);
}

INSN(XOR, "074RDD", REGISTER_COMBINE, "**0-", XOR, "", "course-processor",
     "turns the bits of {D} that are set in {R}: {d} EXCLUSIVE OR {s} = {r}")
{
    REGISTER_SOURCE(s);
    DESTINATION(d);
    const unsigned result = READ_TO_CHANGE(d) ^ VALUE(s);
    SET_NZ(result);
    SET_V(0);
    WRITE(d, result);
}

INSN(SOB, "077RNN", LOOP, "----", SOB, "", "course-processor",
     "takes 1 from {R} and goes to {L} if r!=0: {d} - 1 = {r}")
{
    if (--REGISTER(FIELD_R)) GO_TO(PC - 2 * FIELD_NN);
}
