/* lifetime.c - making and freeing a machine; checking the tables of its devices, so that none can lead outside. */
#include <stdlib.h>
#include <string.h>
#include "agenda.h"
#include "export.h"

#define MS_SHORTEST_NS 100u       /* no timed action comes faster: a WAIT must not stand in one place */

ms_machine *ms_new(uint32_t memory_bytes, uint8_t address_bits)
{
    if (address_bits != 16 && address_bits != 18 && address_bits != 22) return NULL;
    if (memory_bytes > (uint32_t)1 << address_bits) return NULL;
    ms_machine *m = calloc(1, sizeof *m);
    if (!m) return NULL;
    m->memory_bytes = memory_bytes;
    m->address_bits = address_bits;
    m->memory = calloc(1, (size_t)memory_bytes + 2);
    m->present = calloc(1, memory_bytes / MS_BANK_BYTES + 2);
    m->request_line = m->octal.keyboard = m->octal.arrival = -1;
    m->next_due = m->event_ns = m->pause_ns = MS_NEVER;
    m->modes = m->register_sets = 1;
    m->rows = m->rows_of;
    m->until.text_mask = 0177;
    m->agenda = ms_agenda_new(m);
    if (!m->memory || !m->present || !m->agenda) { ms_free(m); return NULL; }
    return m;
}

static void free_tables(ms_machine *m)
{
    for (uint32_t i = 0; i < m->ring_count; i++) free(m->rings[i].bytes);
    free(m->rings);
    free(m->rom);
    free(m->windows);
    free(m->registers);
    free(m->effects);
    free(m->timers);
    free(m->lines);
    free(m->devices);
}

void ms_free(ms_machine *m)
{
    if (!m) return;
    free(m->memory);
    free(m->present);
#ifdef MS_BLOCKS
    ms_free_blocks(m);
#endif
    free_tables(m);
    free(m->agenda);
    free(m);
}

/* --- checks: each gives NULL, or what is wrong ------------------------------------------------------------------- */

static int outside(int32_t first, int32_t count, uint32_t size)
{
    return count < 0 || (count && (first < 0 || (uint64_t)first + (uint64_t)count > size));
}

static const char *check_registers(const ms_tables *t)
{
    for (uint32_t i = 0; i < t->register_count; i++) {
        const ms_register *r = &t->registers[i];
        if (r->device >= t->device_count) return "a register names a device that does not exist";
        if (outside(r->on_read, r->on_read_count, t->effect_count)) return "a register's effects on read lie outside";
        if (outside(r->on_look, r->on_look_count, t->effect_count)) return "a register's effects before a read lie outside";
        if (outside(r->on_write, r->on_write_count, t->effect_count)) return "a register's effects on write lie outside";
    }
    return NULL;
}

static int bad_guard(const ms_tables *t, const ms_guard *g)
{
    switch (g->kind) {
    case MS_IF_VALUE: case MS_IF_NOT_VALUE:       return g->index >= t->register_count;
    case MS_IF_RING_HAS: case MS_IF_RING_EMPTY:   return g->index >= t->ring_count;
    default:                                      return g->kind > MS_IF_RING_EMPTY;
    }
}

static int bad_operands(const ms_tables *t, const ms_effect *f)
{
    switch (f->op) {
    case MS_DO_SET: case MS_DO_CLEAR: case MS_DO_STORE: case MS_DO_COUNT:
        return f->index >= t->register_count;
    case MS_DO_COPY:
        return f->index >= t->register_count || f->from >= t->register_count;
    case MS_DO_TAKE:
        return f->index >= t->register_count || f->from >= t->ring_count;
    case MS_DO_PUT:
        return f->index >= t->ring_count || f->from >= t->register_count;
    case MS_DO_ARM: case MS_DO_ARM_IDLE: case MS_DO_DISARM:
        return f->index >= t->timer_count;
    case MS_DO_REQUEST: case MS_DO_CANCEL:
        return f->index >= t->line_count;
    default:
        return f->op > MS_DO_COUNT;
    }
}

static const char *check_effects(const ms_tables *t)
{
    for (uint32_t i = 0; i < t->effect_count; i++) {
        const ms_effect *f = &t->effects[i];
        if (f->guards > sizeof f->guard / sizeof f->guard[0]) return "an effect has too many guards";
        if (bad_operands(t, f)) return "an effect names something that does not exist";
        for (int g = 0; g < f->guards; g++)
            if (bad_guard(t, &f->guard[g])) return "a guard names something that does not exist";
    }
    return NULL;
}

