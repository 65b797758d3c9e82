/* blocks.c - a spike: blocks of instructions that were read ahead, threaded.  Built only with -DMS_BLOCKS=1 to 5.
 *
 * A block is a run of instructions that follow each other in memory, decoded into an array of operations: handler and
 * operands side by side, so that one operation finds the next without decoding anything.  A branch that is taken leaves
 * its block through a cell, which is tied to the block it leads to when it is taken first.
 *
 * The rule of the fast core holds: a handler does the whole instruction, or nothing and the reference core executes it.
 * The price of a block is taken from the budget when it is entered, and what was not run is given back on the way out;
 * where the budget does not reach to its end, the table of fast.c runs the instructions one by one.
 *
 * Whatever writes memory must ask code_marks and tell ms_code_written (or be FAR, as every store from here is). */
#ifdef MS_BLOCKS
#ifndef __OPTIMIZE__
#error "the handlers of blocks end in tail calls: they need -O2"
#endif
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include "blocks.h"

#define LONGEST 32u                /* instructions in a block */
#define OPERATIONS 0200000u        /* in one machine; then everything is decoded anew */
#define WORDS 0100000u             /* in the program's 64 KB */
#define RESTLESS 4u                /* a word that was overwritten so often while it was decoded is decoded no more */

/* What is seldom asked of an operation: where it stands, what it and all behind it in its block cost. */
typedef struct {
    uint16_t pc, word;
    uint8_t rest_count, rest_cycles;
    uint8_t redo;                  /* so many operations before this one its codes were dropped, 0 not */
    uint8_t undo;                  /* with redo: that one must be undone by its opposite first */
} detail;

struct ms_blocks {
    ms_op ops[OPERATIONS];
    detail details[OPERATIONS];
    uint32_t used, flushed;        /* operations; how often all was thrown away */
    uint32_t at[WORDS];            /* the first operation of the block that begins at a word, 0 none */
    uint8_t overwritten[WORDS];    /* how often, since all was thrown away */
    uint64_t built, killed;        /* for reports */
    uint32_t cost_of[2], plain_top;
    const ms_decoded *decoded;
};

static detail *detail_of(ms_machine *m, const ms_op *op) { return &m->blocks->details[op - m->blocks->ops]; }
static uint64_t cost_of(const ms_machine *m, unsigned count, unsigned cycles)
{
    return ((uint64_t)(count * m->base_ns + cycles * m->cycle_ns) << 32) - count;
}

/* --- leaving --------------------------------------------------------------------------------------------------------- */

/* Instructions from pc on by the table of the fast core, until the budget ends or one is not plain. */
static void by_table(ms_machine *m, uint32_t pc, uint32_t word, uint64_t budget, uint32_t nz, uint32_t v, uint32_t c)
{
    ms_by_table(m, budget, pc + 2, word, nz | (uint64_t)v << 32, c);
}

static void keep(ms_machine *m, uint32_t pc, uint32_t nz, uint32_t v, uint32_t c)
{
    m->r[7] = (uint16_t)pc;
    m->n = (uint8_t)(nz >> 31);
    m->z = !(nz & 0177777u);
    m->v = v != 0;
    m->c = (uint8_t)c;
}

static void redo(ms_machine *m, const detail *before, int undo, uint32_t nz, uint32_t v, uint32_t c);

/* Back to ms_blocks_ahead, in front of op. */
static __attribute__((noinline, noclone, cold)) void leave(CARRIED)
{
    const detail *d = detail_of(m, op);
    if (IN_STEP(2)) m->budget += cost_of(m, d->rest_count, d->rest_cycles);
    if (d->redo) {
        const uint64_t budget = m->budget;
        redo(m, d - d->redo, d->undo, nz, v, c);
        m->r[7] = d->pc;
        m->budget = budget;
    } else {
        keep(m, d->pc, nz, v, c);
    }
}

/* The budget does not reach to the end of the block at op. */
static __attribute__((noinline, noclone, cold)) void fall_short(CARRIED)
{
    const detail *d = detail_of(m, op);
    if (!IN_STEP(2)) { leave(CARRY); return; }
    m->budget += op[-1].cost;
    by_table(m, d->pc, word_at(m, d->pc), m->budget, nz, v, c);
}

/* --- going on ---------------------------------------------------------------------------------------------------------- */

#define DISPATCH return op->run(CARRY)
#define SHORT __builtin_expect((int64_t)m->budget < 0, 0)
#define PAY(cost) __builtin_expect((int64_t)(m->budget -= (cost)) < 0, 0)

/* Through the cell at op. */
#define FOLLOW \
    do { \
        const int short_ = PAY(op->cost); \
        op = op->to; \
        if (short_) return fall_short(CARRY); \
        DISPATCH; \
    } while (0)

#define GO_ON(by) \
    do { \
        op += (by); \
        if (!IN_STEP(2) && SHORT) return leave(CARRY); \
        DISPATCH; \
    } while (0)

static ms_op *find(ms_machine *m, uint32_t pc);

/* To m->r[7], which only the run knows. */
static __attribute__((noinline)) void seek(CARRIED)
{
    const uint32_t pc = m->r[7];
    const uint32_t known = pc & 1u ? 0 : m->blocks->at[pc >> 1];
    op = known ? &m->blocks->ops[known] : find(m, pc);
    if (!op) { keep(m, pc, nz, v, c); return; }
    if (PAY(op[-1].cost)) return fall_short(CARRY);
    DISPATCH;
}

