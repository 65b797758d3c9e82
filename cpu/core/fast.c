/* fast.c - the fast core: whatever is plain, quickly.
 *
 * Each first word leads to a handler, specialised by instruction, byte or word, and the classes of its operands where
 * they are common.  A handler does the whole instruction in the plain way, or nothing: then the reference core executes
 * it.  So there is one meaning of everything that is odd, and it stands in the reference core.
 *
 * ms_run_ahead starts only where nothing can happen between two instructions, and ends before anything can: before the
 * next due time, before the limit, and where the window of first words ends.  Time and instructions are counted down
 * together in one word, `budget`. */
#include <stdlib.h>
#include <string.h>
#include "fast.h"

#define CARRIED ms_machine *m, uint64_t budget, uint32_t pc, uint32_t word, uint64_t nzv, uint32_t c
typedef void (*ms_handler)(CARRIED);

/* Back to ms_run_ahead, in front of the instruction at pc. */
static __attribute__((noinline, noclone)) void leave(ms_machine *m, uint64_t budget, uint32_t pc, uint32_t word, uint64_t nzv, uint32_t c)
{
    (void)word;
    m->r[7] = (uint16_t)pc;
    m->budget = budget;
    m->n = (uint8_t)((uint32_t)nzv >> 31);
    m->z = !(nzv & 0177777u);
    m->v = nzv >> 32 != 0;
    m->c = (uint8_t)c;
}

/* A word that the fast core never runs. */
static void leave_it(ms_machine *m, uint64_t budget, uint32_t pc, uint32_t word, uint64_t nzv, uint32_t c)
{
    leave(m, budget, pc - 2, word, nzv, c);
}

#define NEXT(is_even) \
    do { \
        nzv = h.nz | (uint64_t)h.v << 32, c = h.c, pc = h.pc; \
        if (__builtin_expect((int64_t)budget < 0 || pc >= m->code_bytes || (!(is_even) && pc & 1u), 0)) \
            return leave(m, budget, pc, word, nzv, c); \
        word = word_at(m, pc); \
        return ((ms_handler)m->paces[word])(m, budget, pc + 2, word, nzv, c); \
    } while (0)

