/* blocks.h - the vocabulary of instruction bodies where their operands were read ahead (blocks.c; a spike).
 *
 * An instruction stands decoded in an ms_op: registers and operand words beside its handler.  What stands behind PC is
 * folded: an immediate is a value, a relative address an address.  The words of the bodies that differ from those of
 * fast.h are defined anew here; the rule is the same: FAR() before anything is committed. */
#ifndef MS_BLOCKS_H
#define MS_BLOCKS_H

#include "handlers.h"

/* How far the spike goes: 1 threaded operations, 2 one countdown a block, 3 dead codes dropped, 4 fused pairs,
 * 5 deferred operands found by an operation of their own. */
#define IN_STEP(n) (MS_BLOCKS >= (n))

typedef struct ms_op ms_op;
#define CARRIED ms_machine *m, const ms_op *op, uint32_t nz, uint32_t v, uint32_t c
#define CARRY m, op, nz, v, c
typedef void (*ms_stage)(CARRIED);

/* One operation, or the cell behind or before one: where it may go on, and what that takes from the budget.
 * x, y: operand words of source and destination; s, d: their registers; z: see the forms in blocks.c. */
struct ms_op {
    union {
        struct { ms_stage run; uint16_t x, y, z; uint8_t s, d; };
        struct { union { ms_op *to; uint64_t bytes; }; uint64_t cost; };
    };
};

#define SPOT IDXD                  /* the class of an operand whose address an operation before found: m->spots */
#define STAYS 0200000u             /* h.pc of an instruction that goes nowhere else */

/* --- memory: what holds decoded code is not written from here ------------------------------------------------------ */

/* Turned right by one, an odd address of a word is high: one compare settles both. */
ALWAYS uint32_t placed(const ms_machine *m, ms_way *h, uint32_t address, unsigned byte)
{
    const uint32_t turned = (uint16_t)(address >> 1 | address << 15);
    if (__builtin_expect(byte ? address >= m->ram_top : turned >= m->half_top, 0)) h->far = 1;
    return address;
}

/* sure: an address that was seen to be plain when it was read ahead. */
ALWAYS uint32_t block_load(ms_machine *m, ms_way *h, uint32_t address, unsigned byte, int sure)
{
    const uint32_t at = sure ? address : placed(m, h, address, byte);
    if (h->far) return 0;
    return byte ? m->memory[at] : word_at(m, at);
}

/* Words without memory count as code, so one look at the marks settles everything but odd addresses. */
ALWAYS void block_store(ms_machine *m, ms_way *h, uint32_t address, uint32_t data, unsigned byte, int sure)
{
    const uint32_t doubt = m->code_marks[address >> 1] | (byte || sure ? 0 : address & 1u);
    if (__builtin_expect(doubt, 0)) { h->far = 1; return; }
    if (byte) m->memory[address] = (uint8_t)data;
    else *(uint16_t *)(m->memory + address) = ORDERED((uint16_t)data);
}

#define IS_SURE(k) ((k) == ABS)

/* --- operands: k is a constant, INC and DEC of bytes never through SP (read_operand) --------------------------------- */

/* which: 0 source, 1 destination. */
ALWAYS uint32_t block_address(ms_machine *m, ms_way *h, unsigned which, unsigned reg, uint32_t word, unsigned byte, ms_class k)
{
    uint32_t at;
    switch (k) {
    case DEF: case INC: return m->r[reg];
    case INCD: return block_load(m, h, m->r[reg], 0, 0);
    case DEC:  return (uint16_t)(m->r[reg] - (byte ? 1 : 2));
    case PUSH: at = (uint16_t)(m->r[6] - 2); near_stack(m, h, at); return at;
    case IDX:  return (uint16_t)(m->r[reg] + word);
    case ABS:  return word;
    case SPOT: return m->spots[which];
    default:   return 0;
    }
}

/* word: of a spot, by how much its register steps. */
ALWAYS void block_step(ms_machine *m, unsigned reg, uint32_t word, unsigned byte, ms_class k)
{
    if (k == INC) m->r[reg] = (uint16_t)(m->r[reg] + (byte ? 1 : 2));
    if (k == INCD) m->r[reg] = (uint16_t)(m->r[reg] + 2);
    if (k == DEC) m->r[reg] = (uint16_t)(m->r[reg] - (byte ? 1 : 2));
    if (k == SPOT) m->r[reg] = (uint16_t)(m->r[reg] + word);
    if (k == PUSH) m->r[6] = (uint16_t)(m->r[6] - 2);
}

ALWAYS ms_found settled_block(ms_machine *m, ms_way *h, unsigned which, unsigned reg, uint32_t word, unsigned byte, ms_class k)
{
    ms_found o = {.reg = reg};
    if (k == IMM) o.value = word;
    else if (k != REG) o.address = block_address(m, h, which, reg, word, byte, k);
    return o;
}

ALWAYS uint32_t taken_block(ms_machine *m, ms_way *h, ms_found o, unsigned byte, ms_class k)
{
    if (k == IMM) return o.value;
    if (k == REG) return byte ? m->r[o.reg] & 0377u : m->r[o.reg];
    return block_load(m, h, o.address, byte, IS_SURE(k));
}

ALWAYS void given_block(ms_machine *m, ms_way *h, ms_found o, uint32_t value, unsigned byte, ms_class k)
{
    if (k == REG) put_register(m, o.reg, value, byte);
    else block_store(m, h, o.address, value, byte, IS_SURE(k));
}

#endif
