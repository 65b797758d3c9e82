/* The PS as an operand, and what else only some processors have. */

/* T never changes.  In user mode some change only the codes (D46). */
INSN(MTPS, "1064SS", LOAD_BYTE, "****", PS, "", "processor-handbooks-1972-81",
     "moves {S} to the low byte of the PS: {s}")
{
    ONLY_SOURCE(s);
    if (MODE != MS_KERNEL && FLAG(mtps_user, full_if_mapped)) ms_check_ps_page(m);
    const int codes_only = MODE != MS_KERNEL && !FLAG(mtps_user, full_if_mapped);
    const unsigned changed = codes_only ? 017 : 0357;
    ms_set_ps(m, (uint16_t)((ms_get_ps(m) & ~changed) | (s.value & changed)));
}

/* The codes follow the write here: they are part of what is written. */
INSN(MFPS, "1067DD", STORE_BYTE, "**0-", PS, "", "processor-handbooks-1972-81",
     "moves the low byte of the PS to {D}: {r}")
{
    DESTINATION(d);
    const unsigned value = ms_get_ps(m) & 0377u;
    WRITE_EXTENDED(d, value);
    SET_NZ(value);
    SET_V(0);
}

/* Kernel mode only (D12). */
INSN(SPL, "00023N", NUMBER, "----", SPL, "", "processor-handbooks-1972-81",
     "sets the priority to {N}, in kernel mode only")
{
    if (MODE == MS_KERNEL) m->ps = (uint16_t)((m->ps & ~0340) | FIELD_LOW3 << 5);
}

INSN(MFPT, "000007", PLAIN, "----", MFPT, "", "assembler-manual-options",
     "tells the type of the processor in R0: {r0}")
{
    REGISTER(0) = m->profile.processor_type;
}

/* For two processors on one memory: read, change and write are one locked cycle. */
INSN(TSTSET, "0072DD", CHANGE, "**0*", PAIR, "10", "architecture-handbook-1983",
     "copies {D} to R0 and sets its bit 0, in one piece: {d} becomes {r}; N: the sign of the old word is 1; Z: "
     "the old word is 0; C: bit 0 was 1")
{
    if (DESTINATION_MODE == 0) { TRAP_INSTEAD(010); return; }
    DESTINATION(d);
    const unsigned old = READ_TO_CHANGE(d);
    WRITE(d, old | 1);
    REGISTER(0) = (uint16_t)old;
    SET_NZ(old);
    SET_V(0);
    SET_C(old & 1);
}

INSN(WRTLCK, "0073DD", STORE, "**0-", PAIR, "10", "architecture-handbook-1983",
     "moves R0 to {D} in one piece: {r}")
{
    if (DESTINATION_MODE == 0) { TRAP_INSTEAD(010); return; }
    DESTINATION(d);
    const unsigned value = REGISTER(0);
    SET_NZ(value);
    SET_V(0);
    WRITE(d, value);
}
