/* mapping.c - see mapping.h.  What is not said where it stands is from memory, firm [processor-handbooks-1972-81]. */
#include <string.h>
#include "mapping.h"
#include "record.h"

#define PAGE_BYTES 020000u
#define NOWHERE    0100000000u         /* nobody answers there */
#define NARROW_TOP 0760000u            /* the I/O page in 18 bits */

/* PDR */
#define WRITTEN    0100u
#define ACCESSED   0200u               /* D48 */
#define DOWNWARDS  010u

/* --- who has what -------------------------------------------------------------------------------------------------- */

static int has_mapping(const ms_machine *m) { return (m->modules & MS_FITTED(MMU)) != 0; }
static int has_map(const ms_machine *m) { return (m->modules & MS_FITTED(MAP)) != 0; }
static int has_three_modes(const ms_machine *m) { return m->modes == 3; }

/* The processors that record steps of registers are those with three modes. */
static int has_mmr1(const ms_machine *m) { return has_three_modes(m); }

static uint16_t par_mask(const ms_machine *m) { return FLAG(par_bits, 16) ? 0177777u : 07777u; }

/* Cache bypass: the later processors with three modes (unconfirmed). */
static uint16_t pdr_mask(const ms_machine *m)
{
    const int three_bits = FLAG(pdr_access_and_trap_bits, yes), bypass = has_three_modes(m) && FLAG(par_bits, 16) && !three_bits;
    return (uint16_t)(077410u | (three_bits ? 7u : 6u) | (bypass ? 0100000u : 0));
}

static uint16_t mmr0_mask(const ms_machine *m)
{
    return (uint16_t)(MS_MMR0_FROZEN | MS_MMR0_ON | (FLAG(mmr0_maintenance, yes) ? MS_MMR0_MAINTENANCE : 0) |
                      (FLAG(mmr0_trap_bits, yes) ? MS_MMR0_TRAP | MS_MMR0_TRAP_ENABLE : 0));
}

static uint16_t mmr3_mask(const ms_machine *m)
{
    return (uint16_t)((FACT(mmr3, map_and_22bit) ? 060u : 0) | (FACT(mmr3, csm) ? 010u : 0) | (FACT(mmr3, d_space) ? 7u : 0));
}

static int is_frozen(const ms_machine *m) { return (m->mmr[0] & MS_MMR0_FROZEN) != 0; }
static int is_22_bit(const ms_machine *m) { return m->mmr[3] & 020u && FLAG(par_bits, 16); }

/* --- one reference ------------------------------------------------------------------------------------------------- */

/* A page as it stands in the registers; `par` is NULL in a mode that no page belongs to (D45). */
typedef struct { const uint16_t *par; uint16_t *pdr; } page;

static unsigned space_used(const ms_machine *m, unsigned mode, unsigned space)
{
    static const uint8_t bit_of_mode[4] = {2, 1, 0, 0};
    return space == MS_DATA_SPACE && m->mmr[3] >> bit_of_mode[mode] & 1u;
}

static int is_defined(const ms_machine *m, unsigned mode)
{
    return mode == MS_KERNEL || mode == MS_USER || (mode == MS_SUPERVISOR && has_three_modes(m));
}

static page page_of(ms_machine *m, ms_reference r)
{
    unsigned mode = r.mode;
    if (!is_defined(m, mode)) {
        if (!FLAG(illegal_mode, unsafe)) return (page){0};
        mode = MS_USER;                /* not defined: those of user mode (unconfirmed) */
    }
    const unsigned space = space_used(m, mode, r.space), number = r.address >> 13;
    return (page){&m->par[mode][space][number], &m->pdr[mode][space][number]};
}

/* What the access field lets through: bit 0 reads, 1 writes; bits 2 and 3 that they trap. */
static unsigned rights(const ms_machine *m, uint16_t pdr)
{
    enum { READ = 1, WRITE = 2, READ_TRAPS = 4, WRITE_TRAPS = 8 };
    static const uint8_t three_bits[8] = {
        0, READ | READ_TRAPS, READ, 0, READ | WRITE | READ_TRAPS | WRITE_TRAPS, READ | WRITE | WRITE_TRAPS, READ | WRITE, 0};
    static const uint8_t two_bits[4] = {0, READ, 0, READ | WRITE};
    return FLAG(pdr_access_and_trap_bits, yes) ? three_bits[pdr & 7u] : two_bits[pdr >> 1 & 3u];
}

