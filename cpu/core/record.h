/* record.h - one record for each instruction: what the table, the decoder and Python know about it.
 *
 * A record stands beside its body in insns/ as the arguments of INSN (how: docs/how-to/add-an-instruction.md).
 */
#ifndef MS_RECORD_H
#define MS_RECORD_H

#include "machine.h"

/* Modules: what must be fitted for a record to count.  M(name, word shown).  The words of the later base instructions
 * are alike, but each has its own yes/no in the table of differences (D08, D14). */
#define MS_MODULES(M) \
    M(BASE, "base") M(SOB, "later-base") M(MARK, "later-base") M(SXT, "later-base") M(XOR, "later-base") \
    M(RTT, "later-base") M(SPL, "spl") M(MFPT, "mfpt") M(PS, "ps") M(PAIR, "pair") M(EIS, "eis") M(FIS, "fis") \
    M(FPP, "fpp") M(CIS, "cis") M(MODES, "mmu") M(MMU, "mmu") M(CSM, "csm") M(MAP, "map") \
    M(STACK_LIMIT, "stack-limit")
#define MS_MODULE_ENUM(name, word) MS_MODULE_##name,
enum { MS_MODULES(MS_MODULE_ENUM) MS_MODULE_COUNT };
#define MS_FITTED(name) (1u << MS_MODULE_##name)

/* What an instruction does with an operand in memory. */
typedef enum { MS_USE_NONE, MS_USE_ADDRESS, MS_USE_READ, MS_USE_WRITE, MS_USE_CHANGE } ms_use;

/* Operand forms: F(name, operands as written, use of the source field, use of the destination field, further memory
 * cycles, byte operands whatever bit 15 says).
 * Letters: S D operands of six bits, R register, B branch of eight bits, L loop of six bits backwards, N number,
 * X number of eight bits, C choice of condition codes, F floating operand of six bits, A accumulator,
 * W word behind the instruction. */
#define MS_FORMS(F) \
    F(PLAIN,       "",    NONE, NONE,    0, 0) \
    F(RETURN,      "",    NONE, NONE,    2, 0) \
    F(TRAP,        "",    NONE, NONE,    4, 0) \
    F(TRAP_NUMBER, "X",   NONE, NONE,    4, 0) \
    F(CODES,       "C",   NONE, NONE,    0, 0) \
    F(NUMBER,      "N",   NONE, NONE,    0, 0) \
    F(MARKER,      "N",   NONE, NONE,    1, 0) \
    F(UNCALL,      "R",   NONE, NONE,    1, 0) \
    F(BRANCH,      "B",   NONE, NONE,    0, 0) \
    F(LOOP,        "R,L", NONE, NONE,    0, 0) \
    F(JUMP,        "D",   NONE, ADDRESS, 0, 0) \
    F(CALL,        "R,D", NONE, ADDRESS, 1, 0) \
    F(TEST,        "D",   NONE, READ,    0, 0) \
    F(CHANGE,      "D",   NONE, CHANGE,  0, 0) \
    F(STORE,       "D",   NONE, WRITE,   0, 0) \
    F(STORE_BYTE,  "D",   NONE, WRITE,   0, 1) \
    F(LOAD_BYTE,   "S",   NONE, READ,    0, 1) \
    F(COMPARE,     "S,D", READ, READ,    0, 0) \
    F(COMBINE,     "S,D", READ, CHANGE,  0, 0) \
    F(MOVE,        "S,D", READ, WRITE,   0, 0) \
    F(REGISTER_COMBINE, "R,D", NONE, CHANGE, 0, 0) \
    F(ARITHMETIC,  "S,R", NONE, READ,    0, 0) \
    F(FLOATING,    "R",   NONE, NONE,    6, 0) \
    F(FROM_MODE,   "S",   NONE, READ,    1, 0) \
    F(TO_MODE,     "D",   NONE, WRITE,   1, 0) \
    F(SUPERVISE,   "S",   NONE, READ,    4, 0) \
    F(STATUS_IN,   "S",   NONE, READ,    0, 0) \
    F(STATUS_OUT,  "D",   NONE, WRITE,   0, 0) \
    F(FLOAT_TEST,  "F",   NONE, READ,    0, 0) \
    F(FLOAT_CLEAR, "F",   NONE, WRITE,   0, 0) \
    F(FLOAT_CHANGE, "F",  NONE, CHANGE,  0, 0) \
    F(FLOAT_IN,    "F,A", NONE, READ,    0, 0) \
    F(FLOAT_OUT,   "A,F", NONE, WRITE,   0, 0) \
    F(INTEGER_IN,  "S,A", NONE, READ,    0, 0) \
    F(INTEGER_OUT, "A,D", NONE, WRITE,   0, 0) \
    F(DESCRIPTORS, "R",   NONE, NONE,    6, 0) \
    F(COMMERCIAL,  "",    NONE, NONE,    0, 0) \
    F(IN_LINE_2,   "W,W", NONE, NONE,    6, 0) \
    F(IN_LINE_3,   "W,W,W", NONE, NONE,  7, 0) \
    F(IN_LINE_4,   "W,W,W,W", NONE, NONE, 8, 0)
