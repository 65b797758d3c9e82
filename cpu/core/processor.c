/* processor.c - the processor beside its instructions: PS, modes and register sets, traps, interrupts, stack limit,
 * and the words of the I/O page that the processor itself answers. */
#include <stdlib.h>
#include <string.h>
#include "mapping.h"
#include "record.h"
#include "byte_strings.h"
#include "words.h"

#define PS_MODES    0170000u
#define PS_SET      04000u
#define PS_PRIORITY 0340u

static unsigned mode_of(uint16_t ps) { return ps >> 14; }
static int in_kernel(const ms_machine *m) { return mode_of(m->ps) == MS_KERNEL; }

/* --- PS, modes and register sets --------------------------------------------------------------------------------- */

uint16_t ms_get_ps(const ms_machine *m)
{
    return (uint16_t)(m->ps | m->n << 3 | m->z << 2 | m->v << 1 | m->c);
}

/* Bit 8, a suspended string instruction, comes with the commercial instructions. */
static uint16_t ps_bits(const ms_machine *m)
{
    return (uint16_t)(0377u | (m->modes > 1 ? PS_MODES : 0) | (m->register_sets > 1 ? PS_SET : 0) |
                      (m->modules & MS_FITTED(CIS) ? PS_SUSPENDED : 0));
}

/* The stack pointer that a mode uses; mode 10 is illegal, some let it use that of user mode (D45). */
static unsigned stack_of(const ms_machine *m, unsigned mode)
{
    return mode == MS_ILLEGAL_MODE && FLAG(illegal_mode, abort_r6_user) ? MS_USER : mode;
}

static void switch_set(ms_machine *m, unsigned from, unsigned to)
{
    if (from == to) return;
    memcpy(m->set[from], m->r, sizeof m->set[from]);
    memcpy(m->r, m->set[to], sizeof m->set[to]);
}

void ms_set_ps(ms_machine *m, uint16_t ps)
{
    ps &= ps_bits(m);
    m->stack[stack_of(m, mode_of(m->ps))] = m->r[6];
    m->r[6] = m->stack[stack_of(m, mode_of(ps))];
    switch_set(m, (m->ps & PS_SET) != 0, (ps & PS_SET) != 0);
    m->ps = ps & 0177760u;
    m->n = ps >> 3 & 1, m->z = ps >> 2 & 1, m->v = ps >> 1 & 1, m->c = ps & 1;
}

/* Outside of kernel mode the mode and set bits can only be set, and the priority stays [list-user-mode-rti]. */
void ms_return_ps(ms_machine *m, uint16_t ps)
{
    const uint16_t kept = m->ps & (PS_MODES | PS_SET | PS_PRIORITY);
    ms_set_ps(m, in_kernel(m) ? ps : (uint16_t)((ps & ~PS_PRIORITY) | kept));
}

void ms_write_ps(ms_machine *m, uint16_t ps)
{
    ms_set_ps(m, FLAG(ps_write_sets_t, can) ? ps : (uint16_t)((ps & ~PS_T) | (m->ps & PS_T)));
}

/* --- the previous mode (MFPI and its like, CSM) ------------------------------------------------------------------- */

uint16_t *ms_previous_stack(ms_machine *m)
{
    const unsigned previous = PREVIOUS_MODE;
    const unsigned mode = previous == MS_ILLEGAL_MODE && FLAG(previous_mode_10_r6, user_sp) ? MS_USER : previous;
    return stack_of(m, mode_of(m->ps)) == mode ? &m->r[6] : &m->stack[mode];
}

/* Where spaces are split, a user's program can't read its own text, which may be there to be executed only (unconfirmed). */
unsigned ms_previous_space(const ms_machine *m, int is_data)
{
    const int both_user = mode_of(m->ps) == MS_USER && PREVIOUS_MODE == MS_USER;
    return is_data || (both_user && FACT(mmr3, d_space)) ? MS_DATA_SPACE : MS_INSTRUCTION_SPACE;
}

void ms_check_ps_page(ms_machine *m)
{
    uint32_t physical;
    const ms_reference r = {0177776, (uint8_t)mode_of(m->ps), MS_DATA_SPACE, 1};
    if (ms_refer(m, r, &physical)) ms_abort(m, 0250);
}