static const char *check_timers(const ms_tables *t)
{
    for (uint32_t i = 0; i < t->timer_count; i++) {
        const ms_timer *c = &t->timers[i];
        if (c->device >= t->device_count) return "a timed action names a device that does not exist";
        if (c->delay < MS_SHORTEST_NS || (c->period && c->period < MS_SHORTEST_NS)) return "a timed action is too fast";
        if (outside(c->first, c->count, t->effect_count)) return "the effects of a timed action lie outside";
    }
    return NULL;
}

static const char *check_lines(const ms_tables *t)
{
    for (uint32_t i = 0; i < t->line_count; i++) {
        const ms_line *l = &t->lines[i];
        if (l->device >= t->device_count) return "a request line names a device that does not exist";
        if (l->flag_register >= t->register_count || l->enable_register >= t->register_count)
            return "a request line names a register that does not exist";
        if (l->vector % 4 || l->vector >= 4 * MS_VECTORS) return "a vector is no multiple of 4 below 1000";
        if (l->level < 4 || l->level > 7) return "a request level is not 4 to 7";
        if (outside(l->on_acknowledge, l->on_acknowledge_count, t->effect_count)) return "the effects of a grant lie outside";
    }
    return NULL;
}

static const char *check_rings(const ms_tables *t)
{
    for (uint32_t i = 0; i < t->ring_count; i++) {
        if (t->rings[i].device >= t->device_count) return "a ring names a device that does not exist";
        if (outside(t->rings[i].on_fill, t->rings[i].on_fill_count, t->effect_count)) return "the effects of a ring lie outside";
    }
    return NULL;
}

static const char *check_devices(const ms_tables *t)
{
    for (uint32_t i = 0; i < t->device_count; i++) {
        const ms_device *d = &t->devices[i];
        if (outside(d->on_init, d->on_init_count, t->effect_count)) return "a device's effects at initialise lie outside";
        if (outside(d->on_power, d->on_power_count, t->effect_count)) return "a device's effects at power-up lie outside";
    }
    return NULL;
}

static const char *check_windows(const ms_tables *t)
{
    for (uint32_t i = 0; i < t->window_count; i++) {
        const ms_window *w = &t->windows[i];
        if ((uint32_t)w->first + w->words > MS_IO_WORDS) return "a ROM window lies outside the I/O page";
        if ((uint64_t)w->rom_first + w->rom_words > t->rom_words) return "a ROM window shows words that do not exist";
        if (w->page_register < -1 || (w->page_register >= 0 && (uint32_t)w->page_register >= t->register_count))
            return "a ROM window names a page register that does not exist";
        if (w->page_register >= 0 && (!w->page_words || w->page_shift > 15)) return "a ROM window has no pages";
    }
    return NULL;
}

static const char *check_all(const ms_tables *t)
{
    const char *(*const checks[])(const ms_tables *) = {
        check_registers, check_effects, check_timers, check_lines, check_rings, check_devices, check_windows};
    for (size_t i = 0; i < sizeof checks / sizeof checks[0]; i++) {
        const char *wrong = checks[i](t);
        if (wrong) return wrong;
    }
    return NULL;
}

/* --- loading ------------------------------------------------------------------------------------------------------- */

static void *copied(const void *from, uint32_t count, size_t size, int *failed)
{
    void *to = calloc((size_t)count + 1, size);
    if (!to) *failed = 1;
    else if (count) memcpy(to, from, count * size);
    return to;
}

/* No memory: then there are no tables at all, so that nothing leads from one into another that is not there. */
static const char *without_tables(ms_machine *m)
{
    m->register_count = m->effect_count = m->timer_count = m->line_count = m->ring_count = 0;
    m->device_count = m->window_count = m->rom_words = 0;
    return "no memory";
}

/* What follows from the tables. */
static const char *make_agenda(ms_machine *m)
{
    ms_agenda *agenda = ms_agenda_new(m);
    if (!agenda) return without_tables(m);
    free(m->agenda);
    m->agenda = agenda;
    ms_agenda_queue_timers(m);
    return NULL;
}

const char *ms_load(ms_machine *m, const ms_tables *t)
{
    if (m->device_count || m->register_count) return "the machine already has its devices";
    const char *wrong = check_all(t);
    if (wrong) return wrong;
    int failed = 0;
    free_tables(m);
#define COPY(what, n) m->what = copied(t->what, t->n, sizeof *m->what, &failed); m->n = failed ? 0 : t->n
    COPY(rings, ring_count);
    for (uint32_t i = 0; i < m->ring_count; i++) {
        m->rings[i].bytes = NULL;
        m->rings[i].size = m->rings[i].head = m->rings[i].count = 0;
    }
    COPY(registers, register_count);
    COPY(effects, effect_count);
    COPY(timers, timer_count);
    COPY(lines, line_count);
    COPY(devices, device_count);
    COPY(windows, window_count);
    COPY(rom, rom_words);
#undef COPY
    return failed ? without_tables(m) : make_agenda(m);
}