#define MS_FORM_ENUM(name, operands, source, destination, cycles, byte) MS_FORM_##name,
enum { MS_FORMS(MS_FORM_ENUM) MS_FORM_COUNT };

typedef struct {
    const char *name, *operands;
    uint8_t source, destination, cycles, byte;
} ms_form;

/* Memory cycles of an operand: those that find its address in a mode, and those of its use. */
static inline unsigned ms_operand_cycles(unsigned mode, unsigned use)
{
    static const uint8_t to_find[8] = {0, 0, 0, 1, 0, 1, 1, 2};
    static const uint8_t to_use[] = {0, 0, 1, 1, 2};
    return use == MS_USE_NONE || mode == 0 ? 0 : to_find[mode] + to_use[use];
}

/* What a record does, as a text: "adds {S} to {D}: {s} + {d} = {r}".  Up to the colon it is told before the instruction runs
 * and after; behind it stand the numbers, which are told after it ran.  Behind semicolons: why a code that ends up set is set
 * ("; C: bit 0 was 1"); without one, sums and differences say it by themselves, and N and Z by the result.  Behind " | ":
 * another text where R is PC.  A text may end its first part with "goes to {B} if Z=0 and N=V" (codes, or r for the result).
 * What stands in [ ] is left out where one of its numbers does not exist.  The fields:
 *   {S} {D} {F}  operands, {J} where a jump goes, {R} a register, {RR} with its neighbour, {R1} the neighbour, {A} {A1} the
 *                same of accumulators, {B} {L} targets, {N} {X} numbers, {K} codes chosen, {V} the first vector, {H} halts
 *   {o1} {o2} {o3} where a commercial operand is described, {k2} {k4} {k5} what R2, R4, R5 hold or the words in line
 *   {s} {d} {r}  source, old destination (or R) and result; {c} C before; {rs} all words written; {s#} with decimal
 *   {dd} {rr}    a pair of registers before and after, {p#} product, {q#} {m#} quotient and remainder, {by} a shift count
 *   {w1} {@1}    first further word in memory (stack) and where, {w2} {@2}; {t} where it goes on, {k} the next address
 *   {1} {2} {3}  numbers and strings in the order they were noted, {a} {ra} {rb} accumulator before, after, and its neighbour
 *   {r0} ... {r5} registers afterwards */

/* A body: m, the first word, and whether the operands are bytes. */
typedef void (*ms_body)(ms_machine *m, uint16_t word, unsigned byte);

