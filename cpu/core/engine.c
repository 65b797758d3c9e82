/* engine.c - devices as data: registers, guarded effects, timed actions, request lines, rings of bytes.
 *
 * The rules (from memory of the manuals, firm): a request is the rising edge of (flag AND enable).  A flag that falls before the grant takes
 * the request back; flag and enable left set after service give no second interrupt; the enable switched off and on again
 * does.  Among pending lines the highest level wins, then the place nearest the processor, then the lower index.  A line
 * whose board no grant reaches stays pending for ever and is only counted.
 *
 * Nothing here trusts the tables blindly: ms_load has checked every index. */
#include <stdlib.h>
#include <string.h>
#include "export.h"
#include "idle.h"

/* The bus cycle during which effects run; lanes 0 outside of a write. */
typedef struct { uint16_t device, data, lanes, before; int32_t reg; } event;

static const event NO_CYCLE = {0, 0, 0, 0, -1};

/* --- request lines --------------------------------------------------------------------------------------------- */

static int enabled(const ms_machine *m, const ms_line *l)
{
    return !l->enable_mask || (m->registers[l->enable_register].value & l->enable_mask);
}

static int flagged(const ms_machine *m, const ms_line *l)
{
    return (m->registers[l->flag_register].value & l->flag_mask) != 0;
}

static void request(ms_line *l)
{
    l->pending = 1;
    if (!l->granted) l->refused++;
}

static int goes_before(const ms_machine *m, const ms_line *a, const ms_line *b)
{
    if (!m->one_level && a->level != b->level) return a->level > b->level;
    return a->order < b->order;
}

static void choose_line(ms_machine *m)
{
    int32_t best = -1;
    for (uint32_t i = 0; i < m->line_count; i++) {
        const ms_line *l = &m->lines[i];
        if (l->pending && l->granted && (best < 0 || goes_before(m, l, &m->lines[best]))) best = (int32_t)i;
    }
    m->request_line = best;
    m->request_level = best < 0 ? 0 : m->one_level ? 4 : m->lines[best].level;
}

static void settle_line(const ms_machine *m, ms_line *l)
{
    int on = enabled(m, l);
    if (l->edge_only_request) {
        if (!on) l->pending = 0;
        return;
    }
    int condition = on && flagged(m, l);
    if (condition && !l->condition) request(l);
    if (!condition) l->pending = 0;
    l->condition = (uint8_t)condition;
}

static void settle_all(ms_machine *m)
{
    for (uint32_t i = 0; i < m->line_count; i++) settle_line(m, &m->lines[i]);
    choose_line(m);
}

void ms_settle_lines(ms_machine *m, uint16_t device)
{
    for (uint32_t i = 0; i < m->line_count; i++)
        if (m->lines[i].device == device) settle_line(m, &m->lines[i]);
    choose_line(m);
}

/* --- timed actions ----------------------------------------------------------------------------------------------- */

static uint64_t now(const ms_machine *m)
{
    return m->event_ns != MS_NEVER ? m->event_ns : m->time_ns;
}

/* Behind the end of time nothing comes. */
static uint64_t later(uint64_t at, uint64_t by)
{
    return by >= MS_NEVER - at ? MS_NEVER : at + by;
}

/* The timed action that is due first; ties: the lower index goes first.  NULL: none is running. */
static ms_timer *first_due(const ms_machine *m)
{
    ms_timer *first = NULL;
    for (uint32_t i = 0; i < m->timer_count; i++)
        if (m->timers[i].due != MS_NEVER && (!first || m->timers[i].due < first->due)) first = &m->timers[i];
    return first;
}

static uint64_t first_due_ns(const ms_machine *m)
{
    const ms_timer *first = first_due(m);
    return first ? first->due : MS_NEVER;
}

/* next_due without anything that was taken back. */
static void look_ahead(ms_machine *m)
{
    const uint64_t due = first_due_ns(m);
    m->next_due = due < m->pause_ns ? due : m->pause_ns;
}

int ms_only_pause_is_due(const ms_machine *m)
{
    return m->pause_ns != MS_NEVER && m->pause_ns < first_due_ns(m);
}

