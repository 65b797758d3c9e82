/* operands.h - the vocabulary of instruction bodies (insns/): what an architect reads beside the page of the handbook.
 *
 * A body sees m (the machine), word (the first word) and byte (operands are bytes).  Here the words mean the functions
 * of the reference core; the macros have no state of their own, so a faster core can give them another meaning.
 *
 *   SOURCE(s)            settles the source: its address, and for memory its value
 *   DESTINATION(d)       settles the destination: its address
 *   VALUE(s)             the source as this processor takes it (D01 to D03)
 *   READ(d), READ_TO_CHANGE(d)   the destination; the second where a write to the same place follows
 *   WRITE(d, value)      the last cycle of the instruction; a byte leaves the other half of a register alone
 *   SET_NZ(result), SET_V(x), SET_C(x)     condition codes; TOP and MASK are those of a word or a byte
 *
 * The codes are set before the last cycle, so that a write to the PS itself wins; an instruction that is given up in
 * that cycle leaves the codes as they were (ms_after_abort). */

#include "words.h"

/* operands */
#define SOURCE(s)          const ms_operand s = BUILD(source)(m, word >> 6, byte)
#define REGISTER_SOURCE(s) const ms_operand s = {.reg = FIELD_R, .value = m->r[FIELD_R], .kind = MS_ACCESS_READ}
#define ONLY_SOURCE(s)     const ms_operand s = BUILD(source)(m, word, byte)
#define DESTINATION(d)     const ms_operand d = BUILD(locate)(m, word, byte)
#define VALUE(s)           source_value(m, &s, word, byte)
#define READ(d)            BUILD(read_destination)(m, &d, byte)
#define READ_TO_CHANGE(d)  BUILD(read_destination)(m, &d, byte)
#define READ_FIRST(d)      do { if (d.mode) (void)BUILD(read_destination)(m, &d, byte); } while (0)
#define WRITE(d, value)    BUILD(write_destination)(m, &d, (value), byte)
#define WRITE_EXTENDED(d, value) \
    do { if (byte && !d.mode) m->r[d.reg] = SIGN_EXTENDED(value); else WRITE(d, value); } while (0)

/* condition codes */
#define SET_N(x) (m->n = (x) != 0)
#define SET_Z(x) (m->z = (x) != 0)
#define SET_V(x) (m->v = (x) != 0)
#define SET_C(x) (m->c = (x) != 0)
#define SET_NZ(result) (SET_N((result) & TOP), SET_Z(!((result) & MASK)))
#define GET_N ((unsigned)m->n)
#define GET_Z ((unsigned)m->z)
#define GET_V ((unsigned)m->v)
#define GET_C ((unsigned)m->c)

/* registers, stack, flow */
#define REGISTER(n) (m->r[n])
#define SP (m->r[6])
#define PC (m->r[7])
#define GO_TO(address) (m->r[7] = (uint16_t)(address))
#define MODE (m->ps >> 14)
#define PUSH(value) BUILD(push)(m, (value))
#define POP() BUILD(pop)(m)
#define FROM_PREVIOUS(is_data) BUILD(from_previous)(m, word, (is_data))
#define TO_PREVIOUS(is_data) BUILD(to_previous)(m, word, (is_data))
#define CALL_SUPERVISOR(operand) ms_call_supervisor(m, (uint16_t)(operand))
#define STACK_WORD(offset) BUILD(load)(m, (uint16_t)(SP + (offset)), MS_ACCESS_READ)
#define SMALL_FLOAT(act) BUILD(small_float)(m, word, (act))
#define FPP(act) do { if (!float_trap_is_due(m)) { NOTE_FLOATS(); BUILD(fpp_##act)(m, word); } } while (0)
#define TRAP(vector) ms_trap(m, (vector))
#define TRAP_INSTEAD(vector) ms_trap_instead(m, (vector))   /* an instruction that does nothing else: its cycles come on top */
#define BRANCH_IF(condition) do { if (condition) GO_TO(PC + OFFSET); else m->time_ns -= m->untaken_ns; } while (0)
#define JUMP_ADDRESS() jump_address(m, BUILD(locate)(m, word, 0))
#define LOAD_DESCRIPTORS(count) BUILD(load_descriptors)(m, FIELD_LOW3, (count))
#define STRING(act) BUILD(string)(m, word, (act))
#define DECIMAL(act) BUILD(decimal)(m, word, (act))