typedef struct {
    char mnemonic[8];
    char pattern[12];          /* of this form: the leading * is resolved */
    const char *codes;         /* effect on N Z V C: * by the result, - none, 0, 1 */
    const char *traps;         /* vectors it can trap through by itself, beside those of its operands */
    const char *source;        /* key of the document; where it was not read, of the one to look it up in */
    const char *of;            /* "" or, for a second name of some words, the mnemonic of the record that owns them */
    const char *does;          /* what it does, as a text; see above */
    uint8_t form, module, is_byte, spare;
    uint16_t value, mask;      /* word & mask == value */
    ms_body plain, traced;
} ms_record;

#define MS_RECORDS 400u
#define PS_T 020u                  /* the trace bit */

/* table.c */
void ms_add_record(const char *mnemonic, const char *pattern, int form, const char *codes, int module,
                   const char *traps, const char *source, const char *does, ms_body plain, ms_body traced);
void ms_add_alias(const char *mnemonic, const char *of, const char *pattern);
extern ms_record ms_record_list[MS_RECORDS];               /* for both cores; filled by the first ms_configure */
const ms_record *ms_records(void);                         /* record 0 stands for every reserved word */
uint32_t ms_record_count(void);
const ms_record *ms_aliases(void);                         /* second names: NOP, CLC, BHIS ... */
uint32_t ms_alias_count(void);
const ms_form *ms_form_at(uint32_t index);                 /* NULL behind the last */
const char *ms_module_word(uint32_t module);
const char *ms_module_name(uint32_t module);
const char *ms_table_error(void);                          /* NULL, or what is wrong with the records themselves */
int32_t ms_collision(const char *pattern, const char *other);   /* a word that matches both, -1 none, -2 no pattern */
uint32_t ms_fitted(const ms_profile *profile, uint32_t options);  /* all modules of a processor with these options */
const ms_decoded *ms_decode_table(uint32_t modules);       /* 65,536 entries, made once; NULL: see ms_table_error */
/* NULL, or why not.  times: printed times, which are copied; NULL: the caller sets base_ns and cycle_ns. */
const char *ms_configure(ms_machine *m, const ms_profile *profile, uint32_t options, const ms_times *times);

/* flags.c */
typedef struct {
    const char *id, *flag;
    const char *words[MS_FLAG_WORDS];                      /* NULL behind the last; of facts: their names */
    uint32_t offset;                                       /* the byte in ms_profile */
    uint8_t is_facts, spare[3];
} ms_flag_row;
const ms_flag_row *ms_flag_at(uint32_t index);             /* NULL behind the last */
int ms_profile_word(ms_profile *profile, const char *flag, const char *word);              /* 0, or -1: no such word */
int ms_profile_fact(ms_profile *profile, const char *flag, const char *fact, int yes);     /* 0, or -1: no such fact */

/* --- operands, for both cores ------------------------------------------------------------------------------------- */

/* An operand after its address is settled.  mode 0: the register itself. */
typedef struct { uint16_t address, value; uint8_t mode, reg, kind; } ms_operand;

/* --- what differs between groups of processors in operands ------------------------------------------------------- */

/* Is a register source taken after the destination was settled (D01, D02, D03)? */
static inline int source_is_late(const ms_machine *m, const ms_operand *s, uint16_t word)
{
    const unsigned mode = word >> 3 & 7, reg = word & 7;
    if (mode >= 6) return s->reg == 7 && FLAG(pc_source_indexed_value, plus4);
    if (s->reg != reg) return 0;
    if (mode == 2 || mode == 4) return FLAG(same_register_source_value, after);
    return (mode == 3 || mode == 5) && FLAG(same_register_source_value_deferred, after);
}

/* reference.c */
void ms_register_all(void);                                /* calls ms_add_record for every INSN */
void ms_reserved_plain(ms_machine *m, uint16_t word, unsigned byte);
void ms_reserved_traced(ms_machine *m, uint16_t word, unsigned byte);
void ms_note_access(ms_machine *m, uint16_t address, uint16_t data, unsigned kind, unsigned byte);

