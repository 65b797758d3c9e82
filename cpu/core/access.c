/* access.c - memory when the short way does not do: an odd word address, the I/O page, or nobody there.
 *
 * The interpreter comes here only for addresses that are not plain memory (see ms_machine.ram_top). */
#include "record.h"

#define TIME_OUT_NS    10000u     /* seen, [handbook-1969]; later machines 10 to 20 us (unconfirmed) */
#define ERROR_ODD      0100u      /* bits of the error register, 777766 (unconfirmed) */
#define ERROR_MEMORY   040u
#define ERROR_TIME_OUT 020u
#define ERROR_RED      04u

static void note_error(ms_machine *m, unsigned bits)
{
    if (ms_has_error_register(m)) m->error_register |= (uint16_t)bits;
}

/* What the registers look like when a reference fails: the step of mode 2 (D32, D33) and PC past the word (D31). */
static void undo_step(ms_machine *m, uint16_t address, unsigned kind, int odd)
{
    if (m->step_by && m->step_address == address) {
        if (odd ? FLAG(autoincrement_odd, not_incremented) : FLAG(autoincrement_nonexistent, not_incremented))
            m->r[m->step_register] -= m->step_by;
    } else if (kind == MS_ACCESS_FETCH && FLAG(fetch_error_pc, not_incremented)) {
        m->r[7] -= 2;
    }
}

_Noreturn static void refuse_odd(ms_machine *m, uint16_t address, unsigned kind)
{
    undo_step(m, address, kind, 1);
    note_error(m, ERROR_ODD);
    ms_abort(m, 04);
}

_Noreturn static void refuse_silent(ms_machine *m, uint16_t address, unsigned kind)
{
    undo_step(m, address, kind, 0);
    note_error(m, address >= 0160000u ? ERROR_TIME_OUT : ERROR_MEMORY);
    m->time_ns += TIME_OUT_NS;
    ms_abort(m, 04);
}

_Noreturn void ms_red_stack(ms_machine *m)
{
    note_error(m, ERROR_RED);
    m->red_due = 1;
    ms_abort(m, 04);
}

/* General registers that a program may use as memory (D07): one at each byte address, so odd ones too (unconfirmed). */
static int is_general_register(const ms_machine *m, uint16_t address)
{
    return FLAG(general_register_addresses, program) && address >= 0177700u && address <= 0177717u;
}

/* D25: some trap, the others ignore the low bit. */
static uint16_t even(ms_machine *m, uint16_t address, unsigned kind)
{
    if (!(address & 1u) || is_general_register(m, address)) return address;
    if (FLAG(odd_address_trap, yes)) refuse_odd(m, address, kind);
    return address & 0177776u;
}

/* D47: words that the processor itself answers can't be executed. */
static int is_forbidden(const ms_machine *m, uint16_t address, unsigned kind)
{
    if (kind != MS_ACCESS_FETCH || address < 0160000u || !FLAG(execute_from_registers, impossible)) return 0;
    const uint8_t who = m->io[(address & 017777u) / 2].kind;
    return who == MS_IO_NOBODY || who == MS_IO_PROCESSOR;
}

uint16_t ms_load_far(ms_machine *m, uint16_t address, unsigned kind)
{
    uint16_t data = 0;
    const uint16_t at = even(m, address, kind);
    if (is_forbidden(m, at, kind) || ms_bus_cycle(m, ms_physical(m, at), MS_CYCLE_READ, &data))
        refuse_silent(m, address, kind);
    return data;
}

uint8_t ms_load_byte_far(ms_machine *m, uint16_t address, unsigned kind)
{
    uint16_t data = 0;
    const int whole = is_general_register(m, address);     /* it has no byte of its own at the odd address */
    const uint16_t at = whole ? address : address & 0177776u;
    if (ms_bus_cycle(m, ms_physical(m, at), MS_CYCLE_READ, &data)) refuse_silent(m, address, kind);
    return (uint8_t)(address & 1u && !whole ? data >> 8 : data);
}

void ms_store_far(ms_machine *m, uint16_t address, uint16_t data)
{
    const uint16_t at = even(m, address, MS_ACCESS_WRITE);
    if (ms_bus_cycle(m, ms_physical(m, at), MS_CYCLE_WRITE, &data)) refuse_silent(m, address, MS_ACCESS_WRITE);
}

void ms_store_byte_far(ms_machine *m, uint16_t address, uint8_t data)
{
    uint16_t word = data;
    if (ms_bus_cycle(m, ms_physical(m, address), MS_CYCLE_WRITE_BYTE, &word))
        refuse_silent(m, address, MS_ACCESS_WRITE);
}
