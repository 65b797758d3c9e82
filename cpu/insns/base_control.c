/* Base set: jumps, subroutines, traps, condition code operators, processor control. */

INSN(HALT, "000000", PLAIN, "----", BASE, "4 10", "processor-handbooks-1972-81",
     "{H}")
{
    if (MODE != MS_KERNEL) ms_halt_outside_kernel(m);                                    /* D36 */
    else if (FLAG(halt_kernel, see_d38) && FLAG(halt_without_mmu, restart)) ms_restart(m);
    else if (FLAG(halt_kernel, halts_or_trap_4) && m->halt_traps) TRAP_INSTEAD(04);      /* D37 */
    else m->halted = 1;
}

INSN(WAIT, "000001", PLAIN, "----", BASE, "", "processor-handbooks-1972-81",
     "waits for an interrupt")
{
    m->waiting = 1;
}

/* T that was just loaded brings a trace trap at once, or after the next instruction (D15).  Where it comes after the next
 * one, the fetch decides: a traced RTI is followed by the trap whatever it loads (unconfirmed where T becomes 0). */
INSN(RTI, "000002", RETURN, "****", BASE, "", "handbook-1969",
     "takes PC and PS from the stack: PC {w1} from {@1}, PS {w2} from {@2}")
{
    const uint16_t pc = STACK_WORD(0), ps = STACK_WORD(2);
    SP += 4;
    GO_TO(pc);
    ms_return_ps(m, ps);
    if (FLAG(rti_sets_t, at_once)) m->trace_due = (m->ps & PS_T) != 0;
}

INSN(BPT, "000003", TRAP, "****", BASE, "14", "handbook-1969",
     "traps through {V}")
{ TRAP(014); }

INSN(IOT, "000004", TRAP, "****", BASE, "20", "handbook-1969",
     "traps through {V}")
{ TRAP(020); }

INSN(RESET, "000005", PLAIN, "----", BASE, "", "processor-handbooks-1972-81",
     "resets the bus, in kernel mode only")
{
    if (MODE == MS_KERNEL) ms_initialise(m);
}

INSN(JMP, "0001DD", JUMP, "----", BASE, "4 10", "handbook-1969",
     "goes to {J}")
{
    if (DESTINATION_MODE == 0) { TRAP_INSTEAD(FLAG(jump_register_trap, 10) ? 010 : 04); return; }   /* D05 */
    GO_TO(JUMP_ADDRESS());
}

INSN(RTS, "00020R", UNCALL, "----", BASE, "", "processor-handbooks-1972-81",
     "goes back to the address in {R}, and {R} takes the word on the stack: goes on at {t}, {R} is {w1} | goes "
     "back to the address on the stack: {w1} from {@1}")
{
    const unsigned r = FIELD_LOW3;
    GO_TO(REGISTER(r));
    REGISTER(r) = POP();
}

INSN(JSR, "004RDD", CALL, "----", BASE, "4 10", "handbook-1969",
     "calls {J}, pushes {R} and keeps the return address in it: {w1} to {@1}, {R} is {k} | calls {J} and pushes "
     "the return address: {w1} to {@1}")
{
    if (DESTINATION_MODE == 0) { TRAP_INSTEAD(FLAG(jump_register_trap, 10) ? 010 : 04); return; }   /* D05 */
    const uint16_t target = JUMP_ADDRESS();
    PUSH(REGISTER(FIELD_R));
    REGISTER(FIELD_R) = PC;
    GO_TO(target);
}

INSN(EMT, "104000+XX", TRAP_NUMBER, "****", BASE, "30", "handbook-1969",
     "traps through {V} with the number {X}")
{ TRAP(030); }

INSN(TRAP, "104400+XX", TRAP_NUMBER, "****", BASE, "34", "handbook-1969",
     "traps through {V} with the number {X}")
{ TRAP(034); }

/* Bits 3-0 choose N Z V C; 000240 and 000260 do nothing. */
INSN(CLx, "000240+C", CODES, "0000", BASE, "", "processor-handbooks-1972-81",
     "clears {K}")
{
    if (word & 010) SET_N(0);
    if (word & 04) SET_Z(0);
    if (word & 02) SET_V(0);
    if (word & 01) SET_C(0);
}
ALIAS(NOP, CLx, "000240")
ALIAS(CLC, CLx, "000241")
ALIAS(CLV, CLx, "000242")
ALIAS(CLZ, CLx, "000244")
ALIAS(CLN, CLx, "000250")
ALIAS(CCC, CLx, "000257")

INSN(SEx, "000260+C", CODES, "1111", BASE, "", "processor-handbooks-1972-81",
     "sets {K}")
{
    if (word & 010) SET_N(1);
    if (word & 04) SET_Z(1);
    if (word & 02) SET_V(1);
    if (word & 01) SET_C(1);
}
ALIAS(SEC, SEx, "000261")
ALIAS(SEV, SEx, "000262")
ALIAS(SEZ, SEx, "000264")
ALIAS(SEN, SEx, "000270")
ALIAS(SCC, SEx, "000277")