/* The end of a cell that is tied to nothing yet: x is where it leads, y how far before this the cell stands. */
static void tie(CARRIED)
{
    struct ms_blocks *b = m->blocks;
    ms_op *cell = &b->ops[op - b->ops - op->y];
    const uint32_t pc = op->x, flushed = b->flushed;
    ms_op *to = find(m, pc);
    if (!to) { keep(m, pc, nz, v, c); return; }
    if (b->flushed == flushed) cell->to = to, cell->cost += to[-1].cost;
    op = to;
    if (PAY(op[-1].cost)) return fall_short(CARRY);
    DISPATCH;
}

/* The first operation of a block that is no more. */
static void forsaken(CARRIED)
{
    m->r[7] = detail_of(m, op)->pc;
    m->budget += op[-1].cost;
    return seek(CARRY);
}

/* The end of a block that simply goes on in the next one. */
static void pass(CARRIED)
{
    op++;
    FOLLOW;
}

/* --- handlers ------------------------------------------------------------------------------------------------------------ */

#define WAY {.pc = STAYS, .nz = nz, .v = v, .c = c}
#define TAKE_CODES nz = h.nz, v = h.v, c = h.c
#define COUNT(cycles) do { if (!IN_STEP(2)) m->budget -= m->cost[cycles]; } while (0)

/* How an instruction of a form goes on.  Behind one that may go elsewhere stands a cell. */
#define ON_CODES GO_ON(1)
#define ON_TEST GO_ON(1)
#define ON_CHANGE GO_ON(1)
#define ON_STORE GO_ON(1)
#define ON_COMPARE GO_ON(1)
#define ON_COMBINE GO_ON(1)
#define ON_MOVE GO_ON(1)
#define ON_REGISTER_COMBINE GO_ON(1)
#define ON_BRANCH do { if (h.pc != STAYS) { op++; FOLLOW; } GO_ON(2); } while (0)
#define ON_LOOP ON_BRANCH
#define ON_JUMP do { m->r[7] = (uint16_t)h.pc; return seek(CARRY); } while (0)
#define ON_CALL ON_JUMP