/* small_float.c: the arithmetic of FIS.  GOOD: result is set. */
typedef enum { MS_FLOAT_ADD, MS_FLOAT_SUBTRACT, MS_FLOAT_MULTIPLY, MS_FLOAT_DIVIDE } ms_float_act;
typedef enum { MS_FLOAT_GOOD, MS_FLOAT_OVERFLOW, MS_FLOAT_UNDERFLOW, MS_FLOAT_BY_ZERO } ms_float_end;
ms_float_end ms_small_float(ms_float_act act, const uint16_t b_then_a[4], uint16_t result[2]);

/* fast.c */
/* 65,536 handlers; NULL: no memory.  odd_bytes: the time of a byte operand depends on its address. */
const void *const *ms_fast_table(const ms_decoded *decoded, int odd_bytes);
const void *const *ms_mapped_table(const ms_decoded *decoded, int odd_bytes);   /* for mapped addresses (fast_mapped.c) */
uint64_t ms_dearest_ns(const ms_machine *m);               /* no instruction that the fast core runs takes longer */
void ms_run_ahead(ms_machine *m, uint64_t last);           /* what is plain, ending before anything can happen */
int  ms_one_ahead(ms_machine *m);                          /* one instruction, if it is plain: was it?  For comparing */

/* processor.c */
typedef enum { MS_GREEN, MS_YELLOW, MS_RED } ms_zone;
ms_zone ms_stack_zone(const ms_machine *m);                /* where SP stands against the limit of the current mode */
void ms_yellow_trap(ms_machine *m);
void ms_mapping_trap(ms_machine *m);                       /* if one is due */
void ms_trap_instead(ms_machine *m, uint16_t vector);      /* by an instruction whose form counts no cycles for it */
void ms_pass_trap_time(ms_machine *m);                     /* of a trap or interrupt that is no instruction */
void ms_return_ps(ms_machine *m, uint16_t ps);             /* RTI and RTT: a mode below kernel can't gain by it */
void ms_write_ps(ms_machine *m, uint16_t ps);              /* a write to 777776 */
void ms_after_abort(ms_machine *m);                        /* the trap of an instruction that was given up */
int  ms_interrupt_waits(const ms_machine *m);              /* a request that would be accepted now */
int  ms_interrupt_masked(const ms_machine *m);             /* the PS lets no request through at all */
void ms_take_interrupt(ms_machine *m);
void ms_halt_outside_kernel(ms_machine *m);                /* D36 */
void ms_restart(ms_machine *m);                            /* D38 */
void ms_initialise(ms_machine *m);                         /* RESET */
uint16_t *ms_previous_stack(ms_machine *m);                /* SP of the previous mode (D53) */
unsigned ms_previous_space(const ms_machine *m, int is_data);   /* which space MFPI and MFPD, MTPI and MTPD mean */
void ms_check_ps_page(ms_machine *m);                      /* D46: may give the instruction up */
void ms_call_supervisor(ms_machine *m, uint16_t operand);  /* CSM */
int  ms_has_error_register(const ms_machine *m);

/* access.c: memory when the short way does not do: odd, outside of the low memory, I/O page */
uint16_t ms_load_far(ms_machine *m, uint16_t address, unsigned kind);
uint8_t  ms_load_byte_far(ms_machine *m, uint16_t address, unsigned kind);
void ms_store_far(ms_machine *m, uint16_t address, uint16_t data, unsigned kind);   /* kind FETCH: into an immediate operand */
uint16_t ms_load_from(ms_machine *m, unsigned mode, unsigned space, uint16_t address);  /* as a program of that mode */
void ms_store_to(ms_machine *m, unsigned mode, unsigned space, uint16_t address, uint16_t data);
void ms_store_byte_far(ms_machine *m, uint16_t address, uint8_t data, unsigned kind);
_Noreturn void ms_red_stack(ms_machine *m);

#endif