static void set_due(ms_machine *m, ms_timer *t, uint64_t due)
{
    const uint64_t before = t->due;
    t->due = due;
    if (due < m->next_due) m->next_due = due;
    else if (before == m->next_due) look_ahead(m);
}

static void arm(ms_machine *m, ms_timer *t)
{
    set_due(m, t, later(now(m), t->delay));
}

/* --- effects ------------------------------------------------------------------------------------------------------- */

static int holds(const ms_machine *m, const ms_guard *g, const event *e)
{
    switch (g->kind) {
    case MS_IF_ALWAYS:     return 1;
    case MS_IF_VALUE:      return (m->registers[g->index].value & g->mask) == g->value;
    case MS_IF_NOT_VALUE:  return (m->registers[g->index].value & g->mask) != g->value;
    case MS_IF_WRITTEN:    return (e->lanes & g->mask) == g->mask && (e->data & g->mask) == g->value;
    case MS_IF_TOUCHED:    return (e->lanes & g->mask) != 0;
    case MS_IF_ROSE:       return e->reg >= 0 && (m->registers[e->reg].value & ~e->before & g->mask);
    case MS_IF_FELL:       return e->reg >= 0 && (~m->registers[e->reg].value & e->before & g->mask);
    case MS_IF_RING_HAS:   return m->rings[g->index].count != 0;
    case MS_IF_RING_EMPTY: return m->rings[g->index].count == 0;
    default:               return 0;
    }
}

static int all_hold(const ms_machine *m, const ms_effect *f, const event *e)
{
    for (int i = 0; i < f->guards; i++)
        if (!holds(m, &f->guard[i], e)) return 0;
    return 1;
}

static uint8_t ring_take(ms_ring *r)
{
    if (!r->count) return 0;
    uint8_t byte = r->bytes[r->head];
    r->head = (r->head + 1) % r->size;
    r->count--;
    return byte;
}

static void merge(ms_register *r, uint16_t mask, uint16_t bits)
{
    r->value = (uint16_t)((r->value & ~mask) | (bits & mask));
}

static void halt_line(ms_machine *m)
{
    m->halt_switch = 1;
    m->break_halt = 1;
}

static void call_host(ms_machine *m, const ms_effect *f, const event *e)
{
    if (m->call) m->call(m->handle, e->device, f->mask, f->index, e->data);
}

static void perform(ms_machine *m, const ms_effect *f, const event *e)
{
    ms_register *r = f->index < m->register_count ? &m->registers[f->index] : NULL;   /* ms_load saw to it where one is meant */
    switch (f->op) {
    case MS_DO_SET:      r->value |= f->mask; break;
    case MS_DO_CLEAR:    r->value &= (uint16_t)~f->mask; break;
    case MS_DO_COPY:     merge(r, f->mask, m->registers[f->from].value); break;
    case MS_DO_STORE:    merge(r, f->mask & e->lanes, e->data); break;
    case MS_DO_TAKE:     merge(r, f->mask, ring_take(&m->rings[f->from])); break;
    case MS_DO_PUT:      ms_ring_put(m, f->index, (uint8_t)(m->registers[f->from].value & f->mask)); break;
    case MS_DO_ARM:      arm(m, &m->timers[f->index]); break;
    case MS_DO_ARM_IDLE: if (m->timers[f->index].due == MS_NEVER) arm(m, &m->timers[f->index]); break;
    case MS_DO_DISARM:   set_due(m, &m->timers[f->index], MS_NEVER); break;
    case MS_DO_REQUEST:  if (enabled(m, &m->lines[f->index])) request(&m->lines[f->index]); break;
    case MS_DO_CANCEL:   m->lines[f->index].pending = 0; break;
    case MS_DO_CALL:     call_host(m, f, e); break;
    case MS_DO_HALT:     halt_line(m); break;
    default:             break;
    }
}

static void run_effects(ms_machine *m, int32_t first, int32_t count, const event *e)
{
    for (int32_t i = 0; i < count; i++) {
        const ms_effect *f = &m->effects[first + i];
        if (all_hold(m, f, e)) perform(m, f, e);
    }
}

