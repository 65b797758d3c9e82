/* fast.h - the vocabulary of instruction bodies as the fast core understands it.
 *
 * The same words as in operands.h, with one difference: here they only do what is plain.  Where a reference would leave
 * plain memory, the stack its limit, or the instruction its ordinary way, FAR() gives the instruction up before anything
 * has happened, and the reference core executes it.  So a body may commit (write memory, or a register that is no
 * operand) only behind its last word that can be FAR.
 *
 * A body sees m, h (the instruction on its way), word, byte, and the classes of its operands S and D.  All but m, h and
 * word are constants where the body is specialised; the compiler leaves of the switches below what is needed.
 */
#ifndef MS_FAST_H
#define MS_FAST_H

#include "record.h"
#include "words.h"

/* fast.c, fast_mapped.c: from the instruction in front of pc on, by its table. */
void ms_by_table(ms_machine *m, uint64_t budget, uint32_t pc, uint32_t word, uint64_t nzv, uint32_t c);
void ms_by_mapped_table(ms_machine *m, uint64_t budget, uint32_t pc, uint32_t word, uint64_t nzv, uint32_t c);

#define ALWAYS static inline __attribute__((always_inline))

/* How an operand is found.  Registers of these classes are R0 to R5 or SP, except in WITH_PC, where everything is
 * decided at run time and PC stands in m->r[7]. */
typedef enum {
    REG, DEF, INC, INCD, DEC, DECD, PUSH, IDX, IDXD,      /* R (R) (R)+ @(R)+ -(R) @-(R) -(SP) X(R) @X(R) */
    IMM, ABS, REL, RELD,                                  /* through PC: #n @#a a @a */
    WITH_PC, MS_CLASSES
} ms_class;

/* An instruction on its way.  N: bit 31 of nz; Z: bits 15-0 of nz are all 0.  V: v is not 0.  C: c is 0 or 1. */
typedef struct {
    uint32_t pc, nz, v, c;
    int far;
    uint32_t untaken;              /* a branch that goes on */
} ms_way;

typedef struct { uint32_t address, value, reg, in_memory; } ms_found;

#define FAR() do { h->far = 1; return; } while (0)
#define GIVE_UP_IF_FAR() do { if (h->far) return; } while (0)

/* --- plain memory ------------------------------------------------------------------------------------------------ */

#if __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
#define ORDERED(word) __builtin_bswap16(word)
#else
#define ORDERED(word) (word)
#endif

ALWAYS uint32_t word_at(const ms_machine *m, uint32_t address)
{
    return ORDERED(*(const uint16_t *)(m->memory + address));
}

ALWAYS void put_word(ms_machine *m, uint32_t address, uint32_t data)
{
    *(uint16_t *)(m->memory + address) = ORDERED((uint16_t)data);
}

#ifdef MS_ROWS

/* Memory management is on: the rows of the pages tell what is plain, and where it lies (fast_mapped.c). */
ALWAYS int is_in(ms_row row, uint32_t address) { return address - row.low < row.size; }
ALWAYS int reads(const ms_machine *m, uint32_t address) { return is_in(m->rows->read[address >> 13], address); }
ALWAYS int writes(const ms_machine *m, uint32_t address) { return is_in(m->rows->write[address >> 13], address); }
ALWAYS uint32_t read_at(const ms_machine *m, uint32_t address) { return m->rows->read[address >> 13].shift + address; }
ALWAYS uint32_t write_at(const ms_machine *m, uint32_t address) { return m->rows->write[address >> 13].shift + address; }
#define CODE_LOW m->code_low
#define CODE     m->code

#else

ALWAYS int reads(const ms_machine *m, uint32_t address) { return address < m->ram_top; }
ALWAYS int writes(const ms_machine *m, uint32_t address) { return address < m->ram_top && MS_MAY_WRITE(m, address); }
#define read_at(m, address) (address)
#define write_at(m, address) (address)
#define CODE_LOW 0u
#define CODE     m->memory

#endif

ALWAYS uint32_t near_load(const ms_machine *m, ms_way *h, uint32_t address)
{
    if (__builtin_expect(!(address & 1u) && reads(m, address), 1)) return word_at(m, read_at(m, address));
    h->far = 1;
    return 0;
}

ALWAYS uint32_t near_load_byte(const ms_machine *m, ms_way *h, uint32_t address)
{
    if (__builtin_expect(reads(m, address), 1)) return m->memory[read_at(m, address)];
    h->far = 1;
    return 0;
}