static int is_beyond(uint16_t pdr, uint16_t address)
{
    const unsigned block = address >> 6 & 0177u, limit = pdr >> 8 & 0177u;
    return pdr & DOWNWARDS ? block < limit : block > limit;
}

/* Abort bits of MMR0.  Non-resident and length may come together, read only alone or with length. */
static unsigned refused(const ms_machine *m, uint16_t pdr, ms_reference r)
{
    const unsigned may = rights(m, pdr), length = is_beyond(pdr, r.address) ? MS_MMR0_LENGTH : 0;
    if (!(may & 1u)) return MS_MMR0_NOT_RESIDENT | length;
    return r.writes && !(may & 2u) ? MS_MMR0_READ_ONLY | length : length;
}

/* An address as it leaves the processor.  A narrow bus has no lines for the upper bits, but knows the I/O page. */
static uint32_t on_the_bus(const ms_machine *m, uint32_t address, unsigned bits)
{
    const uint32_t all = ((uint32_t)1 << bits) - 1, there = address & all;
    if (there > all - PAGE_BYTES) return ms_io_base(m) + (there & (PAGE_BYTES - 1));
    const uint32_t seen = there & (((uint32_t)1 << m->address_bits) - 1);
    return seen < ms_io_base(m) ? seen : NOWHERE;
}

static uint32_t relocated(const ms_machine *m, uint16_t par, uint16_t address)
{
    const int wide = is_22_bit(m);
    const uint32_t base = (uint32_t)(wide ? par : par & 07777u) << 6;
    return on_the_bus(m, base + (address & (PAGE_BYTES - 1)), wide ? 22 : 18);
}

static int is_relocated(const ms_machine *m)
{
    return m->mapped == MS_MAPPED || (m->mapped == MS_DESTINATION_MAPPED && m->at_destination);
}

unsigned ms_look(const ms_machine *m, ms_reference r, uint32_t *physical)
{
    if (!is_relocated(m)) {
        *physical = ms_physical(m, r.address);
        return 0;
    }
    const page p = page_of((ms_machine *)m, r);            /* looked at only */
    *physical = p.par ? relocated(m, *p.par, r.address) : NOWHERE;
    return p.par ? refused(m, *p.pdr, r) : MS_MMR0_NOT_RESIDENT;
}

int ms_seen_at(const ms_machine *m, uint16_t address, int is_instruction, uint32_t *physical)
{
    const unsigned space = is_instruction ? MS_INSTRUCTION_SPACE : MS_DATA_SPACE;
    return ms_look(m, (ms_reference){address, (uint8_t)ms_current_mode(m), (uint8_t)space, 0}, physical) ? -1 : 0;
}

static void record_abort(ms_machine *m, ms_reference r, unsigned wrong)
{
    if (is_frozen(m)) return;
    const unsigned space = is_defined(m, r.mode) ? space_used(m, r.mode, r.space) : 0;
    const unsigned where = (unsigned)r.mode << 5 | space << 4 | (unsigned)(r.address >> 13) << 1;
    m->mmr[0] = (uint16_t)((m->mmr[0] & ~0376u) | wrong | where);
    ms_mapping_changed(m);
}

/* A trap does not freeze; one is due until software has cleared its bit. */
static void mark(ms_machine *m, uint16_t *pdr, int writes)
{
    const unsigned traps = rights(m, *pdr) >> (writes ? 3 : 2) & 1u;
    const unsigned marks = (writes ? WRITTEN : 0) | (FLAG(pdr_access_and_trap_bits, yes) ? ACCESSED : 0);
    if ((*pdr & marks) != marks) {
        *pdr |= (uint16_t)marks;
        m->rows_made = 0;
    }
    if (!traps || !FLAG(mmr0_trap_bits, yes)) return;
    if (m->mmr[0] & MS_MMR0_TRAP_ENABLE && !(m->mmr[0] & MS_MMR0_TRAP)) m->mapping_due = 1;
    m->mmr[0] |= is_frozen(m) ? MS_MMR0_TRAP : MS_MMR0_TRAP | MS_MMR0_COMPLETED;
}