/* All references first: what is given up has changed no register. */
void ms_call_supervisor(ms_machine *m, uint16_t operand)
{
    const uint16_t sp = m->r[6], old = m->ps;
    ms_store_to(m, MS_SUPERVISOR, MS_DATA_SPACE, (uint16_t)(sp - 2), old);
    ms_store_to(m, MS_SUPERVISOR, MS_DATA_SPACE, (uint16_t)(sp - 4), m->r[7]);
    ms_store_to(m, MS_SUPERVISOR, MS_DATA_SPACE, (uint16_t)(sp - 6), operand);
    const uint16_t pc = ms_load_from(m, MS_SUPERVISOR, MS_INSTRUCTION_SPACE, 010);
    const uint16_t modes = (uint16_t)(MS_SUPERVISOR << 14 | mode_of(old) << 12);
    ms_set_ps(m, (uint16_t)((ms_get_ps(m) & ~(PS_MODES | PS_T)) | modes));
    m->r[6] = (uint16_t)(sp - 6);
    m->r[7] = pc;
}

/* --- stack limit (D24) ------------------------------------------------------------------------------------------- */

/* The book of 1969 knows one trap below 400 and no red zone [handbook-1969 p. 43]; of the last chip only the yellow
 * trap is told. */
static int has_red_zone(const ms_machine *m)
{
    return !FLAG(stack_limit, fixed_400_yellow) && !m->profile.no_red_zone;
}

/* Kernel mode, or the only one; one processor has a fixed limit in user mode beside it [wiki-stacks]. */
static int has_limit(const ms_machine *m)
{
    if (FLAG(stack_limit, none) || FLAG(stack_limit, not_applicable)) return 0;
    return in_kernel(m) || (mode_of(m->ps) == MS_USER && m->profile.user_limit);
}

ms_zone ms_stack_zone(const ms_machine *m)
{
    const uint32_t limit = in_kernel(m) ? m->stack_limit : 0;
    if (!has_limit(m) || m->r[6] >= limit + 0400u) return MS_GREEN;
    return m->r[6] >= limit + 0340u || !has_red_zone(m) ? MS_YELLOW : MS_RED;
}

static int has_limit_register(const ms_machine *m)
{
    return FLAG(stack_limit, register) ||
           (FLAG(stack_limit, fixed_400_register_option) && m->modules & MS_FITTED(STACK_LIMIT));
}

/* --- traps ------------------------------------------------------------------------------------------------------- */

static void count(ms_machine *m, uint16_t vector)
{
    m->traps_by_vector[vector / 4 % MS_VECTORS]++;
    if (m->until.count) ms_until_trap(m, vector);
}

/* Two words of the vector, two pushes; or what the printed time of a trap has over the shortest instruction. */
static uint64_t trap_cycles_ns(const ms_machine *m)
{
    return m->times ? m->times->trap_ns - (uint64_t)m->base_ns : 4 * (uint64_t)m->cycle_ns;
}

void ms_pass_trap_time(ms_machine *m)
{
    m->time_ns += m->base_ns + trap_cycles_ns(m);
}

/* No row tells who has it; the processors of which it is told have three modes and 22 address bits (unconfirmed). */
int ms_has_error_register(const ms_machine *m)
{
    return m->profile.modes == 3 && FLAG(par_bits, 16);
}

static void note_error(ms_machine *m, unsigned bits)
{
    if (ms_has_error_register(m)) m->error_register |= (uint16_t)bits;
}

/* A cycle of the trap sequence, in the data space of a mode: 0, or -1 where an instruction would be given up. */
static int cycle(ms_machine *m, ms_mode mode, uint16_t address, ms_cycle kind, uint16_t *data)
{
    uint32_t physical;
    if (address & 1u && FLAG(odd_address_trap, yes)) {
        note_error(m, 0100);
        return -1;
    }
    address &= 0177776u;
    if (ms_refer(m, (ms_reference){address, (uint8_t)mode, MS_DATA_SPACE, kind != MS_CYCLE_READ}, &physical)) return -1;
    if (ms_bus_cycle(m, physical, kind, data)) {
        note_error(m, physical >= ms_io_base(m) ? 020 : 040);
        return -1;
    }
    if (m->tracing) ms_note_access(m, address, *data, kind == MS_CYCLE_READ ? MS_ACCESS_READ : MS_ACCESS_WRITE, 0);
    return 0;
}

