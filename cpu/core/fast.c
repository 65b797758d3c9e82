/* fast.c - the fast core: whatever is plain, quickly (docs/design/dispatch.md).
 *
 * Each first word leads to a handler, specialised by instruction, byte or word, and the classes of its operands where
 * they are common.  A handler does the whole instruction in the plain way, or nothing: then the reference core executes
 * it.  So there is one meaning of everything that is odd, and it stands in the reference core.
 *
 * ms_run_ahead starts only where nothing can happen between two instructions, and ends before anything can: before the
 * next due time, before the limit, and where the plain memory of first words ends.  Time and instructions are counted
 * together in one word, `budget`.
 *
 * Three back ends: handlers as functions that end in a tail call (only where the compiler carries them: else they would
 * fill the stack), as labels of one function with computed goto, as cases of a switch.  build_core.py chooses. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MS_TAIL   1
#define MS_GOTO   2
#define MS_SWITCH 3
#ifndef MS_DISPATCH
#define MS_DISPATCH MS_GOTO
#endif
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__) || !defined(__OPTIMIZE__)
#define MS_NO_TAIL 1
#endif
#if MS_DISPATCH == MS_TAIL && defined(MS_NO_TAIL)
#undef MS_DISPATCH
#define MS_DISPATCH MS_GOTO
#endif

#include "handlers.h"
#include "mapping.h"

/* Everything is compiled twice: for addresses that are physical ones, and for mapped ones (fast_mapped.c). */
#ifdef MS_ROWS
#define PACES         m->mapped_paces
#define ms_fast_table ms_mapped_table
#define ms_by_table   ms_by_mapped_table
#else
#define PACES         m->paces
#endif

/* The machine while it runs: pc lies behind the first word; nz and v as one word (fast.h). */
#define CARRIED ms_machine *m, uint64_t budget, uint32_t pc, uint32_t word, uint64_t nzv, uint32_t c
#define CARRY(pc) m, budget, pc, word, nzv, c
typedef void (*ms_handler)(CARRIED);

/* Where times are printed, handlers count the instruction and nothing else, and the budget carries its sign turned, so
 * that each of them ends in `done`, which takes the time of the word.  So other machines pay nothing for it. */
#define TURNED (1ull << 63)

/* Back to go_ahead, in front of the instruction at pc. */
static __attribute__((noinline, noclone)) void leave(CARRIED)
{
    (void)word;
    m->r[7] = (uint16_t)pc;
    m->budget = m->prices ? budget ^ TURNED : budget;
    m->n = (uint8_t)((uint32_t)nzv >> 31);
    m->z = !(nzv & 0177777u);
    m->v = nzv >> 32 != 0;
    m->c = (uint8_t)c;
}

#if defined(__has_attribute)
#if __has_attribute(musttail)
#define TAIL_CALL __attribute__((musttail)) return
#endif
#endif
#ifndef TAIL_CALL
#define TAIL_CALL return
#endif

#if MS_DISPATCH == MS_TAIL
#define OUT(at) TAIL_CALL leave(CARRY(at))
#define DONE(at) TAIL_CALL done(CARRY(at))
#define GO()    TAIL_CALL ((ms_handler)PACES[word])(CARRY(pc + 2))
#elif MS_DISPATCH == MS_GOTO
#define OUT(at) do { pc = (at); goto out; } while (0)
#define DONE(at) do { pc = (at); goto done; } while (0)
#define GO()    do { pc += 2; goto *PACES[word]; } while (0)
#else
#define OUT(at) do { pc = (at); goto out; } while (0)
#define DONE(at) do { pc = (at); goto done; } while (0)
#define GO()    do { pc += 2; goto again; } while (0)
#endif

/* --- what a handler does --------------------------------------------------------------------------------------------- */

/* A JMP to itself may be for ever (STUCK), which is for the reference core to say; it has not committed anything yet. */
#define LEADS_ANYWHERE(form) (MS_FORM_##form == MS_FORM_JUMP || MS_FORM_##form == MS_FORM_CALL)

/* May no first word be taken from there?  is_even: it can't be odd. */
#define IS_AWAY(pc, is_even) (!in_window(m, (pc)) || (!(is_even) && (pc) & 1u))