int ms_refer(ms_machine *m, ms_reference r, uint32_t *physical)
{
    const unsigned wrong = ms_look(m, r, physical);
    if (wrong) record_abort(m, r, wrong);
    else if (is_relocated(m)) mark(m, page_of(m, r).pdr, r.writes);
    m->referred = *physical;                               /* told of traced accesses only */
    return wrong ? -1 : 0;
}

/* --- following an instruction -------------------------------------------------------------------------------------- */

/* PC is left out: MMR2 has it (unconfirmed). */
void ms_follow_step(ms_machine *m, unsigned reg, unsigned by)
{
    const unsigned step = (by & 037u) << 3 | reg;
    if (reg == 7) return;
    if (!(m->mmr[1] & 0377u)) m->mmr[1] = (uint16_t)step;
    else if (!(m->mmr[1] & 0177400u)) m->mmr[1] |= (uint16_t)(step << 8);
}

void ms_mapping_changed(ms_machine *m)
{
    const int fitted = has_mapping(m), on = m->mmr[0] & MS_MMR0_ON, destination = m->mmr[0] & MS_MMR0_MAINTENANCE;
    m->mapped = !fitted ? MS_NOT_MAPPED : on ? MS_MAPPED : destination ? MS_DESTINATION_MAPPED : MS_NOT_MAPPED;
    m->follows = !fitted || is_frozen(m) ? 0 : has_mmr1(m) ? MS_FOLLOWS_PC | MS_FOLLOWS_STEPS : MS_FOLLOWS_PC;
    m->ram_top = m->mapped ? 0 : m->plain_top;
    m->rows_made = 0;
}

/* --- the bus map --------------------------------------------------------------------------------------------------- */

/* 31 windows of 8 KB for devices with 18 address bits; the last one is the I/O page [wiki-mmu]. */
uint32_t ms_from_bus(const ms_machine *m, uint32_t bus_address)
{
    if (!has_map(m)) return bus_address;
    const uint32_t number = bus_address >> 13 & 037u, in_window = bus_address & (PAGE_BYTES - 1);
    if (number == 037u) return ms_io_base(m) + in_window;
    if (!(m->mmr[3] & 040u)) return bus_address & 0777777u;
    return (((uint32_t)m->bus_map[number][1] << 16 | m->bus_map[number][0]) + in_window) & 017777777u;
}

/* --- words of the I/O page ------------------------------------------------------------------------------------------- */

/* Gives 0.  mask: the bits that a program can write; the others stay. */
static int word_cycle(uint16_t *word, uint16_t mask, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    if (cycle == MS_CYCLE_READ) *data = *word;
    else *word = (uint16_t)((*word & ~mask) | (ms_merged(*word, offset, cycle, *data) & mask));
    return 0;
}

/* Any write to PAR or PDR clears the marks of the page. */
static int page_cycle(ms_machine *m, unsigned mode, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    const unsigned space = offset >> 4 & 1u, number = offset >> 1 & 7u, is_par = offset >> 5 & 1u;
    if (mode == MS_SUPERVISOR && !has_three_modes(m)) return -1;
    if (space && !FACT(mmr3, d_space)) return -1;
    uint16_t *pdr = &m->pdr[mode][space][number];
    if (is_par) (void)word_cycle(&m->par[mode][space][number], par_mask(m), offset, cycle, data);
    else (void)word_cycle(pdr, pdr_mask(m), offset, cycle, data);
    if (cycle == MS_CYCLE_READ) return 0;
    *pdr &= (uint16_t)~(WRITTEN | ACCESSED);
    m->rows_made = 0;
    return 0;
}

static int status_cycle(ms_machine *m, unsigned number, uint16_t mask, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    (void)word_cycle(&m->mmr[number], mask, offset, cycle, data);
    if (cycle != MS_CYCLE_READ) ms_mapping_changed(m);
    return 0;
}

