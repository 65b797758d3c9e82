/* access.c - memory when the short way does not do: an odd word address, the I/O page, or nobody there.
 *
 * The interpreter comes here only for addresses that are not plain memory (see ms_machine.ram_top). */
#include "mapping.h"
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

_Noreturn static void refuse_silent(ms_machine *m, uint16_t address, unsigned kind, uint32_t physical)
{
    undo_step(m, address, kind, 0);
    note_error(m, physical >= ms_io_base(m) ? ERROR_TIME_OUT : ERROR_MEMORY);
    m->time_ns += TIME_OUT_NS;
    ms_abort(m, 04);
}

_Noreturn void ms_red_stack(ms_machine *m)
{
    note_error(m, ERROR_RED);
    m->red_due = 1;
    ms_abort(m, 04);
}

/* Where the program's reference leads, with the marks it leaves; an abort of memory management gives the instruction up.
 * Against other errors: odd address first, then the abort, then the time-out. */
static uint32_t reach_in(ms_machine *m, ms_reference r)
{
    uint32_t physical;
    if (ms_refer(m, r, &physical)) ms_abort(m, 0250);
    return physical;
}

static ms_reference reference(const ms_machine *m, uint16_t address, unsigned kind, int writes)
{
    const unsigned space = kind == MS_ACCESS_FETCH ? MS_INSTRUCTION_SPACE : MS_DATA_SPACE;
    return (ms_reference){address, (uint8_t)ms_current_mode(m), (uint8_t)space, (uint8_t)writes};
}

static uint32_t reach(ms_machine *m, uint16_t address, unsigned kind, int writes)
{
    return reach_in(m, reference(m, address, kind, writes));
}

/* General registers that a program may use as memory (D07): one at each byte address, so odd ones too (unconfirmed). */
static int is_general_register(const ms_machine *m, uint16_t address)
{
    uint32_t physical;
    if (!FLAG(general_register_addresses, program)) return 0;
    if (ms_look(m, reference(m, address, MS_ACCESS_READ, 0), &physical)) return 0;
    return physical >= ms_io_base(m) + 017700u && physical <= ms_io_base(m) + 017717u;
}

/* D25: some trap, the others ignore the low bit. */
static uint16_t even(ms_machine *m, uint16_t address, unsigned kind)
{
    if (!(address & 1u) || is_general_register(m, address)) return address;
    if (FLAG(odd_address_trap, yes)) refuse_odd(m, address, kind);
    return address & 0177776u;
}

/* D47: words that the processor itself answers can't be executed. */
static int is_forbidden(const ms_machine *m, uint32_t physical, unsigned kind)
{
    if (kind != MS_ACCESS_FETCH || physical < ms_io_base(m) || !FLAG(execute_from_registers, impossible)) return 0;
    const uint8_t who = m->io[(physical & 017777u) / 2].kind;
    return who == MS_IO_NOBODY || who == MS_IO_PROCESSOR;
}

uint16_t ms_load_far(ms_machine *m, uint16_t address, unsigned kind)
{
    uint16_t data = 0;
    const uint32_t where = reach(m, even(m, address, kind), kind, 0);
    if (is_forbidden(m, where, kind) || ms_bus_cycle(m, where, MS_CYCLE_READ, &data)) refuse_silent(m, address, kind, where);
    return data;
}

uint8_t ms_load_byte_far(ms_machine *m, uint16_t address, unsigned kind)
{
    uint16_t data = 0;
    const int whole = is_general_register(m, address);     /* it has no byte of its own at the odd address */
    const uint32_t where = reach(m, whole ? address : address & 0177776u, kind, 0);
    if (ms_bus_cycle(m, where, MS_CYCLE_READ, &data)) refuse_silent(m, address, kind, where);
    return (uint8_t)(address & 1u && !whole ? data >> 8 : data);
}

void ms_store_far(ms_machine *m, uint16_t address, uint16_t data, unsigned kind)
{
    const uint32_t where = reach(m, even(m, address, MS_ACCESS_WRITE), kind, 1);
    if (ms_bus_cycle(m, where, MS_CYCLE_WRITE, &data)) refuse_silent(m, address, MS_ACCESS_WRITE, where);
}

void ms_store_byte_far(ms_machine *m, uint16_t address, uint8_t data, unsigned kind)
{
    uint16_t word = data;
    const uint32_t where = reach(m, address, kind, 1);
    if (ms_bus_cycle(m, where, MS_CYCLE_WRITE_BYTE, &word)) refuse_silent(m, address, MS_ACCESS_WRITE, where);
}

uint16_t ms_load_from(ms_machine *m, unsigned mode, unsigned space, uint16_t address)
{
    uint16_t data = 0;
    const uint16_t at = even(m, address, MS_ACCESS_READ);
    const uint32_t where = reach_in(m, (ms_reference){at, (uint8_t)mode, (uint8_t)space, 0});
    if (ms_bus_cycle(m, where, MS_CYCLE_READ, &data)) refuse_silent(m, address, MS_ACCESS_READ, where);
    return data;
}

void ms_store_to(ms_machine *m, unsigned mode, unsigned space, uint16_t address, uint16_t data)
{
    const uint16_t at = even(m, address, MS_ACCESS_WRITE);
    const uint32_t where = reach_in(m, (ms_reference){at, (uint8_t)mode, (uint8_t)space, 1});
    if (ms_bus_cycle(m, where, MS_CYCLE_WRITE, &data)) refuse_silent(m, address, MS_ACCESS_WRITE, where);
}
