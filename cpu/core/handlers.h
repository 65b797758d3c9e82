/* handlers.h - which bodies the fast core specialises, and which words go to which of them.
 *
 * A form of operands (record.h) has a shape: how its words are spread over bodies.  Pairs of modes that programs really
 * use get a body of their own; every other word goes to the one body of its instruction that finds its operands at run
 * time (`any`); forms that can't be plain have none, and the reference core runs them.
 */
#ifndef MS_HANDLERS_H
#define MS_HANDLERS_H

#include "fast.h"

#define SHAPE_PLAIN            NEVER
#define SHAPE_RETURN           NEVER
#define SHAPE_TRAP             NEVER
#define SHAPE_TRAP_NUMBER      NEVER
#define SHAPE_NUMBER           NEVER
#define SHAPE_MARKER           NEVER      /* its body commits before its last word that can be FAR */
#define SHAPE_LOAD_BYTE        NEVER
#define SHAPE_STORE_BYTE       NEVER
#define SHAPE_FLOATING         NEVER
#define SHAPE_FROM_MODE        NEVER
#define SHAPE_TO_MODE          NEVER
#define SHAPE_SUPERVISE        NEVER
#define SHAPE_STATUS_IN        NEVER
#define SHAPE_STATUS_OUT       NEVER
#define SHAPE_FLOAT_TEST       NEVER
#define SHAPE_FLOAT_CLEAR      NEVER
#define SHAPE_FLOAT_CHANGE     NEVER
#define SHAPE_FLOAT_IN         NEVER
#define SHAPE_FLOAT_OUT        NEVER
#define SHAPE_INTEGER_IN       NEVER
#define SHAPE_INTEGER_OUT      NEVER
#define SHAPE_DESCRIPTORS      NEVER
#define SHAPE_COMMERCIAL       NEVER
#define SHAPE_IN_LINE_2        NEVER
#define SHAPE_IN_LINE_3        NEVER
#define SHAPE_IN_LINE_4        NEVER
#define SHAPE_CODES            ALONE
#define SHAPE_BRANCH           ALONE
#define SHAPE_LOOP             ALONE
#define SHAPE_UNCALL           LINK
#define SHAPE_JUMP             PLACES
#define SHAPE_CALL             PLACES
#define SHAPE_TEST             TARGETS
#define SHAPE_CHANGE           TARGETS
#define SHAPE_STORE            TARGETS
#define SHAPE_REGISTER_COMBINE WORD_TARGETS
#define SHAPE_ARITHMETIC       WORD_READS
#define SHAPE_COMPARE          READ_PAIRS
#define SHAPE_COMBINE          PAIRS
#define SHAPE_MOVE             PAIRS

/* Classes that get bodies of their own with each other, and those that get one with a register only.  All of them with
 * each other take twice as long to compile (MS_ALL_PAIRS: for wheels); where all bodies are one function, compilers take
 * so long that only a few classes are left. */
#define SELDOM_CLASSES(X, ...) X(__VA_ARGS__, INCD) X(__VA_ARGS__, DECD) X(__VA_ARGS__, IDXD) X(__VA_ARGS__, RELD)
#define USUAL_SOURCES(X, ...) \
    X(__VA_ARGS__, REG) X(__VA_ARGS__, DEF) X(__VA_ARGS__, INC) X(__VA_ARGS__, DEC) X(__VA_ARGS__, IDX) \
    X(__VA_ARGS__, IMM) X(__VA_ARGS__, ABS) X(__VA_ARGS__, REL)
#define USUAL_TARGETS(X, ...) \
    X(__VA_ARGS__, REG) X(__VA_ARGS__, DEF) X(__VA_ARGS__, INC) X(__VA_ARGS__, DEC) X(__VA_ARGS__, PUSH) \
    X(__VA_ARGS__, IDX) X(__VA_ARGS__, ABS) X(__VA_ARGS__, REL)
#if MS_DISPATCH != MS_TAIL
#define COMMON_SOURCES(X, ...) \
    X(__VA_ARGS__, REG) X(__VA_ARGS__, INC) X(__VA_ARGS__, IDX) X(__VA_ARGS__, IMM) X(__VA_ARGS__, REL)
#define COMMON_TARGETS(X, ...) \
    X(__VA_ARGS__, REG) X(__VA_ARGS__, DEF) X(__VA_ARGS__, INC) X(__VA_ARGS__, PUSH) X(__VA_ARGS__, REL)