void ms_do_effects(ms_machine *m, int32_t first, int32_t count, uint16_t device)
{
    if (first < 0 || count < 0 || (uint32_t)first + (uint32_t)count > m->effect_count) return;
    event e = NO_CYCLE;
    e.device = device;
    run_effects(m, first, count, &e);
    settle_all(m);
}

/* --- registers ------------------------------------------------------------------------------------------------------ */

int ms_register_read(ms_machine *m, uint32_t index, uint16_t *data)
{
    ms_register *r = &m->registers[index];
    if (!(r->answers & 1)) return -1;
    *data = r->value & r->readable;
    r->reads++;
    if (m->round) ms_round_read(m, index);
    if (r->on_read_count) {
        event e = {r->device, 0, 0, r->value, (int32_t)index};
        run_effects(m, r->on_read, r->on_read_count, &e);
        settle_all(m);
    }
    return 0;
}

int ms_register_write(ms_machine *m, uint32_t index, uint16_t data, uint16_t lanes)
{
    ms_register *r = &m->registers[index];
    if (!(r->answers & 2)) return -1;
    event e = {r->device, data, lanes, r->value, (int32_t)index};
    merge(r, r->writable & lanes, data);
    r->writes++;
    run_effects(m, r->on_write, r->on_write_count, &e);
    settle_all(m);
    return 0;
}

/* Guest time the host asked for: a due time like others, but no device sees it. */
static void pause(ms_machine *m)
{
    if (m->time_ns >= m->pause_ns) {
        m->pause_ns = MS_NEVER;
        m->stop = MS_STOP_REQUEST;
    } else if (m->pause_ns < m->next_due) {
        m->next_due = m->pause_ns;
    }
}

void ms_pause_at(ms_machine *m, uint64_t at)
{
    m->pause_ns = at;
    if (at < m->next_due) m->next_due = at;
}

void ms_run_due(ms_machine *m)
{
    for (;;) {
        ms_timer *next = first_due(m);
        m->next_due = next ? next->due : MS_NEVER;
        if (!next || next->due > m->time_ns) return pause(m);
        m->event_ns = next->due;
        next->due = next->period ? later(next->due, next->period) : MS_NEVER;
        event e = NO_CYCLE;
        e.device = next->device;
        run_effects(m, next->first, next->count, &e);
        m->event_ns = MS_NEVER;
        settle_all(m);
    }
}

uint16_t ms_acknowledge(ms_machine *m, int32_t line)
{
    ms_line *l = &m->lines[line];
    l->pending = 0;
    l->taken++;
    m->taken_by_vector[l->vector / 4]++;
    event e = NO_CYCLE;
    e.device = l->device;
    run_effects(m, l->on_acknowledge, l->on_acknowledge_count, &e);
    settle_all(m);
    return l->vector;
}

/* --- bus initialise and power-up --------------------------------------------------------------------------------- */

static void device_effects(ms_machine *m, int power)
{
    for (uint32_t i = 0; i < m->device_count; i++) {
        const ms_device *d = &m->devices[i];
        event e = NO_CYCLE;
        e.device = (uint16_t)i;
        if (power) run_effects(m, d->on_power, d->on_power_count, &e);
        else run_effects(m, d->on_init, d->on_init_count, &e);
    }
}

void ms_bus_initialise(ms_machine *m)
{
    for (uint32_t i = 0; i < m->register_count; i++)
        merge(&m->registers[i], (uint16_t)~m->registers[i].keep, m->registers[i].reset);
    for (uint32_t i = 0; i < m->timer_count; i++)
        if (!m->timers[i].survives_init) m->timers[i].due = MS_NEVER;
    look_ahead(m);
    for (uint32_t i = 0; i < m->line_count; i++) m->lines[i].pending = 0;   /* what stands through it is no edge */
    device_effects(m, 0);
    settle_all(m);
}