/* On to the next instruction. */
#define NEXT(is_even) \
    do { \
        nzv = h.nz | (uint64_t)h.v << 32, c = h.c; \
        if (__builtin_expect((int64_t)budget < 0 || IS_AWAY(h.pc, is_even), 0)) { \
            word |= h.untaken << 16; \
            DONE(h.pc); \
        } \
        pc = h.pc; \
        word = code_word(m, pc); \
        GO(); \
    } while (0)

/* An instruction is done and something is to be looked at; bit 16 of word: a branch that was not taken. */
#define TAKE_TIME() \
    do { \
        if (!m->prices) OUT(pc); \
        budget = (budget ^ TURNED) - ((uint64_t)printed_ns(m, word) << 32); \
        const int is_over = (int64_t)budget < 0 || IS_AWAY(pc, 0); \
        budget ^= TURNED; \
        if (is_over) OUT(pc); \
        word = code_word(m, pc); \
        GO(); \
    } while (0)

static inline uint32_t printed_ns(const ms_machine *m, uint32_t word)
{
    return m->prices[m->decoded[word & 0177777u].price] - (word >> 16 ? m->untaken_ns : 0);
}

#if MS_DISPATCH == MS_TAIL
static __attribute__((noinline, noclone)) void done(CARRIED) { TAKE_TIME(); }
#endif