ALWAYS void near_store(ms_machine *m, ms_way *h, uint32_t address, uint32_t data)
{
    if (__builtin_expect(!(address & 1u) && writes(m, address), 1)) put_word(m, write_at(m, address), data);
    else h->far = 1;
}

ALWAYS void near_store_byte(ms_machine *m, ms_way *h, uint32_t address, uint32_t data)
{
    if (__builtin_expect(writes(m, address), 1)) m->memory[write_at(m, address)] = (uint8_t)data;
    else h->far = 1;
}

/* A word of the instruction; the window of ms_run_ahead makes sure that it is plain. */
ALWAYS uint32_t code_word(const ms_machine *m, uint32_t pc) { return ORDERED(*(const uint16_t *)(CODE + pc)); }
ALWAYS int in_window(const ms_machine *m, uint32_t pc) { return pc - CODE_LOW < m->code_bytes; }

/* The same where PC went another way; the four bytes behind the window are plain as well. */
ALWAYS uint32_t near_code(const ms_machine *m, ms_way *h, uint32_t pc)
{
    if (pc - CODE_LOW < m->code_bytes + 4 && !(pc & 1u)) return code_word(m, pc);
    h->far = 1;
    return 0;
}

/* --- operands ---------------------------------------------------------------------------------------------------- */

ALWAYS uint32_t near_next(ms_machine *m, ms_way *h)
{
    const uint32_t data = code_word(m, h->pc);
    h->pc += 2;
    return data;
}

/* SP must stand above the limit that every processor has at power-up. */
ALWAYS void near_stack(const ms_machine *m, ms_way *h, uint32_t sp)
{
    if (__builtin_expect(sp < 0400u || m->stack_limit, 0)) h->far = 1;
}

ALWAYS unsigned step_of(unsigned field, unsigned byte) { return byte && (field & 7u) < 6 ? 1 : 2; }

/* The address of an operand of a fixed class.  Its register is stepped later, by step_fixed: what is FAR has then
 * nothing to take back.  Words where that could be seen never come here (pick). */
ALWAYS uint32_t address_of(ms_machine *m, ms_way *h, unsigned field, unsigned byte, ms_class k)
{
    const unsigned reg = field & 7u;
    uint32_t at;
    switch (k) {
    case DEF: case INC: return m->r[reg];
    case INCD: return near_load(m, h, m->r[reg]);
    case DEC:  return (uint16_t)(m->r[reg] - step_of(field, byte));
    case DECD: return near_load(m, h, (uint16_t)(m->r[reg] - 2));
    case PUSH: at = (uint16_t)(m->r[6] - 2); near_stack(m, h, at); return at;
    case IDX:  return (uint16_t)(m->r[reg] + near_next(m, h));
    case IDXD: return near_load(m, h, (uint16_t)(m->r[reg] + near_next(m, h)));
    case IMM:  h->pc += 2; return h->pc - 2;
    case ABS:  return near_next(m, h);
    case REL:  at = near_next(m, h); return (uint16_t)(h->pc + at);
    case RELD: at = near_next(m, h); return near_load(m, h, (uint16_t)(h->pc + at));
    default: return 0;
    }
}

ALWAYS void step_fixed(ms_machine *m, unsigned field, unsigned byte, ms_class k)
{
    const unsigned reg = field & 7u;
    if (k == INC) m->r[reg] = (uint16_t)(m->r[reg] + step_of(field, byte));
    if (k == INCD) m->r[reg] = (uint16_t)(m->r[reg] + 2);
    if (k == DEC) m->r[reg] = (uint16_t)(m->r[reg] - step_of(field, byte));
    if (k == DECD || k == PUSH) m->r[reg] = (uint16_t)(m->r[reg] - 2);
}

/* Which of the two kinds of bodies is being compiled: SORT(name) is name_fixed or name_any. */
#define is_fixed 0
#define is_any 1
#define in_register_fixed(field, k) ((k) == REG)
#define in_register_any(field, k)   (!((field) & 070u))

ALWAYS ms_found settled_fixed(ms_machine *m, ms_way *h, unsigned field, unsigned byte, ms_class k)
{
    ms_found o = {.reg = field & 7u};
    if (k != REG) o.address = address_of(m, h, field, byte, k);
    return o;
}