static int map_cycle(ms_machine *m, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    const unsigned number = offset >> 2 & 037u, high = offset >> 1 & 1u;
    if (!has_map(m) || number == 037u) return -1;
    return word_cycle(&m->bus_map[number][high], high ? 077u : 0177776u, offset, cycle, data);
}

int ms_mapping_cycle(ms_machine *m, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    if (offset >= 010200u && offset <= 010377u) return map_cycle(m, offset, cycle, data);
    if (!has_mapping(m)) return -1;
    switch (offset & 017700u) {
    case 012200: return page_cycle(m, MS_SUPERVISOR, offset, cycle, data);
    case 012300: return page_cycle(m, MS_KERNEL, offset, cycle, data);
    case 017600: return page_cycle(m, MS_USER, offset, cycle, data);
    default: break;
    }
    switch (offset & 017776u) {
    case 017572: return status_cycle(m, 0, mmr0_mask(m), offset, cycle, data);
    case 017574: return status_cycle(m, 1, 0, offset, cycle, data);
    case 017576: return status_cycle(m, 2, 0, offset, cycle, data);
    case 012516: return mmr3_mask(m) ? status_cycle(m, 3, mmr3_mask(m), offset, cycle, data) : -1;
    default: return -1;
    }
}

/* --- rows of the fast core ------------------------------------------------------------------------------------------- */

/* How much of a page, from its byte `first` on, is plain memory. */
static uint32_t plain_run(const ms_machine *m, uint32_t physical, uint32_t most)
{
    const uint32_t wide_top = has_map(m) ? MS_BUS_WINDOW : ms_io_base(m);
    const uint32_t top = is_22_bit(m) || wide_top < NARROW_TOP ? wide_top : NARROW_TOP;
    uint32_t end = physical & ~(MS_BANK_BYTES - 1);
    while (end < physical + most && end < top && end < m->memory_bytes && m->present[end / MS_BANK_BYTES]) end += MS_BANK_BYTES;
    if (end > m->memory_bytes) end = m->memory_bytes;
    if (end <= physical) return 0;
    return end - physical < most ? end - physical : most;
}

/* References that the reference core would let through without a trace. */
static ms_row row_of(ms_machine *m, unsigned space, unsigned number, int writes)
{
    const uint16_t low = (uint16_t)(number << 13);
    const page p = page_of(m, (ms_reference){low, (uint8_t)ms_current_mode(m), (uint8_t)space, (uint8_t)writes});
    if (!p.par) return (ms_row){0};
    const unsigned marks = (writes ? WRITTEN : 0) | (FLAG(pdr_access_and_trap_bits, yes) ? ACCESSED : 0);
    const unsigned may = rights(m, *p.pdr), limit = *p.pdr >> 8 & 0177u;
    const int traps = may >> (writes ? 3 : 2) & 1, allowed = may >> (writes != 0) & 1;
    if (!allowed || traps || (*p.pdr & marks) != marks) return (ms_row){0};
    const uint32_t from = *p.pdr & DOWNWARDS ? limit << 6 : 0, to = *p.pdr & DOWNWARDS ? PAGE_BYTES : (limit + 1) << 6;
    const uint32_t physical = relocated(m, *p.par, (uint16_t)(low + from));
    const uint32_t size = plain_run(m, physical, to - from);
    return (ms_row){.shift = physical - (low + from), .low = (uint16_t)(low + from), .size = (uint16_t)size};
}

void ms_make_rows(ms_machine *m)
{
    const unsigned mode = ms_current_mode(m);
    m->rows = &m->rows_of[mode];
    if (m->rows_made >> mode & 1) return;
    m->rows_made |= (uint8_t)(1u << mode);
    memset(m->rows, 0, sizeof *m->rows);
    if (m->mapped != MS_MAPPED) return;                    /* every row is empty: what is plain is settled by ram_top */
    for (unsigned number = 0; number < 8; number++) {
        m->rows->fetch[number] = row_of(m, MS_INSTRUCTION_SPACE, number, 0);
        m->rows->read[number] = row_of(m, MS_DATA_SPACE, number, 0);
#ifndef MS_BLOCKS                                          /* which keep decoded code of their own: no write passes them by */
        m->rows->write[number] = row_of(m, MS_DATA_SPACE, number, 1);
#endif
    }
}