#define STAGE(label, name, form, byte, S, D, dropped) \
    static void label(CARRIED) \
    { \
        ms_way h = WAY; \
        block_##name(m, &h, op, op->y, byte, S, D); \
        if (MS_FORM_##form == MS_FORM_JUMP && h.pc == op->x) h.far = 1; \
        if (__builtin_expect(h.far, 0)) return leave(CARRY); \
        block_step(m, op->s, op->x, byte, S); \
        block_step(m, op->d, op->y, byte, D); \
        if (!(dropped)) TAKE_CODES; \
        COUNT(cycles_of(MS_FORM_##form, S, D)); \
        ON_##form; \
    }
#define STAGES(name, pattern, form, byte, S, D) \
    STAGE(block_##name##_##byte##_##S##_##D, name, form, byte, S, D, 0) \
    STAGE(light_##name##_##byte##_##S##_##D, name, form, byte, S, D, IN_STEP(3))

/* A call or jump whose target is known: x is free for it, the cell knows the way. */
#define STAGE_KNOWN(name, pattern, form, byte, S, D) \
    static void known_##name##_##byte##_##S##_##D(CARRIED) \
    { \
        ms_way h = WAY; \
        block_##name(m, &h, op, op->y, byte, S, D); \
        if (__builtin_expect(h.far, 0)) return leave(CARRY); \
        COUNT(cycles_of(MS_FORM_##form, S, D)); \
        op++; \
        FOLLOW; \
    }

/* A pair: the codes of the first decide at once.  The second is a branch, or SOB with its register in z. */
#define STAGE_PAIR(second, name, pattern, form, byte, S, D) \
    static void pair_##name##_##byte##_##S##_##D##_##second(CARRIED) \
    { \
        ms_way h = WAY; \
        block_##name(m, &h, op, op->y, byte, S, D); \
        if (__builtin_expect(h.far, 0)) return leave(CARRY); \
        block_step(m, op->s, op->x, byte, S); \
        block_step(m, op->d, op->y, byte, D); \
        TAKE_CODES; \
        const ms_op loop = {.s = (uint8_t)op->z}; \
        block_##second(m, &h, &loop, 0, 0, REG, REG); \
        ON_BRANCH; \
    }

/* Finds the address of a deferred operand, which the operation behind it uses; its register steps there. */
#define STAGE_SPOT(which, k, at, sure) \
    static void spot_##which##_##k(CARRIED) \
    { \
        ms_way h = WAY; \
        const uint32_t found = block_load(m, &h, (uint16_t)(at), 0, sure); \
        if (__builtin_expect(h.far, 0)) return leave(CARRY); \
        m->spots[which] = (uint16_t)found; \
        GO_ON(1); \
    }
STAGE_SPOT(0, INCD, m->r[op->s], 0)
STAGE_SPOT(0, DECD, m->r[op->s] - 2, 0)
STAGE_SPOT(0, IDXD, m->r[op->s] + op->x, 0)
STAGE_SPOT(0, RELD, op->x, IS_SURE(ABS))
STAGE_SPOT(1, INCD, m->r[op->d], 0)
STAGE_SPOT(1, DECD, m->r[op->d] - 2, 0)
STAGE_SPOT(1, IDXD, m->r[op->d] + op->y, 0)
STAGE_SPOT(1, RELD, op->y, IS_SURE(ABS))

/* Any operands at all, as the fast core does them: x is behind the first word, y the first word, z behind the whole. */
#define STAGE_ANY(name, pattern, form, byte) \
    static void any_##name##_##byte(CARRIED) \
    { \
        ms_way h = WAY; \
        const uint32_t word = op->y; \
        const uint16_t source = m->r[op->s], target = m->r[op->d]; \
        m->r[7] = op->x; \
        any_##name(m, &h, word, byte, WITH_PC, WITH_PC); \
        if (MS_FORM_##form == MS_FORM_JUMP && m->r[7] == op->x - 2) h.far = 1; \
        if (__builtin_expect(h.far, 0)) { \
            m->r[op->s] = source; \
            m->r[op->d] = target; \
            return leave(CARRY); \
        } \
        TAKE_CODES; \
        COUNT(m->decoded[word].cycles); \
        if (m->r[7] != op->z) { \
            m->budget -= op[1].cost; \
            return seek(CARRY); \
        } \
        GO_ON(2); \
    }

/* --- which bodies are specialised ------------------------------------------------------------------------------------ */

#define CONDITIONS(X, ...) \
    X(BNE, __VA_ARGS__) X(BEQ, __VA_ARGS__) X(BCC, __VA_ARGS__) X(BCS, __VA_ARGS__) X(BHI, __VA_ARGS__) X(BLOS, __VA_ARGS__) \
    X(BGE, __VA_ARGS__) X(BLT, __VA_ARGS__) X(BGT, __VA_ARGS__) X(BLE, __VA_ARGS__)
#define SIGNS(X, ...) X(BNE, __VA_ARGS__) X(BEQ, __VA_ARGS__) X(BPL, __VA_ARGS__) X(BMI, __VA_ARGS__)

#define LEFT(X, ...) \
    X(__VA_ARGS__, REG) X(__VA_ARGS__, DEF) X(__VA_ARGS__, INC) X(__VA_ARGS__, DEC) X(__VA_ARGS__, IDX) \
    X(__VA_ARGS__, IMM) X(__VA_ARGS__, ABS) X(__VA_ARGS__, SPOT)
#define RIGHT(X, ...) \
    X(__VA_ARGS__, REG) X(__VA_ARGS__, DEF) X(__VA_ARGS__, INC) X(__VA_ARGS__, DEC) X(__VA_ARGS__, PUSH) \
    X(__VA_ARGS__, IDX) X(__VA_ARGS__, ABS) X(__VA_ARGS__, SPOT)

/* FULL: operations of their own, by the shapes of handlers.h; KNOWN: calls and jumps with a known target. */
#define FULL(X, name, pattern, form) JOIN(FULL_, SHAPE_##form)(X, name, pattern, form)
#define FULL_NEVER(X, ...)
#define FULL_LINK(X, ...)
#define FULL_ALONE(X, ...)        X(__VA_ARGS__, 0, REG, REG)
#define FULL_PLACES(X, ...)       X(__VA_ARGS__, 0, REG, DEF) X(__VA_ARGS__, 0, REG, IDX) X(__VA_ARGS__, 0, REG, INCD)
#define FULL_WORD_TARGETS(X, ...) RIGHT(X, __VA_ARGS__, 0, REG)
#define FULL_WORD_READS(X, ...)                            /* EIS: left to the table */
#define FULL_TARGETS(X, ...)      RIGHT(X, __VA_ARGS__, 0, REG) RIGHT(X, __VA_ARGS__, 1, REG)
#define FULL_PAIRS(X, ...)        LEFT(TO_RIGHT, X, __VA_ARGS__, 0) LEFT(TO_RIGHT, X, __VA_ARGS__, 1)
#define FULL_READ_PAIRS(X, ...)   FULL_PAIRS(X, __VA_ARGS__) LEFT(TO_IMMEDIATE, X, __VA_ARGS__, 0) LEFT(TO_IMMEDIATE, X, __VA_ARGS__, 1)
#define TO_RIGHT(X, ...)          RIGHT(X, __VA_ARGS__)

#define KNOWN(X, name, pattern, form) JOIN(KNOWN_, SHAPE_##form)(X, name, pattern, form)
#define KNOWN_NEVER(X, ...)
#define KNOWN_LINK(X, ...)
#define KNOWN_ALONE(X, ...)
#define KNOWN_PLACES(X, ...)      X(__VA_ARGS__, 0, REG, ABS)
#define KNOWN_WORD_TARGETS(X, ...)
#define KNOWN_WORD_READS(X, ...)
#define KNOWN_TARGETS(X, ...)
#define KNOWN_PAIRS(X, ...)
#define KNOWN_READ_PAIRS(X, ...)

/* First of a pair, by form. */
#define BOTH(EACH, X, name, pattern, form) EACH(X, name, pattern, form, 0) EACH(X, name, pattern, form, 1)
#define PAIRS_PLAIN(X, name, pattern, form)
#define PAIRS_RETURN(X, name, pattern, form)
#define PAIRS_TRAP(X, name, pattern, form)
#define PAIRS_TRAP_NUMBER(X, name, pattern, form)
#define PAIRS_NUMBER(X, name, pattern, form)
#define PAIRS_MARKER(X, name, pattern, form)
#define PAIRS_LOAD_BYTE(X, name, pattern, form)
#define PAIRS_STORE_BYTE(X, name, pattern, form)
#define PAIRS_ARITHMETIC(X, name, pattern, form)
#define PAIRS_FLOATING(X, name, pattern, form)
#define PAIRS_FROM_MODE(X, name, pattern, form)
#define PAIRS_TO_MODE(X, name, pattern, form)
#define PAIRS_SUPERVISE(X, name, pattern, form)
#define PAIRS_DESCRIPTORS(X, name, pattern, form)
#define PAIRS_COMMERCIAL(X, name, pattern, form)
#define PAIRS_IN_LINE_2(X, name, pattern, form)
#define PAIRS_IN_LINE_3(X, name, pattern, form)
#define PAIRS_IN_LINE_4(X, name, pattern, form)
#define PAIRS_STATUS_IN(X, name, pattern, form)
#define PAIRS_STATUS_OUT(X, name, pattern, form)
#define PAIRS_FLOAT_TEST(X, name, pattern, form)
#define PAIRS_FLOAT_CLEAR(X, name, pattern, form)
#define PAIRS_FLOAT_CHANGE(X, name, pattern, form)
#define PAIRS_FLOAT_IN(X, name, pattern, form)
#define PAIRS_FLOAT_OUT(X, name, pattern, form)
#define PAIRS_INTEGER_IN(X, name, pattern, form)
#define PAIRS_INTEGER_OUT(X, name, pattern, form)
#define PAIRS_UNCALL(X, name, pattern, form)
#define PAIRS_CODES(X, name, pattern, form)
#define PAIRS_BRANCH(X, name, pattern, form)
#define PAIRS_LOOP(X, name, pattern, form)
#define PAIRS_JUMP(X, name, pattern, form)
#define PAIRS_CALL(X, name, pattern, form)
#if IN_STEP(4)
#define COMPARED(X, name, pattern, form, byte) \
    CONDITIONS(X, name, pattern, form, byte, REG, REG) CONDITIONS(X, name, pattern, form, byte, REG, IMM) \
    CONDITIONS(X, name, pattern, form, byte, IMM, REG) CONDITIONS(X, name, pattern, form, byte, DEF, IMM) \
    CONDITIONS(X, name, pattern, form, byte, INC, IMM) CONDITIONS(X, name, pattern, form, byte, IDX, IMM) \
    CONDITIONS(X, name, pattern, form, byte, ABS, IMM)
#define TESTED(X, name, pattern, form, byte) \
    SIGNS(X, name, pattern, form, byte, REG, REG) SIGNS(X, name, pattern, form, byte, REG, DEF) \
    SIGNS(X, name, pattern, form, byte, REG, INC) SIGNS(X, name, pattern, form, byte, REG, IDX) \
    SIGNS(X, name, pattern, form, byte, REG, ABS)
#define CHANGED(X, name, pattern, form, byte) \
    SIGNS(X, name, pattern, form, byte, REG, REG) X(BCC, name, pattern, form, byte, REG, REG) X(BCS, name, pattern, form, byte, REG, REG) \
    X(BNE, name, pattern, form, byte, REG, ABS) X(BCC, name, pattern, form, byte, REG, ABS) X(BCS, name, pattern, form, byte, REG, ABS) \
    X(SOB, name, pattern, form, byte, REG, REG)
#define MOVED(X, name, pattern, form, byte) \
    SIGNS(X, name, pattern, form, byte, DEF, REG) SIGNS(X, name, pattern, form, byte, INC, REG) \
    SIGNS(X, name, pattern, form, byte, IDX, REG) SIGNS(X, name, pattern, form, byte, ABS, REG) \
    X(BNE, name, pattern, form, byte, INC, INC) X(SOB, name, pattern, form, byte, INC, INC) \
    X(SOB, name, pattern, form, byte, IMM, INC) X(SOB, name, pattern, form, byte, REG, INC) X(SOB, name, pattern, form, byte, ABS, INC)
#define COMBINED(X, name, pattern, form, byte) \
    X(SOB, name, pattern, form, byte, REG, REG) X(SOB, name, pattern, form, byte, INC, REG) \
    X(SOB, name, pattern, form, byte, ABS, ABS) X(SOB, name, pattern, form, byte, REG, INC)
#define PAIRS_TEST(X, name, pattern, form)    BOTH(TESTED, X, name, pattern, form)
#define PAIRS_CHANGE(X, name, pattern, form)  BOTH(CHANGED, X, name, pattern, form)
#define PAIRS_STORE(X, name, pattern, form)   X(SOB, name, pattern, form, 0, REG, INC) X(SOB, name, pattern, form, 1, REG, INC)
#define PAIRS_COMPARE(X, name, pattern, form) BOTH(COMPARED, X, name, pattern, form)
#define PAIRS_COMBINE(X, name, pattern, form) BOTH(COMBINED, X, name, pattern, form)
#define PAIRS_MOVE(X, name, pattern, form)    BOTH(MOVED, X, name, pattern, form)
#else
#define PAIRS_TEST(X, name, pattern, form)
#define PAIRS_CHANGE(X, name, pattern, form)
#define PAIRS_STORE(X, name, pattern, form)
#define PAIRS_COMPARE(X, name, pattern, form)
#define PAIRS_COMBINE(X, name, pattern, form)
#define PAIRS_MOVE(X, name, pattern, form)
#endif
#define PAIRS_REGISTER_COMBINE(X, name, pattern, form)

/* --- the bodies: once for any operands, with the words of the fast core, once for those that were read ahead --------- */

#define ALIAS(name, of, pattern)
#define BODY_ANY(name) \
    ALWAYS void any_##name(ms_machine *m, ms_way *h, const uint32_t word, const unsigned byte, const ms_class S, const ms_class D)
#define BODY_BLOCK(name) \
    ALWAYS void block_##name(ms_machine *m, ms_way *h, const ms_op *op, const uint32_t word, const unsigned byte, const ms_class S, const ms_class D)

#define SORT(name) name##_any
#define INSN(name, pattern, form, codes, module, traps, source, does) \
    BODY_ANY(name); \
    ANY(STAGE_ANY, name, pattern, form) \
    BODY_ANY(name)
#include "families.inc"
#undef INSN

#include "blocks_words.h"
#define SECOND(second, ...) BODY_BLOCK(second);
CONDITIONS(SECOND) SECOND(BPL) SECOND(BMI) SECOND(SOB)
#define INSN(name, pattern, form, codes, module, traps, source, does) \
    BODY_BLOCK(name); \
    FULL(STAGES, name, pattern, form) \
    KNOWN(STAGE_KNOWN, name, pattern, form) \
    PAIRS_##form(STAGE_PAIR, name, pattern, form) \
    BODY_BLOCK(name)
#include "families.inc"
#undef INSN

/* --- what is on offer for a record ------------------------------------------------------------------------------------ */

typedef struct {
    ms_stage full, light;          /* light: its codes are dropped */
    const char *second;            /* of a pair: the mnemonic of its second instruction */
    uint8_t byte, source, target, known;
} entry;

static const entry *chosen[MS_RECORDS];

static void offer_entries(const char *mnemonic, const entry *entries)
{
    const size_t length = strlen(mnemonic);
    for (uint32_t i = 1; i < MS_RECORDS; i++) {
        const char *name = ms_record_list[i].mnemonic;
        const int byte_form = ms_record_list[i].is_byte && !strncmp(name, mnemonic, length) && !strcmp(name + length, "B");
        if (byte_form || !strcmp(name, mnemonic)) chosen[i] = entries;
    }
}

/* ADD, SUB, SWAB and their like have no byte form; the compiler drops what would have been theirs. */
#define EXISTS(pattern, byte, handler) ((byte) && (pattern)[0] != '*' ? NULL : (handler))
#define LIST_FULL(name, pattern, form, byte, S, D) \
    {EXISTS(pattern, byte, block_##name##_##byte##_##S##_##D), EXISTS(pattern, byte, light_##name##_##byte##_##S##_##D), \
     NULL, byte, S, D, 0},
#define LIST_KNOWN(name, pattern, form, byte, S, D) {known_##name##_##byte##_##S##_##D, NULL, NULL, byte, S, D, 1},
#define LIST_PAIR(second, name, pattern, form, byte, S, D) {EXISTS(pattern, byte, pair_##name##_##byte##_##S##_##D##_##second), NULL, #second, byte, S, D, 0},
#define LIST_ANY(name, pattern, form, byte) {EXISTS(pattern, byte, any_##name##_##byte), NULL, NULL, byte, WITH_PC, WITH_PC, 0},
#define INSN(name, pattern, form, codes, module, traps, source, does) \
    static const entry entries_##name[] = { \
        FULL(LIST_FULL, name, pattern, form) KNOWN(LIST_KNOWN, name, pattern, form) \
        PAIRS_##form(LIST_PAIR, name, pattern, form) ANY(LIST_ANY, name, pattern, form) {NULL, NULL, NULL, 2, 0, 0, 0}}; \
    offer_entries(#name, entries_##name); \
    if (0)
static void offer_all(void)
{
    ms_machine *m = NULL;
    ms_way way = {0}, *h = &way;
    const ms_op *op = NULL;
    const uint32_t word = 0;
    const unsigned byte = 0;
    const ms_class S = REG, D = REG;
    (void)m, (void)h, (void)op, (void)word, (void)byte, (void)S, (void)D;
#include "families.inc"
}

/* --- reading ahead ------------------------------------------------------------------------------------------------------- */

/* One instruction that was read: what it is, and what was found for it. */
typedef struct {
    const ms_record *record;
    const entry *entry;
    uint32_t pc, next, target;     /* target: of a branch, loop, or known jump */
    uint16_t word, x, y;
    ms_class s, d, spots[2];       /* spots: how those are found */
    uint8_t cycles, drops, undo, paired, restless;
} reading;

static int is_deferred(ms_class k) { return k == INCD || k == DECD || k == IDXD || k == RELD; }
/* The class of an operand; words behind the first are taken from *next on and folded. */
static ms_class read_operand(const ms_machine *m, unsigned field, unsigned byte, uint32_t *next, uint16_t *operand)
{
    const ms_class k = class_of(field);
    *operand = 0;
    if (k == IMM || k == ABS || k == REL || k == RELD || k == IDX || k == IDXD) *operand = (uint16_t)word_at(m, *next), *next += 2;
    if (k == REL || k == RELD) *operand = (uint16_t)(*operand + *next);
    if (byte && k == INC && (field & 7u) == 6) return WITH_PC;
    return k == REL ? ABS : k;
}

/* Words whose operands meet in one register, or PC where it is no operand that can be folded: at run time. */
static int is_intricate(const reading *r)
{
    ms_class s, d;
    classes_of(r->record, r->word, &s, &d);
    return s == WITH_PC || d == WITH_PC || r->s == WITH_PC || r->d == WITH_PC;
}

static const entry *entry_for(const reading *r, const char *second)
{
    const entry *any = NULL;
    for (const entry *e = chosen[r->record - ms_record_list]; e && e->byte < 2; e++) {
        if (e->byte != r->record->is_byte || (second ? !e->second || strcmp(e->second, second) : e->second != NULL)) continue;
        if (e->source == r->s && e->target == r->d) return e;
        if (e->source == WITH_PC) any = e;
    }
    return any;
}

static int is_branch(const reading *r) { return r->record->form == MS_FORM_BRANCH || r->record->form == MS_FORM_LOOP; }
static int is_general(const reading *r) { return r->entry && r->entry->source == WITH_PC; }
static int is_jump(const reading *r)
{
    return r->record->form == MS_FORM_JUMP || r->record->form == MS_FORM_CALL || r->record->form == MS_FORM_UNCALL;
}

static void find_target(reading *r)
{
    if (r->record->form == MS_FORM_BRANCH) r->target = (uint16_t)(r->next + 2 * (int8_t)(uint8_t)r->word);
    else if (r->record->form == MS_FORM_LOOP) r->target = (uint16_t)(r->next - 2 * (r->word & 077u));
    else r->target = r->y;
}

/* An immediate byte is its low half. */
static uint16_t folded(uint16_t operand, ms_class k, unsigned byte) { return k == IMM && byte ? operand & 0377u : operand; }

/* An absolute operand must be plain, so that its handler need not ask. */
static int is_sure(const ms_machine *m, ms_class k, uint16_t address, unsigned byte)
{
    return (k != ABS && k != RELD) || (address < m->plain_top && (byte || !(address & 1u)));
}

static int is_restless(const ms_machine *m, const reading *r)
{
    for (uint32_t at = r->pc; at < r->next; at += 2)
        if (m->blocks->overwritten[at >> 1] >= RESTLESS) return 1;
    return 0;
}

/* What stands at pc; without an entry it is left to the reference core. */
static reading read_one(const ms_machine *m, uint32_t pc)
{
    reading r = {.pc = pc, .next = pc + 2, .word = (uint16_t)word_at(m, pc), .s = REG, .d = REG};
    r.record = &ms_record_list[m->decoded[r.word].record];
    r.cycles = m->decoded[r.word].cycles;
    const ms_form *f = ms_form_at(r.record->form);
    const unsigned byte = r.record->is_byte;
    if (!chosen[r.record - ms_record_list]) return r;
    if (f->source) r.s = read_operand(m, r.word >> 6, byte, &r.next, &r.x);
    if (f->destination) r.d = read_operand(m, r.word, byte, &r.next, &r.y);
    r.x = folded(r.x, r.s, byte), r.y = folded(r.y, r.d, byte);
    if (r.record->form == MS_FORM_CODES) r.y = r.word;
    find_target(&r);
    if (is_left_alone(r.record, r.word)) return r;
    if ((is_branch(&r) || (is_jump(&r) && r.d == ABS)) && (r.target == pc || r.target & 1u)) return r;
    const int sure = is_sure(m, r.s, r.x, byte && r.s == ABS) && is_sure(m, r.d, r.y, byte && r.d == ABS);
    if (is_intricate(&r) || !sure) r.s = WITH_PC;
    if (IN_STEP(5) && r.s != WITH_PC && !is_jump(&r)) {
        if (is_deferred(r.s)) r.spots[0] = r.s, r.s = SPOT;
        if (is_deferred(r.d)) r.spots[1] = r.d, r.d = SPOT;
    } else if (r.s == SPOT || r.d == SPOT) {
        r.s = WITH_PC;
    }
    r.entry = entry_for(&r, NULL);
    if (is_restless(m, &r)) r.restless = 1, r.entry = NULL;
    return r;
}

/* Nothing of the block comes behind it. */
static int ends(const reading *r)
{
    return !r->entry || is_jump(r) || (r->record->form == MS_FORM_BRANCH && !strcmp(r->record->mnemonic, "BR"));
}

static unsigned read_ahead(const ms_machine *m, uint32_t pc, reading *list)
{
    unsigned count = 0;
    do {
        list[count] = read_one(m, pc);
        pc = list[count].next;
    } while (!ends(&list[count++]) && count < LONGEST && pc < m->code_bytes);
    return count;
}

/* --- codes that nobody reads ----------------------------------------------------------------------------------------------- */

/* N Z V C as bits 3 to 0. */
static unsigned sets(const ms_machine *m, const reading *r)
{
    unsigned all = 0;
    if (r->record->form == MS_FORM_CODES) return 0;
    for (unsigned i = 0; i < 4; i++) all = all << 1 | (r->record->codes[i] != '-');
    return !strcmp(r->record->mnemonic, "SWAB") && FLAG(swab_v, unchanged) ? all & ~2u : all;
}

static int is_one_of(const reading *r, const char *names)
{
    char name[16] = " ";
    size_t length = strlen(r->record->mnemonic) - (r->record->is_byte != 0);
    memcpy(name + 1, r->record->mnemonic, length);
    name[length + 1] = ' ', name[length + 2] = 0;
    return strstr(names, name) != NULL;
}

static unsigned codes_read(const reading *r)
{
    if (is_one_of(r, " ADC SBC ROR ROL ")) return 1;
    if (is_one_of(r, " SXT ")) return 8;
    return !r->entry || is_branch(r) || is_jump(r) || r->record->form == MS_FORM_CODES ? 017 : 0;
}

static int is_near(const reading *r)
{
    const int plain = (r->s == REG || r->s == IMM) && (r->d == REG || r->d == IMM);
    return plain && !is_general(r) && !r->record->traps[0];       /* TSTSET of a register traps */
}

/* Can r be executed again, with the same result and codes, when its register steps are taken back - and, where `undo`
 * is set, its opposite was executed first? */
static int is_repeatable(reading *r)
{
    const unsigned left = r->word >> 6 & 7u, right = r->word & 7u;
    const int changes_own_address = r->s != REG && r->s != IMM && r->s != ABS && r->d == REG && left == right;
    if (is_general(r) || r->s == SPOT || r->d == SPOT || changes_own_address) return 0;
    if (is_one_of(r, " MOV CMP BIT BIC BIS TST CLR ")) return 1;
    r->undo = 1;
    if (is_one_of(r, " INC DEC COM NEG SWAB ")) return r->d == REG;
    return is_one_of(r, " ADD SUB ") && r->d == REG && (r->s != REG || left != right);
}

static int may_drop(const ms_machine *m, reading *r, const reading *behind)
{
    unsigned wanted = sets(m, r);
    if (!wanted || !r->entry || !r->entry->light) return 0;
    for (const reading *k = r + 1; k < behind; k++) {
        if (!is_near(k) && (k > r + 1 || !is_repeatable(r))) return 0;
        if (codes_read(k) & wanted) return 0;
        wanted &= ~sets(m, k);
        if (!wanted) return 1;
        if (is_general(k)) return 0;                       /* it may step PC and lead out of the block */
    }
    return 0;
}

static unsigned opposite(unsigned word)
{
    if ((word & 070000u) == 060000u) return word ^ 0100000u;                       /* ADD, SUB */
    return (word & 077600u) == 05200u ? word ^ 0100u : word;                       /* INC, DEC; COM, NEG, SWAB are their own */
}

static void step_back(ms_machine *m, unsigned field, unsigned byte, int counts)
{
    const unsigned mode = field >> 3 & 7u, reg = field & 7u, by = byte && reg < 6 ? 1 : 2;
    if (!counts || reg == 7) return;
    if (mode == 2) m->r[reg] = (uint16_t)(m->r[reg] - by);
    if (mode == 4) m->r[reg] = (uint16_t)(m->r[reg] + by);
}

/* The codes of an instruction that has run without them: it runs once more, from where it began. */
static void redo(ms_machine *m, const detail *before, int undo, uint32_t nz, uint32_t v, uint32_t c)
{
    const ms_record *r = &ms_record_list[m->decoded[before->word].record];
    const int has_source = ms_form_at(r->form)->source != MS_USE_NONE;
    const unsigned words[2] = {opposite(before->word), before->word};
    for (int i = undo ? 0 : 1; i < 2; i++) {
        step_back(m, before->word >> 6, r->is_byte, has_source);
        step_back(m, before->word, r->is_byte, 1);
        by_table(m, before->pc, words[i], 0, nz, v, c);
    }
}

/* --- building ------------------------------------------------------------------------------------------------------------- */

static void run_elsewhere(CARRIED) { leave(CARRY); }

/* One instruction that changes too often to be decoded: by the table, and on from wherever it leads. */
static void run_restless(CARRIED)
{
    const uint32_t pc = detail_of(m, op)->pc;
    const uint64_t budget = m->budget;
    by_table(m, pc, word_at(m, pc), 0, nz, v, c);
    const int done = m->budget != 0;
    m->budget += budget;
    if (!done || SHORT) return;
    nz = (m->n ? 0x80000000u : 0u) | !m->z, v = m->v, c = m->c;
    return seek(CARRY);
}

/* From CODES to pairs: which entry each instruction gets; a pair is marked on its first. */
static void settle(const ms_machine *m, reading *list, unsigned count)
{
    for (unsigned i = 0; i < count; i++) {
        reading *r = &list[i];
        if (IN_STEP(3)) r->drops = (uint8_t)may_drop(m, r, list + count);
        if (!IN_STEP(4) || i + 1 == count || !r->entry || is_general(r) || is_branch(r)) continue;
        if (!is_branch(r + 1) || !r[1].entry) continue;
        const entry *pair = entry_for(r, r[1].record->mnemonic);
        if (pair && pair->second) r->entry = pair, r->paired = 1, r->drops = 0;
    }
}

static void mark(ms_machine *m, uint32_t from, uint32_t to)
{
    for (uint32_t at = from; at < to; at += 2) m->code_marks[at >> 1] = 1;
}

static void flush(ms_machine *m)
{
    struct ms_blocks *b = m->blocks;
    b->used = 1;
    b->flushed++;
    memset(b->at, 0, sizeof b->at);
    memset(b->overwritten, 0, sizeof b->overwritten);
    memset(m->code_marks, 0, m->plain_top >> 1);
    memset(m->code_marks + (m->plain_top >> 1), 1, WORDS - (m->plain_top >> 1));
    m->half_top = m->plain_top >> 1;
}

/* A cell behind an operation, its stub still to come. */
static ms_op *open_cell(struct ms_blocks *b, uint64_t rest)
{
    b->ops[b->used] = (ms_op){.cost = 0 - rest};
    return &b->ops[b->used++];
}

static void close_cell(struct ms_blocks *b, ms_op *cell, uint32_t target)
{
    ms_op *stub = &b->ops[b->used];
    *stub = (ms_op){.run = tie, .x = (uint16_t)target, .y = (uint16_t)(stub - cell)};
    b->details[b->used++] = (detail){.pc = (uint16_t)target};
    cell->to = stub;
}

static uint16_t step_of_spot(ms_class k) { return k == INCD ? 2 : k == DECD ? 0177776 : 0; }

/* x, y and z of an operation by its kind. */
static ms_op operation(const reading *r)
{
    ms_op op = {.run = r->drops ? r->entry->light : r->entry->full, .x = r->x, .y = r->y};
    op.s = r->word >> 6 & 7u, op.d = r->word & 7u;
    if (is_general(r)) op.x = (uint16_t)(r->pc + 2), op.y = r->word, op.z = (uint16_t)r->next;
    else if (is_jump(r)) op.x = (uint16_t)r->pc, op.z = (uint16_t)r->next;
    else if (r->paired) op.z = r[1].word >> 6 & 7u;
    if (is_general(r)) return op;
    if (r->s == SPOT) op.x = step_of_spot(r->spots[0]);
    if (r->d == SPOT) op.y = step_of_spot(r->spots[1]);
    return op;
}

typedef struct { ms_op *cell; uint32_t target; } loose;

/* What must be found before; d: as for the operation itself. */
static void emit_spots(struct ms_blocks *b, const reading *r, detail *d)
{
    static const ms_stage finders[2][MS_CLASSES] = {
        {[INCD] = spot_0_INCD, [DECD] = spot_0_DECD, [IDXD] = spot_0_IDXD, [RELD] = spot_0_RELD},
        {[INCD] = spot_1_INCD, [DECD] = spot_1_DECD, [IDXD] = spot_1_IDXD, [RELD] = spot_1_RELD}};
    for (int which = 0; which < 2; which++) {
        if (!r->spots[which]) continue;
        b->details[b->used] = *d;
        b->ops[b->used++] = (ms_op){.run = finders[which][r->spots[which]], .x = r->x, .y = r->y,
                                    .s = r->word >> 6 & 7u, .d = r->word & 7u};
        if (d->redo) d->redo++;
    }
}

/* One operation with its cell; count and cycles: what the block still costs from here on. */
static loose emit(ms_machine *m, const reading *r, unsigned count, unsigned cycles)
{
    struct ms_blocks *b = m->blocks;
    const reading *before = r - 1;
    const int redoes = before->drops && !is_near(r);
    detail d = {.pc = (uint16_t)r->pc, .word = r->word, .rest_count = (uint8_t)count, .rest_cycles = (uint8_t)cycles,
                .redo = redoes, .undo = redoes && before->undo};
    if (r->entry && !is_general(r)) emit_spots(b, r, &d);
    b->details[b->used] = d;
    if (!r->entry) {
        b->ops[b->used++] = (ms_op){.run = r->restless ? run_restless : run_elsewhere};
        return (loose){NULL, 0};
    }
    b->ops[b->used++] = operation(r);
    const reading *last = r->paired ? r + 1 : r;
    const unsigned rest = count - (r->paired ? 2 : 1), left = cycles - r->cycles - (r->paired ? last->cycles : 0);
    const int leads = is_branch(last) || r->entry->known;
    if (!leads && !is_general(r)) return (loose){NULL, 0};
    ms_op *cell = open_cell(b, IN_STEP(2) ? cost_of(m, rest, left) : 0);
    return (loose){leads ? cell : NULL, last->target};
}

static ms_op *build(ms_machine *m, uint32_t pc)
{
    reading room[LONGEST + 1] = {0}, *list = room + 1;     /* before the first: nothing that dropped codes */
    loose loose_ends[LONGEST + 1];
    struct ms_blocks *b = m->blocks;
    if (b->used + 6 * LONGEST + 8 > OPERATIONS) flush(m);
    unsigned ties = 0, whole = 0, cycles = 0;
    const unsigned count = read_ahead(m, pc, list);
    const int goes_on = !ends(&list[count - 1]) || is_general(&list[count - 1]);   /* RTS may lead to what stands behind it */
    settle(m, list, count);
    for (unsigned i = 0; i < count; i++) whole += list[i].entry != NULL, cycles += list[i].entry ? list[i].cycles : 0u;
    const uint32_t end = list[count - 1].restless ? list[count - 1].pc : list[count - 1].next;
    b->ops[b->used++] = (ms_op){.bytes = end - pc, .cost = IN_STEP(2) ? cost_of(m, whole, cycles) : 0};
    const uint32_t first = b->used;
    for (unsigned i = 0; i < count; i += list[i].paired + 1u) {
        loose_ends[ties] = emit(m, &list[i], whole, cycles);
        if (loose_ends[ties].cell) ties++;
        for (unsigned k = i; k <= i + list[i].paired && list[k].entry; k++) whole--, cycles -= list[k].cycles;
    }
    if (goes_on) {
        b->details[b->used] = (detail){.pc = (uint16_t)list[count - 1].next};
        b->ops[b->used++] = (ms_op){.run = pass};
        loose_ends[ties++] = (loose){open_cell(b, 0), list[count - 1].next};
    }
    for (unsigned i = 0; i < ties; i++) close_cell(b, loose_ends[i].cell, loose_ends[i].target);
    mark(m, pc, end);
    b->at[pc >> 1] = first;
    b->built++;
    return &b->ops[first];
}

/* The block that begins at pc; NULL where none can. */
static __attribute__((noinline)) ms_op *find(ms_machine *m, uint32_t pc)
{
    if (pc & 1u || pc >= m->code_bytes) return NULL;
    const uint32_t first = m->blocks->at[pc >> 1];
    return first ? &m->blocks->ops[first] : build(m, pc);
}

/* --- memory that is written ------------------------------------------------------------------------------------------------- */

static void kill_from(struct ms_blocks *b, uint32_t word)
{
    ms_op *op = &b->ops[b->at[word]];
    op->run = forsaken;
    b->at[word] = 0;
    b->killed++;
}

void ms_code_written(ms_machine *m, uint32_t address)
{
    struct ms_blocks *b = m->blocks;
    if (!b || address >= m->plain_top || !m->code_marks[address >> 1]) return;
    const uint32_t word = address >> 1, reach = 3 * LONGEST;
    for (uint32_t at = word > reach ? word - reach : 0; at <= word; at++)
        if (b->at[at] && b->ops[b->at[at] - 1].bytes > 2 * (word - at)) kill_from(b, at);
    m->code_marks[word] = 0;
    if (b->overwritten[word] < RESTLESS) b->overwritten[word]++;
}

/* --- running ------------------------------------------------------------------------------------------------------------------ */

static void offer_once(void)
{
    static atomic_flag busy = ATOMIC_FLAG_INIT;
    static int offered;
    while (atomic_flag_test_and_set(&busy)) { }
    if (!offered) offer_all();
    offered = 1;
    atomic_flag_clear(&busy);
}

/* Blocks know prices, the end of memory and the instructions that are fitted. */
static int is_current(ms_machine *m)
{
    struct ms_blocks *b = m->blocks;
    const int same_prices = b->cost_of[0] == m->base_ns && b->cost_of[1] == m->cycle_ns;
    if (same_prices && b->plain_top == m->plain_top && b->decoded == m->decoded) return 1;
    b->plain_top = m->plain_top, b->decoded = m->decoded;
    b->cost_of[0] = m->base_ns, b->cost_of[1] = m->cycle_ns;
    return 0;
}

void ms_blocks_ahead(ms_machine *m, uint64_t budget)
{
    if (!m->blocks) {
        m->blocks = calloc(1, sizeof *m->blocks);
        if (!m->blocks) { m->budget = 0; return; }         /* no memory: nothing is run ahead */
        offer_once();
    }
    if (!is_current(m)) flush(m);
    m->budget = budget;
    seek(m, NULL, (m->n ? 0x80000000u : 0u) | !m->z, m->v, m->c);
}

void ms_free_blocks(ms_machine *m) { free(m->blocks); }

#endif