ALWAYS uint32_t taken_fixed(ms_machine *m, ms_way *h, ms_found o, unsigned field, unsigned byte, ms_class k)
{
    (void)field;
    if (k == REG) return byte ? m->r[o.reg] & 0377u : m->r[o.reg];
    if (k == IMM) return byte ? code_word(m, o.address) & 0377u : code_word(m, o.address);
    return byte ? near_load_byte(m, h, o.address) : near_load(m, h, o.address);
}

ALWAYS void put_register(ms_machine *m, unsigned reg, uint32_t value, unsigned byte)
{
    m->r[reg] = (uint16_t)(byte ? (m->r[reg] & 0177400u) | (value & 0377u) : value);
}

ALWAYS void put_memory(ms_machine *m, ms_way *h, uint32_t address, uint32_t value, unsigned byte)
{
    if (byte) near_store_byte(m, h, address, value);
    else near_store(m, h, address, value);
}

ALWAYS void given_fixed(ms_machine *m, ms_way *h, ms_found o, uint32_t value, unsigned field, unsigned byte, ms_class k)
{
    (void)field;
    if (k == REG) put_register(m, o.reg, value, byte);
    else put_memory(m, h, o.address, value, byte);
}

/* D01 to D03 concern no word that comes to a specialised body (class_of, pick). */
#define source_taken_fixed(m, s, word, byte) ((s).value)

/* --- the same at run time: any mode and register, PC in m->r[7] ------------------------------------------------------ */

ALWAYS uint32_t next_with_pc(ms_machine *m, ms_way *h)
{
    const uint32_t at = m->r[7];
    m->r[7] = (uint16_t)(at + 2);
    return near_code(m, h, at);
}

ALWAYS uint32_t stepped_down(ms_machine *m, ms_way *h, unsigned reg, unsigned by, int is_sp)
{
    m->r[reg] = (uint16_t)(m->r[reg] - by);
    if (is_sp) near_stack(m, h, m->r[reg]);
    return m->r[reg];
}

ALWAYS uint32_t stepped_up(ms_machine *m, unsigned reg, unsigned by)
{
    const uint32_t at = m->r[reg];
    m->r[reg] = (uint16_t)(at + by);
    return at;
}

ALWAYS uint32_t address_with_pc(ms_machine *m, ms_way *h, unsigned mode, unsigned reg, unsigned by)
{
    uint32_t index;
    switch (mode) {
    case 2: return stepped_up(m, reg, by);
    case 3: return reg == 7 ? next_with_pc(m, h) : near_load(m, h, stepped_up(m, reg, 2));
    case 4: return stepped_down(m, h, reg, by, reg == 6);
    case 5: return near_load(m, h, stepped_down(m, h, reg, 2, reg == 6));
    case 6: index = next_with_pc(m, h); return (uint16_t)(m->r[reg] + index);
    case 7: index = next_with_pc(m, h); return near_load(m, h, (uint16_t)(m->r[reg] + index));
    default: return m->r[reg];
    }
}

ALWAYS ms_found settled_any(ms_machine *m, ms_way *h, unsigned field, unsigned byte, ms_class k)
{
    (void)k;
    const unsigned reg = field & 7u;
    ms_found o = {.reg = reg, .in_memory = field >> 3 & 7u};
    if (o.in_memory) o.address = address_with_pc(m, h, o.in_memory, reg, byte && reg < 6 ? 1 : 2);
    return o;
}

ALWAYS uint32_t taken_any(ms_machine *m, ms_way *h, ms_found o, unsigned field, unsigned byte, ms_class k)
{
    (void)k;
    if (!o.in_memory) return byte ? m->r[o.reg] & 0377u : m->r[o.reg];
    if ((field & 077u) == 027u) {                          /* an immediate operand is part of the instruction */
        const uint32_t value = near_code(m, h, o.address & ~(byte ? 1u : 0u));
        return byte ? (o.address & 1u ? value >> 8 : value & 0377u) : value;
    }
    return byte ? near_load_byte(m, h, o.address) : near_load(m, h, o.address);
}

ALWAYS void given_any(ms_machine *m, ms_way *h, ms_found o, uint32_t value, unsigned field, unsigned byte, ms_class k)
{
    (void)field, (void)k;
    if (!o.in_memory) put_register(m, o.reg, value, byte);
    else put_memory(m, h, o.address, value, byte);
}

ALWAYS uint32_t source_taken_any(const ms_machine *m, ms_found s, unsigned word, unsigned byte)
{
    const ms_operand at = {.reg = (uint8_t)s.reg};
    if (s.in_memory || !source_is_late(m, &at, (uint16_t)word)) return s.value;
    return byte ? m->r[s.reg] & 0377u : m->r[s.reg];
}