#define HANDLER(name, pattern, form, byte, S, D) \
    static void name##_##byte##_##S##_##D(CARRIED) \
    { \
        ms_way h = {.pc = pc, .nz = (uint32_t)nzv, .v = (uint32_t)(nzv >> 32), .c = c}; \
        go_##name(m, &h, word, byte, S, D); \
        if (FOR_JUMPS_##form && h.pc == pc - 2) h.far = 1; \
        if (__builtin_expect(h.far, 0)) return leave(m, budget, pc - 2, word, nzv, c); \
        step_fixed(m, word >> 6, byte, S); \
        step_fixed(m, word, byte, D); \
        budget -= m->cost[cycles_of(MS_FORM_##form, S, D)]; \
        NEXT(!FOR_JUMPS_##form); \
    }

#define HANDLER_ANY(name, pattern, form, byte) \
    static void name##_##byte##_any(CARRIED) \
    { \
        ms_way h = {.nz = (uint32_t)nzv, .v = (uint32_t)(nzv >> 32), .c = c}; \
        const uint16_t source = m->r[word >> 6 & 7u], target = m->r[word & 7u]; \
        m->r[7] = (uint16_t)pc; \
        any_##name(m, &h, word, byte, WITH_PC, WITH_PC); \
        h.pc = m->r[7]; \
        if (FOR_JUMPS_##form && h.pc == pc - 2) h.far = 1; \
        if (__builtin_expect(h.far, 0)) { \
            m->r[word >> 6 & 7u] = source; \
            m->r[word & 7u] = target; \
            return leave(m, budget, pc - 2, word, nzv, c); \
        } \
        budget -= m->cost[m->decoded[word].cycles]; \
        NEXT(0); \
    }

#define FORM_CYCLES(name, operands, source, destination, cycles, byte) {cycles, MS_USE_##source, MS_USE_##destination},
static const struct { uint8_t cycles, source, destination; } form_cycles[] = {MS_FORMS(FORM_CYCLES)};

ALWAYS unsigned mode_of(ms_class k)
{
    switch (k) {
    case REG:  return 0;
    case DEF:  return 1;
    case INC:  case IMM: return 2;
    case INCD: case ABS: return 3;
    case DEC:  case PUSH: return 4;
    case DECD: return 5;
    case IDX:  case REL: return 6;
    case IDXD: case RELD: return 7;
    default:   return 0;
    }
}

ALWAYS unsigned cycles_of(unsigned form, ms_class s, ms_class d)
{
    return form_cycles[form].cycles + ms_operand_cycles(mode_of(s), form_cycles[form].source) +
           ms_operand_cycles(mode_of(d), form_cycles[form].destination);
}

/* --- which bodies are specialised ---------------------------------------------------------------------------------- */

#ifndef SOURCES
#define SOURCES(X, ...) \
    X(__VA_ARGS__, REG) X(__VA_ARGS__, DEF) X(__VA_ARGS__, INC) X(__VA_ARGS__, DEC) X(__VA_ARGS__, IDX) \
    X(__VA_ARGS__, IMM) X(__VA_ARGS__, ABS) X(__VA_ARGS__, REL)
#define TARGETS(X, ...) \
    X(__VA_ARGS__, REG) X(__VA_ARGS__, DEF) X(__VA_ARGS__, INC) X(__VA_ARGS__, DEC) X(__VA_ARGS__, PUSH) \
    X(__VA_ARGS__, IDX) X(__VA_ARGS__, ABS) X(__VA_ARGS__, REL)
#endif

/* X(name, pattern, form, byte, S, D) for each specialised body of a form; WITH_PC takes every other word. */
#define ONE(X, name, pattern, form, byte, S, D) X(name, pattern, form, byte, S, D)
#define EACH_TARGET(X, name, pattern, form, byte, S) TARGETS(ONE, X, name, pattern, form, byte, S)
#define EACH_PAIR(X, name, pattern, form, byte) SOURCES(EACH_TARGET, X, name, pattern, form, byte)
#define EACH_READ(X, name, pattern, form, byte) SOURCES(EACH_IMMEDIATE, X, name, pattern, form, byte) EACH_PAIR(X, name, pattern, form, byte)
#define EACH_IMMEDIATE(X, name, pattern, form, byte, S) X(name, pattern, form, byte, S, IMM)
#define EACH_ONE(X, name, pattern, form, byte) TARGETS(ONE, X, name, pattern, form, byte, REG)
#define EACH_PLACE(X, name, pattern, form, byte) \
    X(name, pattern, form, byte, REG, DEF) X(name, pattern, form, byte, REG, IDX) X(name, pattern, form, byte, REG, ABS) X(name, pattern, form, byte, REG, REL) \
    X(name, pattern, form, byte, REG, INCD)
#define BOTH(EACH, X, name, pattern, form) EACH(X, name, pattern, form, 0) EACH(X, name, pattern, form, 1)

#define FAST_PLAIN(X, name, pattern, form)
#define FAST_RETURN(X, name, pattern, form)
#define FAST_TRAP(X, name, pattern, form)
#define FAST_TRAP_NUMBER(X, name, pattern, form)
#define FAST_NUMBER(X, name, pattern, form)
#define FAST_MARKER(X, name, pattern, form)
#define FAST_LOAD_BYTE(X, name, pattern, form)
#define FAST_STORE_BYTE(X, name, pattern, form)
#define FAST_CODES(X, name, pattern, form)   X(name, pattern, form, 0, REG, REG)
#define FAST_UNCALL(X, name, pattern, form)
#define FAST_BRANCH(X, name, pattern, form)  X(name, pattern, form, 0, REG, REG)
#define FAST_LOOP(X, name, pattern, form)    X(name, pattern, form, 0, REG, REG)
#define FAST_JUMP(X, name, pattern, form)    EACH_PLACE(X, name, pattern, form, 0)
#define FAST_CALL(X, name, pattern, form)    EACH_PLACE(X, name, pattern, form, 0)
#define FAST_TEST(X, name, pattern, form)    BOTH(EACH_ONE, X, name, pattern, form)
#define FAST_CHANGE(X, name, pattern, form)  BOTH(EACH_ONE, X, name, pattern, form)
#define FAST_STORE(X, name, pattern, form)   BOTH(EACH_ONE, X, name, pattern, form)
#define FAST_COMPARE(X, name, pattern, form) BOTH(EACH_READ, X, name, pattern, form)
#define FAST_COMBINE(X, name, pattern, form) BOTH(EACH_PAIR, X, name, pattern, form)
#define FAST_MOVE(X, name, pattern, form)    BOTH(EACH_PAIR, X, name, pattern, form)
#define FAST_REGISTER_COMBINE(X, name, pattern, form) EACH_ONE(X, name, pattern, form, 0)

/* Forms that may lead anywhere, also to an odd address or to themselves. */
#define JUMPS(form) (form == MS_FORM_JUMP || form == MS_FORM_CALL)
#define FOR_JUMPS_CODES 0
#define FOR_JUMPS_UNCALL 0
#define FOR_JUMPS_BRANCH 0
#define FOR_JUMPS_LOOP 0
#define FOR_JUMPS_JUMP 1
#define FOR_JUMPS_CALL 1
#define FOR_JUMPS_TEST 0
#define FOR_JUMPS_CHANGE 0
#define FOR_JUMPS_STORE 0
#define FOR_JUMPS_COMPARE 0
#define FOR_JUMPS_COMBINE 0
#define FOR_JUMPS_MOVE 0
#define FOR_JUMPS_REGISTER_COMBINE 0

#define ANY_PLAIN(X, name, pattern, form)
#define ANY_RETURN(X, name, pattern, form)
#define ANY_TRAP(X, name, pattern, form)
#define ANY_TRAP_NUMBER(X, name, pattern, form)
#define ANY_NUMBER(X, name, pattern, form)
#define ANY_MARKER(X, name, pattern, form)
#define ANY_LOAD_BYTE(X, name, pattern, form)
#define ANY_STORE_BYTE(X, name, pattern, form)
#define ANY_CODES(X, name, pattern, form)
#define ANY_BRANCH(X, name, pattern, form)
#define ANY_LOOP(X, name, pattern, form)
#define ANY_UNCALL(X, name, pattern, form)  X(name, pattern, form, 0)
#define ANY_JUMP(X, name, pattern, form)    X(name, pattern, form, 0)
#define ANY_CALL(X, name, pattern, form)    X(name, pattern, form, 0)
#define ANY_TEST(X, name, pattern, form)    X(name, pattern, form, 0) X(name, pattern, form, 1)
#define ANY_CHANGE(X, name, pattern, form)  X(name, pattern, form, 0) X(name, pattern, form, 1)
#define ANY_STORE(X, name, pattern, form)   X(name, pattern, form, 0) X(name, pattern, form, 1)
#define ANY_COMPARE(X, name, pattern, form) X(name, pattern, form, 0) X(name, pattern, form, 1)
#define ANY_COMBINE(X, name, pattern, form) X(name, pattern, form, 0) X(name, pattern, form, 1)
#define ANY_MOVE(X, name, pattern, form)    X(name, pattern, form, 0) X(name, pattern, form, 1)
#define ANY_REGISTER_COMBINE(X, name, pattern, form) X(name, pattern, form, 0)

#define BODY(sort, name) \
    ALWAYS void sort##_##name(ms_machine *m, ms_way *h, const uint32_t word, const unsigned byte, const ms_class S, const ms_class D)
#define ALIAS(name, of, pattern)

#define SORT(name) name##_fixed
#define INSN(name, pattern, form, codes, module, traps, source) \
    BODY(go, name); \
    FAST_##form(HANDLER, name, pattern, form) \
    BODY(go, name)
#include "families.inc"
#undef INSN
#undef SORT

#define SORT(name) name##_any
#define INSN(name, pattern, form, codes, module, traps, source) \
    BODY(any, name); \
    ANY_##form(HANDLER_ANY, name, pattern, form) \
    BODY(any, name)
#include "families.inc"
#undef INSN
#undef ALIAS

/* --- the table --------------------------------------------------------------------------------------------------------- */

typedef struct { ms_handler handler; uint8_t byte, source, target; } entry;
typedef struct { const char *mnemonic; const entry *entries; } offer;

static const entry *chosen[MS_RECORDS];

static void offer_entries(const char *mnemonic, const entry *entries)
{
    const size_t length = strlen(mnemonic);
    for (uint32_t i = 1; i < MS_RECORDS; i++) {
        const char *name = ms_record_list[i].mnemonic;
        if (!strcmp(name, mnemonic) || (!strncmp(name, mnemonic, length) && !strcmp(name + length, "B") && ms_record_list[i].is_byte)) chosen[i] = entries;
    }
}

#define LISTED_ANY(name, pattern, form, byte) {EXISTS(pattern, byte, name##_##byte##_any), byte, WITH_PC, WITH_PC},
#define EXISTS(pattern, byte, handler) ((byte) && (pattern)[0] != '*' ? NULL : (handler))
#define LISTED(name, pattern, form, byte, S, D) {EXISTS(pattern, byte, name##_##byte##_##S##_##D), byte, S, D},
#define INSN(name, pattern, form, codes, module, traps, source) \
    static const entry entries_##name[] = {FAST_##form(LISTED, name, pattern, form) ANY_##form(LISTED_ANY, name, pattern, form) {NULL, 2, 0, 0}}; \
    offer_entries(#name, entries_##name); \
    if (0)
#define ALIAS(name, of, pattern)
static void offer_all(void)
{
    ms_machine *m = NULL;
    ms_way way = {0}, *h = &way;
    const uint32_t word = 0;
    const unsigned byte = 0;
    const ms_class S = REG, D = REG;
    (void)m, (void)h, (void)word, (void)byte, (void)S, (void)D;
#include "families.inc"
}

static ms_class class_of(unsigned field, unsigned byte)
{
    static const uint8_t with_pc[8] = {WITH_PC, WITH_PC, IMM, ABS, WITH_PC, WITH_PC, REL, RELD};
    static const uint8_t others[8] = {REG, DEF, INC, INCD, DEC, DECD, IDX, IDXD};
    const unsigned mode = field >> 3 & 7u, reg = field & 7u;
    if (reg == 7) return with_pc[mode];
    if (reg == 6 && mode == 4) return PUSH;
    if (reg == 6 && mode == 5) return WITH_PC;
    (void)byte;
    return others[mode];
}

static int steps(ms_class k) { return k == INC || k == INCD || k == DEC || k == DECD || k == PUSH; }

static ms_handler pick(const ms_record *r, const entry *e, unsigned word)
{
    const ms_form *f = ms_form_at(r->form);
    ms_class s = f->source ? class_of(word >> 6, r->is_byte) : REG, d = f->destination ? class_of(word, r->is_byte) : REG;
    const unsigned mode = word >> 3 & 7u;
    ms_handler any = NULL;
    if (r->form == MS_FORM_BRANCH && (word & 0377u) == 0377u) return NULL;       /* to itself: STUCK is for the reference core */
    if (r->form == MS_FORM_LOOP && (word >> 6 & 7u) == 7u) return NULL;
    if (r->form == MS_FORM_UNCALL) s = d = WITH_PC;
    if (strchr(f->operands, 'R') && r->form != MS_FORM_CALL && (word >> 6 & 7u) == 7u) s = WITH_PC;
    /* the same register twice: D01, D02, and steps that the other operand must see */
    if ((word >> 6 & 7u) == (word & 7u) && (steps(s) || (s == REG && mode >= 2 && mode <= 5))) s = WITH_PC;
    if (r->form == MS_FORM_CALL && mode == 3 && ((word & 7u) == 6 || (word >> 6 & 7u) == (word & 7u))) s = WITH_PC;
    for (; e->byte < 2; e++) {
        if (e->byte != r->is_byte) continue;
        if (e->source == s && e->target == d) return e->handler;
        if (e->source == WITH_PC) any = e->handler;
    }
    return any;
}

const void *const *ms_fast_table(const ms_decoded *decoded)
{
    static int offered;
    if (!offered) offer_all();
    offered = 1;
    const void **table = calloc(0200000, sizeof *table);
    if (!table) return NULL;
    for (unsigned word = 0; word < 0200000; word++) {
        const unsigned record = decoded[word].record;
        ms_handler h = chosen[record] ? pick(&ms_record_list[record], chosen[record], word) : NULL;
        table[word] = h ? (const void *)h : (const void *)leave_it;
    }
    return table;
}

/* --- running ahead ------------------------------------------------------------------------------------------------------- */

static void price(ms_machine *m)
{
    if (m->cost_of[0] == m->base_ns && m->cost_of[1] == m->cycle_ns) return;
    m->cost_of[0] = m->base_ns, m->cost_of[1] = m->cycle_ns;
    for (unsigned cycles = 0; cycles < MS_COSTS; cycles++)
        m->cost[cycles] = ((m->base_ns + (uint64_t)cycles * m->cycle_ns) << 32) - 1;
}

static int nothing_can_happen(const ms_machine *m)
{
    return !(m->ps & PS_T) && !m->hold_interrupts && !m->halt_switch && !m->until.on_pc && !ms_interrupt_waits(m);
}

/* From PC on, until `time` nanoseconds are used up or something is not plain.  What was run is counted. */
static void go_ahead(ms_machine *m, uint64_t time)
{
    m->code_bytes = m->ram_top > 4 ? m->ram_top - 4 : 0;
    const uint32_t pc = m->r[7];
    if (pc & 1u || pc >= m->code_bytes) return;
    price(m);
    const uint64_t nzv = (m->n ? 0x80000000u : 0u) | !m->z | (uint64_t)m->v << 32;
    const uint32_t word = word_at(m, pc);
    ((ms_handler)m->paces[word])(m, time << 32, pc + 2, word, nzv, m->c);
    m->instructions += (uint32_t)m->budget;
    m->time_ns += time - (uint64_t)((int64_t)m->budget >> 32);
}

void ms_run_ahead(ms_machine *m, uint64_t last)
{
    if (!nothing_can_happen(m) || !m->base_ns) return;
    const uint64_t dearest = m->base_ns + (uint64_t)(MS_COSTS - 1) * m->cycle_ns;
    const uint64_t count = last - m->instructions;
    uint64_t time = m->next_due - m->time_ns;
    if (count < 3 || time <= dearest + 1) return;
    time -= dearest + 1;
    const uint64_t at_most = INT32_MAX;
    if (time > at_most) time = at_most;
    if (count - 2 < time / m->base_ns) time = (count - 2) * m->base_ns;
    go_ahead(m, time);
}

int ms_one_ahead(ms_machine *m)
{
    const uint64_t before = m->instructions;
    if (m->time_ns < m->next_due && !m->waiting && nothing_can_happen(m)) go_ahead(m, 0);
    return m->instructions != before;
}