void ms_power_up_devices(ms_machine *m)
{
    for (uint32_t i = 0; i < m->register_count; i++) m->registers[i].value = m->registers[i].power;
    for (uint32_t i = 0; i < m->timer_count; i++) m->timers[i].due = MS_NEVER;
    for (uint32_t i = 0; i < m->line_count; i++) m->lines[i].condition = 0;
    m->next_due = MS_NEVER;
    ms_bus_initialise(m);
    for (uint32_t i = 0; i < m->timer_count; i++) {
        ms_timer *t = &m->timers[i];
        if (!t->runs_at_power_up) continue;
        t->due = later(m->time_ns, t->period ? t->period : t->delay);
        if (t->due < m->next_due) m->next_due = t->due;
    }
    device_effects(m, 1);
    settle_all(m);
}

/* --- rings ------------------------------------------------------------------------------------------------------------ */

/* Room for `more` bytes; fewer where memory or the limit ends. */
static size_t make_room(ms_ring *r, size_t more)
{
    if (r->count >= MS_RING_MOST) return 0;
    if (more > MS_RING_MOST - r->count) more = MS_RING_MOST - r->count;
    if (r->size - r->count >= more) return more;
    size_t size = r->size ? r->size : 64;
    while (size < r->count + more) size *= 2;
    uint8_t *bytes = malloc(size);
    if (!bytes) return r->size - r->count;
    for (size_t i = 0; i < r->count; i++) bytes[i] = r->bytes[(r->head + i) % r->size];
    free(r->bytes);
    r->bytes = bytes;
    r->size = size;
    r->head = 0;
    return more;
}

static size_t append(ms_ring *r, const uint8_t *bytes, size_t count)
{
    size_t room = make_room(r, count);
    for (size_t i = 0; i < room; i++) r->bytes[(r->head + r->count + i) % r->size] = bytes[i];
    r->count += room;
    r->lost += count - room;
    return room;
}

size_t ms_ring_feed(ms_machine *m, uint32_t ring, const uint8_t *bytes, size_t count)
{
    ms_ring *r = &m->rings[ring];
    int was_empty = !r->count;
    size_t added = append(r, bytes, count);
    r->total += added;
    if (added && was_empty) ms_do_effects(m, r->on_fill, r->on_fill_count, r->device);
    return added;
}

int ms_ring_restore(ms_machine *m, uint32_t ring, const uint8_t *bytes, size_t count)
{
    ms_ring *r = &m->rings[ring];
    r->head = r->count = 0;
    return append(r, bytes, count) == count ? 0 : -1;
}

size_t ms_ring_copy(const ms_machine *m, uint32_t ring, uint8_t *bytes, size_t room)
{
    const ms_ring *r = &m->rings[ring];
    size_t count = r->count < room ? r->count : room;
    for (size_t i = 0; i < count; i++) bytes[i] = r->bytes[(r->head + i) % r->size];
    return count;
}

size_t ms_ring_drain(ms_machine *m, uint32_t ring, uint8_t *bytes, size_t room)
{
    size_t count = 0;
    while (count < room && m->rings[ring].count) bytes[count++] = ring_take(&m->rings[ring]);
    return count;
}

/* One more byte: how much of the text now stands at the end of what was put out. */
static uint16_t matched(const ms_until *u, uint8_t byte)
{
    for (uint16_t length = (uint16_t)(u->text_matched + 1); length; length--) {
        uint16_t kept = (uint16_t)(u->text_matched + 1 - length);   /* the first `kept` matched bytes are given up */
        if (u->text[length - 1] == byte && !memcmp(u->text, u->text + kept, length - 1u)) return length;
    }
    return 0;
}

void ms_ring_put(ms_machine *m, uint32_t ring, uint8_t byte)
{
    ms_ring *r = &m->rings[ring];
    r->total += append(r, &byte, 1);
    ms_until *u = &m->until;
    if (!u->on_text || u->ring != ring || !u->text_length) return;
    u->text_matched = matched(u, byte & u->text_mask);
    if (u->text_matched < u->text_length) return;
    u->text_matched = 0;
    m->stop = MS_STOP_REACHED;
}