static int take_vector(ms_machine *m, uint16_t vector, uint16_t old_ps)
{
    uint16_t pc = 0, ps = 0;
    if (m->follows && FLAG(mmr2_catches_vectors, yes)) m->mmr[2] = vector;
    if (cycle(m, MS_KERNEL, vector, MS_CYCLE_READ, &pc)) return -1;
    if (cycle(m, MS_KERNEL, (uint16_t)(vector + 2), MS_CYCLE_READ, &ps)) return -1;
    ms_set_ps(m, (uint16_t)((ps & ~(030000u | PS_SUSPENDED)) | (old_ps >> 2 & 030000u)));   /* previous mode: the old current one */
    m->r[7] = pc;
    return 0;
}

/* SP becomes 4, the old PS and PC are stored in 2 and 0, then the trap through 4; no memory there: halt. */
static void emergency_stack(ms_machine *m, uint16_t old_ps, uint16_t old_pc)
{
    m->yellow_due = 0;
    m->time_ns += trap_cycles_ns(m);
    if (take_vector(m, 04, old_ps) || cycle(m, MS_KERNEL, 2, MS_CYCLE_WRITE, &old_ps) ||
        cycle(m, MS_KERNEL, 0, MS_CYCLE_WRITE, &old_pc))
        m->halted = 1;
    m->r[6] = 0;
}

/* The stack of a trap can't be used (D19). */
static void double_error(ms_machine *m, uint16_t old_ps, uint16_t old_pc)
{
    if (FLAG(bad_stack_in_trap, emergency_stack)) {
        count(m, 04);
        emergency_stack(m, old_ps, old_pc);
    } else {
        m->yellow_due = 0;
        m->halted = 1;
        if (!m->octal.cause) m->octal.cause = 3;
    }
}

/* Pushes one word of a trap: 0, or -1 if the stack can't be used, or 1 if SP stands in the red zone. */
static int push(ms_machine *m, uint16_t word, int watch)
{
    m->r[6] -= 2;
    const ms_zone zone = ms_stack_zone(m);
    if (zone == MS_RED) return 1;
    if (zone == MS_YELLOW && watch) m->yellow_due = 1;
    return cycle(m, mode_of(m->ps), m->r[6], MS_CYCLE_WRITE, &word);
}

/* New PC and PS from the vector; the old PS, then the old PC go on the stack of the new mode [handbook-1969 p. 42].
 * watch: the pushes may overflow the stack. */
static void sequence(ms_machine *m, uint16_t vector, int watch)
{
    const uint16_t old_ps = ms_get_ps(m), old_pc = m->r[7];
    m->trace_due = m->waiting = 0;
    m->hold_interrupts = FLAG(first_service_instruction, always);
    int failed = take_vector(m, vector, old_ps);
    m->octal.cause = failed ? 1 : 0;
    if (!failed) failed = push(m, old_ps, watch);
    if (!failed) failed = push(m, old_pc, watch);
    if (failed > 0) {
        note_error(m, 04);
        count(m, 04);
        emergency_stack(m, old_ps, old_pc);
    } else if (failed) {
        double_error(m, old_ps, old_pc);
    }
}

/* Once a trap of memory management is due it comes behind the instruction, or behind the trap that made it due.  Its own
 * references bring no further one: its bit in MMR0 stands. */
void ms_mapping_trap(ms_machine *m)
{
    if (!m->mapping_due || m->halted) return;
    m->mapping_due = 0;
    ms_pass_trap_time(m);
    count(m, 0250);
    sequence(m, 0250, 1);
}

void ms_yellow_trap(ms_machine *m)
{
    m->yellow_due = 0;
    note_error(m, 010);
    count(m, 04);
    ms_pass_trap_time(m);
    sequence(m, 04, 0);            /* its own pushes bring no further one */
    ms_mapping_trap(m);
}

static void enter(ms_machine *m, uint16_t vector)
{
    sequence(m, vector, 1);
    ms_mapping_trap(m);
    if (m->yellow_due && !m->halted) ms_yellow_trap(m);
}

void ms_trap(ms_machine *m, uint16_t vector)
{
    count(m, vector);
    enter(m, vector);
}