/* --- the words of the bodies ------------------------------------------------------------------------------------------ */

#define SOURCE_FROM(s, field) \
    ms_found s = SORT(settled)(m, h, field, byte, S); \
    GIVE_UP_IF_FAR(); \
    s.value = SORT(taken)(m, h, s, field, byte, S); \
    GIVE_UP_IF_FAR()
#define SOURCE(s)          SOURCE_FROM(s, word >> 6)
#define ONLY_SOURCE(s)     SOURCE_FROM(s, word)
#define REGISTER_SOURCE(s) const ms_found s = {.reg = FIELD_R, .value = m->r[FIELD_R]}
#define DESTINATION(d)     const ms_found d = SORT(settled)(m, h, word, byte, D); GIVE_UP_IF_FAR()
#define VALUE(s)           SORT(source_taken)(m, s, word, byte)
#define READ(d)            ({ const uint32_t read_ = SORT(taken)(m, h, d, word, byte, D); GIVE_UP_IF_FAR(); read_; })
#define READ_TO_CHANGE(d)  READ(d)
#define READ_FIRST(d)      ((void)0)                       /* of plain memory nobody sees it */
#define WRITE(d, value)    do { SORT(given)(m, h, d, (value), word, byte, D); GIVE_UP_IF_FAR(); } while (0)
#define WRITE_EXTENDED(d, value) \
    do { if (byte && SORT(in_register)(word, D)) m->r[d.reg] = SIGN_EXTENDED(value); else WRITE(d, value); } while (0)

/* condition codes */
#define SET_NZ(result) (h->nz = byte ? (uint32_t)(int8_t)(result) : (uint32_t)(int16_t)(result))
#define SET_N(x) (h->nz = (h->nz & 0177777u) | ((x) ? 0x80000000u : 0u))
#define SET_Z(x) (h->nz = (h->nz & 0x80000000u) | !(x))
#define SET_V(x) (h->v = (uint32_t)(x))
#define SET_C(x) (h->c = (x) != 0)
#define GET_N (h->nz >> 31)
#define GET_Z ((unsigned)!(h->nz & 0177777u))
#define GET_V ((unsigned)(h->v != 0))
#define GET_C (h->c)

/* registers, stack, flow */
#define REGISTER(n) (m->r[n])
#define SP (m->r[6])
#define PC (SORT(is) ? m->r[7] : h->pc)
#define GO_TO(address) \
    do { if (SORT(is)) m->r[7] = (uint16_t)(address); else h->pc = (uint16_t)(address); } while (0)
#define BRANCH_IF(condition) do { if (condition) GO_TO(PC + OFFSET); else h->untaken = 1; } while (0)
#define MODE (m->ps >> 14)
#define PUSH(value) \
    do { \
        const uint32_t at_ = (uint16_t)(m->r[6] - 2); \
        near_stack(m, h, at_); \
        GIVE_UP_IF_FAR(); \
        near_store(m, h, at_, (value)); \
        GIVE_UP_IF_FAR(); \
        m->r[6] = (uint16_t)at_; \
    } while (0)
#define POP() ({ const uint32_t pop_ = near_load(m, h, m->r[6]); GIVE_UP_IF_FAR(); m->r[6] += 2; pop_; })
#define STACK_WORD(offset) ((void)(offset), 0)             /* only by what this core never runs itself */
#define SMALL_FLOAT(act) ((void)(act))                     /* the same */
#define FROM_PREVIOUS(is_data) ((void)(is_data))
#define TO_PREVIOUS(is_data) ((void)(is_data))
#define CALL_SUPERVISOR(operand) ((void)(operand))
#define FPP(act) ((void)0)
#define LOAD_DESCRIPTORS(count) ((void)(count))
#define STRING(act) ((void)0)
#define DECIMAL(act) ((void)0)
#define TRAP(vector) FAR()
#define TRAP_INSTEAD(vector) FAR()

/* A link register that is PC is found in m->r[7].  D04: through mode 2 the register before or after its step. */
#define JUMP_ADDRESS() \
    ({ \
        const ms_found jump_ = SORT(settled)(m, h, word, 0, D); \
        GIVE_UP_IF_FAR(); \
        if (!SORT(is)) m->r[7] = (uint16_t)h->pc; \
        DESTINATION_MODE == 2 && FLAG(jump_autoincrement_target, after) ? m->r[jump_.reg] : jump_.address; \
    })

#endif