#define SELDOM(X, ...)
#elif defined(MS_ALL_PAIRS)
#define MORE_TARGETS(X, ...) X(__VA_ARGS__, INCD) X(__VA_ARGS__, DECD) X(__VA_ARGS__, IDXD) X(__VA_ARGS__, RELD)
#define COMMON_SOURCES(X, ...) USUAL_SOURCES(X, __VA_ARGS__) SELDOM_CLASSES(X, __VA_ARGS__)
#define COMMON_TARGETS(X, ...) USUAL_TARGETS(X, __VA_ARGS__) MORE_TARGETS(X, __VA_ARGS__)   /* a macro can't hold itself */
#define SELDOM(X, ...)
#else
#define COMMON_SOURCES USUAL_SOURCES
#define COMMON_TARGETS USUAL_TARGETS
#define SELDOM SELDOM_CLASSES
#endif

/* FIXED(X, name, pattern, form) gives X(name, pattern, form, byte, S, D) for each body with fixed operands,
 * ANY(X, name, pattern, form) gives X(name, pattern, form, byte) for each of the others. */
#define JOIN(a, b) JOIN_(a, b)
#define JOIN_(a, b) a##b
#define FIXED(X, name, pattern, form) JOIN(FIXED_, SHAPE_##form)(X, name, pattern, form)
#define ANY(X, name, pattern, form) JOIN(ANY_, SHAPE_##form)(X, name, pattern, form)

#define FIXED_NEVER(X, ...)
#define FIXED_LINK(X, ...)
#define FIXED_ALONE(X, ...)           X(__VA_ARGS__, 0, REG, REG)
#define FIXED_PLACES(X, ...) \
    X(__VA_ARGS__, 0, REG, DEF) X(__VA_ARGS__, 0, REG, INCD) X(__VA_ARGS__, 0, REG, IDX) \
    X(__VA_ARGS__, 0, REG, ABS) X(__VA_ARGS__, 0, REG, REL)
#define FIXED_WORD_TARGETS(X, ...)    FROM_REGISTER(X, __VA_ARGS__, 0)
#define FIXED_WORD_READS(X, ...)      FROM_REGISTER(X, __VA_ARGS__, 0) X(__VA_ARGS__, 0, REG, IMM)
#define FIXED_TARGETS(X, ...)         FROM_REGISTER(X, __VA_ARGS__, 0) FROM_REGISTER(X, __VA_ARGS__, 1)
#define FIXED_PAIRS(X, ...)           PAIRS_OF_SIZE(X, __VA_ARGS__, 0) PAIRS_OF_SIZE(X, __VA_ARGS__, 1)
#define PAIRS_OF_SIZE(X, ...) \
    COMMON_SOURCES(TO_TARGETS, X, __VA_ARGS__) SELDOM(TO_REGISTER, X, __VA_ARGS__) SELDOM(X, __VA_ARGS__, REG)
#define FROM_REGISTER(X, ...)         COMMON_TARGETS(X, __VA_ARGS__, REG) SELDOM(X, __VA_ARGS__, REG)
#define TO_REGISTER(X, ...)           X(__VA_ARGS__, REG)
#define FIXED_READ_PAIRS(X, ...)      FIXED_PAIRS(X, __VA_ARGS__) \
    COMMON_SOURCES(TO_IMMEDIATE, X, __VA_ARGS__, 0) COMMON_SOURCES(TO_IMMEDIATE, X, __VA_ARGS__, 1)
#define TO_TARGETS(X, ...)            COMMON_TARGETS(X, __VA_ARGS__)
#define TO_IMMEDIATE(X, ...)          X(__VA_ARGS__, IMM)

#define ANY_NEVER(X, ...)
#define ANY_ALONE(X, ...)
#define ANY_LINK(X, ...)              X(__VA_ARGS__, 0)
#define ANY_PLACES(X, ...)            X(__VA_ARGS__, 0)
#define ANY_WORD_TARGETS(X, ...)      X(__VA_ARGS__, 0)
#define ANY_WORD_READS(X, ...)        X(__VA_ARGS__, 0)
#define ANY_TARGETS(X, ...)           X(__VA_ARGS__, 0) X(__VA_ARGS__, 1)
#define ANY_PAIRS(X, ...)             X(__VA_ARGS__, 0) X(__VA_ARGS__, 1)
#define ANY_READ_PAIRS(X, ...)        X(__VA_ARGS__, 0) X(__VA_ARGS__, 1)