void ms_trap_instead(ms_machine *m, uint16_t vector)
{
    m->time_ns += trap_cycles_ns(m);
    ms_trap(m, vector);
}

_Noreturn void ms_abort(ms_machine *m, uint16_t vector)
{
    m->abort_vector = vector;
    if (!m->abort_to) abort();     /* only instructions are given up; a host access never comes here */
    longjmp(*m->abort_to, 1);
}

/* The instruction is given up: its condition codes, and what it had begun to do to the stack limit, go with it. */
void ms_after_abort(ms_machine *m)
{
    const int red = m->red_due;
    m->red_due = m->yellow_due = m->trace_due = m->mapping_due = m->at_destination = 0;
    m->n = m->old_codes[0], m->z = m->old_codes[1], m->v = m->old_codes[2], m->c = m->old_codes[3];
    count(m, m->abort_vector);
    if (red) {
        m->hold_interrupts = FLAG(first_service_instruction, always);
        emergency_stack(m, ms_get_ps(m), m->r[7]);
        ms_mapping_trap(m);
    } else {
        m->time_ns += trap_cycles_ns(m);
        enter(m, m->abort_vector);
    }
}

/* --- interrupts -------------------------------------------------------------------------------------------------- */

static unsigned priority(const ms_machine *m)
{
    if (m->one_level) return m->ps & 0200u ? 7 : 0;        /* D23 */
    return m->ps >> 5 & 7;
}

/* The highest level that the program itself asks for: bit 9 is level 1, bit 15 level 7. */
static unsigned program_level(const ms_machine *m)
{
    unsigned level = 7;
    while (level && !(m->program_request >> (8 + level) & 1)) level--;
    return level;
}

static unsigned wanted_level(const ms_machine *m)
{
    const unsigned bus = m->request_line >= 0 ? m->request_level : 0, program = program_level(m);
    return bus > program ? bus : program;
}

int ms_interrupt_waits(const ms_machine *m)
{
    return !m->hold_interrupts && wanted_level(m) > priority(m);
}

int ms_interrupt_masked(const ms_machine *m)
{
    return priority(m) == 7;
}

void ms_take_interrupt(ms_machine *m)
{
    ms_pass_trap_time(m);
    if (program_level(m) < wanted_level(m)) {              /* at the same level the program request goes first */
        enter(m, ms_acknowledge(m, m->request_line));      /* which counts it by its vector */
    } else {
        m->taken_by_vector[0240 / 4]++;
        if (m->until.count) ms_until_trap(m, 0240);
        enter(m, 0240);
    }
}

/* --- HALT, RESET, power-up --------------------------------------------------------------------------------------- */

void ms_halt_outside_kernel(ms_machine *m)
{
    note_error(m, 0200);
    ms_trap_instead(m, FLAG(halt_not_kernel, 10) ? 010 : 04);
}

void ms_restart(ms_machine *m)
{
    m->time_ns += trap_cycles_ns(m) / 2;                   /* the two pushes */
    const uint16_t old_ps = ms_get_ps(m), old_pc = m->r[7];
    ms_set_ps(m, 0340);                                    /* unconfirmed: the PS of power-up */
    m->r[7] = (uint16_t)(m->start_pc + 4);
    if (push(m, old_ps, 1) || push(m, old_pc, 1)) double_error(m, old_ps, old_pc);
}

void ms_initialise(ms_machine *m)
{
    m->stack_limit = m->program_request = 0;               /* unconfirmed */
    m->mmr[0] = m->mmr[3] = 0;
    ms_mapping_changed(m);
    ms_bus_initialise(m);
    m->time_ns += m->reset_ns;
    ms_run_due(m);                                         /* clocks tick on, but nobody asks while the signal stands */
    ms_bus_initialise(m);
}