#define DO_FIXED(name, form, byte, S, D) \
    do { \
        ms_way h = {.pc = pc, .nz = (uint32_t)nzv, .v = (uint32_t)(nzv >> 32), .c = c}; \
        name##_fixed(m, &h, word, byte, S, D); \
        if (MS_FORM_##form == MS_FORM_JUMP && h.pc == pc - 2) h.far = 1; \
        if (__builtin_expect(h.far, 0)) OUT(pc - 2); \
        step_fixed(m, word >> 6, byte, S); \
        step_fixed(m, word, byte, D); \
        budget -= m->cost[cycles_of(MS_FORM_##form, S, D)]; \
        NEXT(!LEADS_ANYWHERE(form)); \
    } while (0)

#define DO_ANY(name, form, byte) \
    do { \
        ms_way h = {.nz = (uint32_t)nzv, .v = (uint32_t)(nzv >> 32), .c = c}; \
        const uint16_t first = m->r[word >> 6 & 7u], second = m->r[word & 7u]; \
        m->r[7] = (uint16_t)pc; \
        name##_any(m, &h, word, byte, WITH_PC, WITH_PC); \
        h.pc = m->r[7]; \
        if (MS_FORM_##form == MS_FORM_JUMP && h.pc == pc - 2) h.far = 1; \
        if (__builtin_expect(h.far, 0)) { \
            m->r[word >> 6 & 7u] = first; \
            m->r[word & 7u] = second; \
            OUT(pc - 2); \
        } \
        budget -= m->cost[m->decoded[word].cycles]; \
        NEXT(0); \
    } while (0)

/* --- the bodies, with fixed operands and with any --------------------------------------------------------------------- */

#define BODY(name) \
    ALWAYS void SORT(name)(ms_machine *m, ms_way *h, const uint32_t word, const unsigned byte, const ms_class S, const ms_class D)
#define ALIAS(name, of, pattern)

#if MS_DISPATCH == MS_TAIL
#define HANDLER(id, what) static void id(CARRIED) { what; }
#else
#define HANDLER(id, what)
#endif
#define FIXED_HANDLER(name, pattern, form, byte, S, D) HANDLER(name##_##byte##_##S##_##D, DO_FIXED(name, form, byte, S, D))
#define ANY_HANDLER(name, pattern, form, byte) HANDLER(name##_##byte##_any, DO_ANY(name, form, byte))

#define SORT(name) name##_fixed
#define INSN(name, pattern, form, codes, module, traps, source, does) BODY(name); FIXED(FIXED_HANDLER, name, pattern, form) BODY(name)
#include "families.inc"
#undef INSN
#undef SORT

#define SORT(name) name##_any
#define INSN(name, pattern, form, codes, module, traps, source, does) BODY(name); ANY(ANY_HANDLER, name, pattern, form) BODY(name)
#include "families.inc"
#undef INSN
#undef SORT

/* --- dispatch ----------------------------------------------------------------------------------------------------------- */

/* Bodies on offer to the words of a record.  first: number of the first one's case, where bodies are cases. */
typedef struct { const ms_offer *list; uintptr_t first; } offers;
static offers fixed_offers[MS_RECORDS], any_offers[MS_RECORDS];
static const void *no_handler;                             /* of words that the fast core never runs */

/* The same bodies are on offer to an instruction and to its byte form. */
static void offer(offers *to, const char *mnemonic, const ms_offer *list)
{
    static uintptr_t cases;
    char byte_form[sizeof ms_record_list->mnemonic + 1];
    snprintf(byte_form, sizeof byte_form, "%sB", mnemonic);
    for (uint32_t i = 1; i < MS_RECORDS; i++) {
        const ms_record *r = &ms_record_list[i];
        if (!strcmp(r->mnemonic, mnemonic) || (r->is_byte && !strcmp(r->mnemonic, byte_form))) to[i] = (offers){list, cases + 1};
    }
    for (; list->byte < 2; list++) cases++;
}

#define EXISTS(pattern, byte) (!(byte) || (pattern)[0] == '*')
#define END {NULL, 0, 2, 0, 0}
#define FIXED_OFFER(name, pattern, form, byte, S, D) \
    {AT(pattern, byte, name##_##byte##_##S##_##D), EXISTS(pattern, byte), byte, S, D},
#define ANY_OFFER(name, pattern, form, byte) \
    {AT(pattern, byte, name##_##byte##_any), EXISTS(pattern, byte), byte, WITH_PC, WITH_PC},
#define OFFER_FIXED(name, pattern, form) \
    { static const ms_offer all[] = {FIXED(FIXED_OFFER, name, pattern, form) END}; offer(fixed_offers, #name, all); }
#define OFFER_ANY(name, pattern, form) \
    { static const ms_offer all[] = {ANY(ANY_OFFER, name, pattern, form) END}; offer(any_offers, #name, all); }

/* Inside a function the text of a body is only parsed: it needs its names, and nothing of it is left. */
#define BODY_NAMES \
    ms_way way = {0}, *h = &way; \
    const unsigned byte = 0; \
    const ms_class S = REG, D = REG; \
    (void)h, (void)byte, (void)S, (void)D

#if MS_DISPATCH == MS_TAIL

static void leave_word(CARRIED) { TAIL_CALL leave(CARRY(pc - 2)); }
#define NO_HANDLER leave_word
#define AT(pattern, byte, id) (EXISTS(pattern, byte) ? (const void *)(id) : NULL)
static void dispatch(CARRIED) { ((ms_handler)PACES[word])(CARRY(pc)); }
static void offer_all(ms_machine *m, uint32_t word)
{
    BODY_NAMES;

#else

#if MS_DISPATCH == MS_GOTO
#define NO_HANDLER &&leave_word
#define AT(pattern, byte, id) (EXISTS(pattern, byte) ? &&id : NULL)
#define LABEL(id) id
#else
#define NO_HANDLER NULL
#define AT(pattern, byte, id) NULL
#define LABEL(id) case __COUNTER__ - BEFORE_CASES
#endif
#define FIXED_CASE(name, pattern, form, byte, S, D) LABEL(name##_##byte##_##S##_##D): DO_FIXED(name, form, byte, S, D);
#define ANY_CASE(name, pattern, form, byte) LABEL(name##_##byte##_any): DO_ANY(name, form, byte);

#pragma GCC diagnostic ignored "-Wimplicit-fallthrough"       /* no case ends where the next begins: each goes on by itself */

/* Without a machine it only fills the offers: labels are known nowhere else. */
static void dispatch(CARRIED)
{
    BODY_NAMES;
    if (!m) goto offers;
#if MS_DISPATCH == MS_GOTO
    goto *PACES[word];
#else
    enum { BEFORE_CASES = __COUNTER__ };
again:
    switch ((uintptr_t)PACES[word]) {
    default: goto leave_word;
#endif
#define SORT(name) name##_fixed
#define INSN(name, pattern, form, codes, module, traps, source, does) FIXED(FIXED_CASE, name, pattern, form) if (0)
#include "families.inc"
#undef INSN
#undef SORT
#define SORT(name) name##_any
#define INSN(name, pattern, form, codes, module, traps, source, does) ANY(ANY_CASE, name, pattern, form) if (0)
#include "families.inc"
#undef INSN
#undef SORT
#if MS_DISPATCH == MS_SWITCH
    }
#endif
done:
    TAKE_TIME();
leave_word:
    pc -= 2;
out:
    leave(CARRY(pc));
    return;
offers:

#endif

    no_handler = NO_HANDLER;
#define SORT(name) name##_fixed
#define INSN(name, pattern, form, codes, module, traps, source, does) OFFER_FIXED(name, pattern, form) if (0)
#include "families.inc"
#undef INSN
#undef SORT
#define SORT(name) name##_any
#define INSN(name, pattern, form, codes, module, traps, source, does) OFFER_ANY(name, pattern, form) if (0)
#include "families.inc"
#undef INSN
#undef SORT
}

#if MS_DISPATCH != MS_TAIL
static void offer_all(ms_machine *m, uint32_t word) { dispatch(m, 0, 0, word, 0, 0); }
#endif

/* --- the table -------------------------------------------------------------------------------------------------------- */

static const void *handler_among(const offers *o, const ms_record *r, ms_class s, ms_class d)
{
    for (const ms_offer *each = o->list; each && each->byte < 2; each++) {
        if (!each->exists || each->byte != r->is_byte || each->source != s || each->target != d) continue;
        return MS_DISPATCH == MS_SWITCH ? (const void *)(o->first + (uintptr_t)(each - o->list)) : each->handler;
    }
    return NULL;
}

/* Looked up once for each pair of classes, not for each word. */
typedef struct { const void *found[MS_CLASSES][MS_CLASSES]; uint8_t known[MS_CLASSES][MS_CLASSES]; } picks;

static const void *handler_of(picks *p, uint32_t record, unsigned word, int odd_bytes)
{
    const ms_record *r = &ms_record_list[record];
    if (record == MS_RESERVED || is_left_alone(r, word) || (odd_bytes && has_byte_in_memory(r, word))) return no_handler;
    ms_class s, d;
    classes_of(r, word, &s, &d);
    if (!p->known[s][d]) {
        const void *handler = handler_among(&fixed_offers[record], r, s, d);
        if (!handler) handler = handler_among(&any_offers[record], r, WITH_PC, WITH_PC);
        p->found[s][d] = handler ? handler : no_handler;
        p->known[s][d] = 1;
    }
    return p->found[s][d];
}

const void *const *ms_fast_table(const ms_decoded *decoded, int odd_bytes)
{
    static int offered;                                    /* under the lock of table.c */
    if (!offered) offer_all(NULL, 0);
    offered = 1;
    const void **table = calloc(0200000, sizeof *table);
    picks *all = calloc(MS_RECORDS, sizeof *all);
    for (unsigned word = 0; table && all && word < 0200000; word++)
        table[word] = handler_of(&all[decoded[word].record], decoded[word].record, word, odd_bytes);
    if (!all) free(table), table = NULL;
    free(all);
    return table;
}

/* From the instruction in front of pc on. */
void ms_by_table(CARRIED) { dispatch(CARRY(pc)); }

#ifndef MS_ROWS

/* --- running ahead ------------------------------------------------------------------------------------------------------- */

/* What an instruction of so many memory cycles takes from the budget: its time, and it adds one to the count. */
static void price(ms_machine *m)
{
    if (m->cost_of[0] == m->base_ns && m->cost_of[1] == m->cycle_ns) return;
    m->cost_of[0] = m->base_ns, m->cost_of[1] = m->cycle_ns;
    for (unsigned cycles = 0; cycles < MS_COSTS; cycles++)
        m->cost[cycles] = (m->prices ? 0 : (m->base_ns + (uint64_t)cycles * m->cycle_ns) << 32) - 1;
}

/* Between two plain instructions.  A run until a state (until.h) is left to the reference core: the instruction in front
 * of it is the last one, and can't be foreseen. */
static int nothing_can_happen(const ms_machine *m)
{
    return m->time_ns < m->next_due && m->base_ns && (m->mapped ? m->mapped_paces : m->paces) && !(m->ps & PS_T) && !m->hold_interrupts &&
           !m->halt_switch && !m->until.watched && !ms_interrupt_waits(m);
}


/* Of the window, whichever it is. */
static uint32_t word_at_pc(const ms_machine *m, uint32_t pc) { return ORDERED(*(const uint16_t *)(m->code + pc)); }

static void enter(ms_machine *m, uint64_t budget, uint32_t pc)
{
#ifdef MS_BLOCKS
    if (m->core != MS_CORE_TABLE && !m->mapped && !m->prices) {   /* blocks know no printed times */
        ms_blocks_ahead(m, budget);
        return;
    }
#endif
    const uint64_t nzv = (m->n ? 0x80000000u : 0u) | !m->z | (uint64_t)m->v << 32;
    if (m->prices) budget ^= TURNED;
    if (m->mapped) ms_by_mapped_table(m, budget, pc + 2, word_at_pc(m, pc), nzv, m->c);
    else dispatch(m, budget, pc + 2, word_at_pc(m, pc), nzv, m->c);
}

/* First words come from plain memory only, and the four bytes behind them are plain as well, so that no handler has to
 * ask about the further words of its instruction. */
static void open_window(ms_machine *m, const uint8_t *code, uint32_t low, uint32_t bytes)
{
    m->code = code;
    m->code_low = low;
    m->code_bytes = bytes > 4 ? bytes - 4 : 0;
}

/* The page of PC, with its neighbours where memory goes on as the program's addresses do. */
static void open_pages(ms_machine *m, uint32_t pc)
{
    const ms_row *pages = m->rows->fetch;
    unsigned first = pc >> 13 & 7u, last = first;
    const uint32_t shift = pages[first].shift;
    if (pc - pages[first].low >= pages[first].size) {
        open_window(m, m->memory, 0, 0);
        return;
    }
    while (first > 0 && pages[first].low == first << 13 && pages[first - 1].shift == shift && pages[first - 1].size &&
           pages[first - 1].low + pages[first - 1].size == first << 13) first--;
    while (last < 7 && pages[last].low + pages[last].size == (last + 1) << 13 && pages[last + 1].shift == shift &&
           pages[last + 1].size && pages[last + 1].low == (last + 1) << 13) last++;
    open_window(m, m->memory + (int32_t)shift, pages[first].low, pages[last].low + (uint32_t)pages[last].size - pages[first].low);
}

/* Does PC stand before a word that is plain? */
static int opens(ms_machine *m, uint32_t pc)
{
    if (m->mapped) open_pages(m, pc);
    else open_window(m, m->memory, 0, m->ram_top);
    return !(pc & 1u) && pc - m->code_low < m->code_bytes;
}

/* From PC on, until `time` nanoseconds are used up or something is not plain.  What was run is counted.  Where memory
 * management is on, a program may go from page to page. */
static void go_ahead(ms_machine *m, uint64_t time)
{
    m->budget = time << 32;
    ms_make_rows(m);
    if (!opens(m, m->r[7])) return;
    price(m);
    do enter(m, m->budget, m->r[7]);
    while (m->mapped && (int64_t)m->budget >= 0 && m->r[7] - m->code_low >= m->code_bytes && opens(m, m->r[7]));
    m->instructions += (uint32_t)m->budget;
    m->time_ns += time - (uint64_t)((int64_t)m->budget >> 32);
}

/* Time in which, whatever the instructions are, one more fits before the next due time, and one more into the limit. */
static uint64_t time_ahead(const ms_machine *m, uint64_t last)
{
    const uint64_t dearest = ms_dearest_ns(m), most = INT32_MAX;
    const uint64_t count = last - m->instructions;
    uint64_t time = m->next_due - m->time_ns;
    if (count < 3 || time <= dearest + 1) return 0;
    time -= dearest + 1;
    if (time > most) time = most;
    return count - 2 < time / m->base_ns ? (count - 2) * m->base_ns : time;
}

void ms_run_ahead(ms_machine *m, uint64_t last)
{
    if (!nothing_can_happen(m)) return;
    const uint64_t time = time_ahead(m, last);
    if (time) go_ahead(m, time);
}

int ms_one_ahead(ms_machine *m)
{
    const uint64_t before = m->instructions;
    if (!m->waiting && nothing_can_happen(m)) go_ahead(m, 0);
    return m->instructions != before;
}

#endif