/* --- time ---------------------------------------------------------------------------------------------------------- */

ALWAYS unsigned mode_of(ms_class k)
{
    switch (k) {
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

/* Memory cycles of a word as the decode table has them, where the classes are fixed. */
#define FORM_CYCLES(name, operands, source, destination, cycles, byte) {cycles, MS_USE_##source, MS_USE_##destination},
static const struct { uint8_t cycles, source, destination; } form_cycles[] = {MS_FORMS(FORM_CYCLES)};

ALWAYS unsigned cycles_of(unsigned form, ms_class s, ms_class d)
{
    return form_cycles[form].cycles + ms_operand_cycles(mode_of(s), form_cycles[form].source) +
           ms_operand_cycles(mode_of(d), form_cycles[form].destination);
}

/* --- words ----------------------------------------------------------------------------------------------------------- */

/* A body on offer to the words of a record; byte 2: end of a list. */
typedef struct { const void *handler; uint8_t exists, byte, source, target; } ms_offer;

static inline ms_class class_of(unsigned field)
{
    static const uint8_t through_pc[8] = {WITH_PC, WITH_PC, IMM, ABS, WITH_PC, WITH_PC, REL, RELD};
    static const uint8_t others[8] = {REG, DEF, INC, INCD, DEC, DECD, IDX, IDXD};
    const unsigned mode = field >> 3 & 7u, reg = field & 7u;
    if (reg == 7) return through_pc[mode];
    if (reg == 6 && mode == 4) return PUSH;
    return reg == 6 && mode == 5 ? WITH_PC : others[mode];
}

static inline int is_stepped(ms_class k) { return k == INC || k == INCD || k == DEC || k == DECD || k == PUSH; }

/* Must the operands see what the other one does to the register they share?  Steps of fixed operands come last. */
static inline int entangled(const ms_record *r, unsigned word, ms_class source)
{
    const unsigned mode = word >> 3 & 7u, first = word >> 6 & 7u, second = word & 7u;
    if (r->form == MS_FORM_CALL) return mode == 3 && (second == 6 || second == first);
    if (r->module == MS_MODULE_PAIR) return second == 0 && mode >= 2 && mode <= 5;   /* TSTSET and WRTLCK use R0 beside it */
    if (r->form == MS_FORM_ARITHMETIC)                     /* writes R and R|1 */
        return is_stepped(class_of(word)) && (second == first || second == (first | 1));
    if (first != second) return 0;
    return is_stepped(source) || (source == REG && mode >= 2 && mode <= 5);          /* D01, D02 */
}

/* Classes of a word's operands; WITH_PC for both: at run time.  A form without such an operand counts as REG. */
static inline void classes_of(const ms_record *r, unsigned word, ms_class *s, ms_class *d)
{
    const ms_form *f = ms_form_at(r->form);
    const int is_pair = r->form == MS_FORM_ARITHMETIC, names_register = f->operands[0] == 'R' && r->form != MS_FORM_CALL;
    const int is_pc = (word >> 6 & 7u) == 7u, is_pc_of_pair = is_pair && (word >> 6 & 6u) == 6u;
    *s = f->source ? class_of(word >> 6) : REG;
    *d = f->destination ? class_of(word) : REG;
    if (r->form == MS_FORM_UNCALL || (names_register && is_pc) || is_pc_of_pair || entangled(r, word, *s)) *s = *d = WITH_PC;
}

/* Words that the fast core leaves alone although their form has a body: branches that may go nowhere for ever (STUCK is
 * for the reference core to say), SOB that counts PC, and writes into the instruction itself. */
static inline int is_left_alone(const ms_record *r, unsigned word)
{
    if ((word & 077u) == 027u && ms_form_at(r->form)->destination >= MS_USE_WRITE) return 1;
    return (r->form == MS_FORM_BRANCH && (word & 0377u) == 0377u) || (r->form == MS_FORM_LOOP && (word >> 6 & 7u) == 7u);
}

/* The time of such a word depends on the address, which only the reference core asks after. */
static inline int has_byte_in_memory(const ms_record *r, unsigned word)
{
    const ms_form *f = ms_form_at(r->form);
    return r->is_byte && ((f->source && word & 07000u) || (f->destination && word & 070u));
}

#endif