void ms_power_up(ms_machine *m, uint16_t pc, uint16_t ps)
{
    memset(m->r, 0, sizeof m->r);
    memset(m->set, 0, sizeof m->set);
    memset(m->stack, 0, sizeof m->stack);
    m->ps = m->n = m->z = m->v = m->c = 0;
    m->stack_limit = m->error_register = m->program_request = 0;
    m->trace_due = m->yellow_due = m->red_due = m->waiting = m->hold_interrupts = m->halted = m->mapping_due = 0;
    memset(m->mmr, 0, sizeof m->mmr);
    memset(m->par, 0, sizeof m->par);
    memset(m->pdr, 0, sizeof m->pdr);
    memset(m->bus_map, 0, sizeof m->bus_map);
    memset(m->ac, 0, sizeof m->ac);
    m->fps = m->fec = m->fea = m->float_due = 0;
    m->octal.at_work = m->octal.cause = m->octal.stepping = 0;
    m->octal.due = m->octal.at_power_up;
    ms_mapping_changed(m);
    ms_power_up_devices(m);
    ms_set_ps(m, ps);
    m->r[7] = m->start_pc = pc;
}

/* --- words of the I/O page --------------------------------------------------------------------------------------- */

static uint16_t request_word(uint16_t bits)
{
    unsigned level = 7;
    while (level && !(bits >> (8 + level) & 1)) level--;
    return (uint16_t)((bits & 0177000u) | level << 5 | level << 1);
}

/* Registers 0-7 of set 0, then of set 1 with the stack pointers of supervisor and user mode in places 6 and 7
 * (unconfirmed).  NULL: none there. */
static uint16_t *general_register(ms_machine *m, unsigned place)
{
    if (place == 7) return &m->r[7];
    if (place == 6) return in_kernel(m) ? &m->r[6] : &m->stack[MS_KERNEL];
    if (place >= 016) {
        const unsigned mode = place == 016 ? MS_SUPERVISOR : MS_USER;
        if (m->modes == 1 || (m->modes == 2 && mode == MS_SUPERVISOR)) return NULL;
        return mode_of(m->ps) == mode ? &m->r[6] : &m->stack[mode];
    }
    if (place >= 010 && m->register_sets == 1) return NULL;
    const unsigned set = place >> 3, current = (m->ps & PS_SET) != 0;
    if ((place & 7) > 5) return NULL;
    return set == current ? &m->r[place & 7] : &m->set[set][place & 7];
}

static int general_register_cycle(ms_machine *m, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    const int from_console = !m->abort_to;
    if (!FLAG(general_register_addresses, program) && !(from_console && FLAG(general_register_addresses, console_only)))
        return -1;
    uint16_t *r = general_register(m, offset & 017u);
    if (!r) return -1;
    if (cycle == MS_CYCLE_READ) *data = *r;
    else *r = cycle == MS_CYCLE_WRITE ? *data : (uint16_t)((*r & 0177400u) | (*data & 0377u));
    return 0;
}

static int ps_cycle(ms_machine *m, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    if (FLAG(ps_access, instructions)) return -1;          /* D22 */
    if (cycle == MS_CYCLE_READ) *data = ms_get_ps(m);
    else ms_write_ps(m, ms_merged(ms_get_ps(m), offset, cycle, *data));
    return 0;
}

static int limit_cycle(ms_machine *m, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    if (!has_limit_register(m)) return -1;
    if (cycle == MS_CYCLE_READ) *data = m->stack_limit;
    else m->stack_limit = ms_merged(m->stack_limit, offset, cycle, *data) & 0177400u;
    return 0;
}

/* Which processors have it is told nowhere; ours are those with SPL (unconfirmed). */
static int request_cycle(ms_machine *m, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    if (!(m->modules & MS_FITTED(SPL))) return -1;
    if (cycle == MS_CYCLE_READ) *data = request_word(m->program_request);
    else m->program_request = ms_merged(m->program_request, offset, cycle, *data) & 0177000u;
    return 0;
}

static int error_cycle(ms_machine *m, ms_cycle cycle, uint16_t *data)
{
    if (!ms_has_error_register(m)) return -1;
    if (cycle == MS_CYCLE_READ) *data = m->error_register;
    else m->error_register = 0;
    return 0;
}

int ms_processor_cycle(ms_machine *m, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    switch (offset & 017776u) {
    case 017776: return ps_cycle(m, offset, cycle, data);
    case 017774: return limit_cycle(m, offset, cycle, data);
    case 017772: return request_cycle(m, offset, cycle, data);
    case 017766: return error_cycle(m, cycle, data);
    default:
        if (offset >= 017700u && offset <= 017717u) return general_register_cycle(m, offset, cycle, data);
        return ms_mapping_cycle(m, offset, cycle, data);
    }
}
