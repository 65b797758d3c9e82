/* Memory management: words of the previous mode, and the call to the supervisor.  The address of an operand is found in
 * the current mode; only the last reference is in the previous one. */

INSN(MFPI, "0065SS", FROM_MODE, "**0-", MODES, "", "processor-handbooks-1972-81",
     "pushes {S}, of the previous mode: {w1} to {@1}")
{ FROM_PREVIOUS(0); }

INSN(MTPI, "0066DD", TO_MODE, "**0-", MODES, "", "processor-handbooks-1972-81",
     "takes the word on the stack to {D}, of the previous mode: {w1} from {@1}")
{ TO_PREVIOUS(0); }

/* The same in data space; where spaces are not split, the same altogether. */
INSN(MFPD, "1065SS", FROM_MODE, "**0-", MODES, "", "processor-handbooks-1972-81",
     "pushes {S}, of the data space of the previous mode: {w1} to {@1}")
{ FROM_PREVIOUS(1); }

INSN(MTPD, "1066DD", TO_MODE, "**0-", MODES, "", "processor-handbooks-1972-81",
     "takes the word on the stack to {D}, of the data space of the previous mode: {w1} from {@1}")
{ TO_PREVIOUS(1); }

/* Only where MMR3 allows it, and not from kernel mode. */
INSN(CSM, "0070SS", SUPERVISE, "----", CSM, "10", "assembler-manual-options",
     "calls the supervisor with {S}: {s}, goes on at {t}")
{
    if (!(m->mmr[3] & 010) || MODE == MS_KERNEL) { TRAP_INSTEAD(010); return; }
    DESTINATION(s);
    CALL_SUPERVISOR(READ(s));
}
