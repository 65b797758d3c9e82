/* engine.c - devices as data: registers, guarded effects, timed actions, request lines.  Rings of bytes: ring.c.
 *
 * The rules (from memory of the manuals, firm): a request is the rising edge of (flag AND enable).  A flag that falls
 * before the grant takes the request back; flag and enable left set after service give no second interrupt; the enable
 * switched off and on again does.  Among pending lines the highest level wins, then the place nearest the processor, then
 * the lower index.  A line whose board no grant reaches stays pending for ever and is only counted.  Timed actions go by
 * due time, then by index.
 *
 * Nothing here trusts the tables blindly: ms_load has checked every index. */
#include "agenda.h"
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

/* The key of a line in the queue of requests: the highest level first, then the place nearest the processor. */
static uint64_t rank(const ms_machine *m, const ms_line *l)
{
    return (m->one_level ? 0 : 7u - l->level) * 0200000u + l->order;
}

static void set_pending(ms_machine *m, uint32_t index, int pending)
{
    ms_line *l = &m->lines[index];
    if (l->pending == pending) return;
    l->pending = (uint8_t)pending;
    if (!l->granted) return;
    if (pending) ms_queue_put(&m->agenda->requests, index, rank(m, l));
    else ms_queue_drop(&m->agenda->requests, index);
}

static void request(ms_machine *m, uint32_t index)
{
    set_pending(m, index, 1);
    if (!m->lines[index].granted) m->lines[index].refused++;
}

static void settle_line(ms_machine *m, uint32_t index)
{
    ms_line *l = &m->lines[index];
    const int on = enabled(m, l);
    if (l->edge_only_request) {
        if (!on) set_pending(m, index, 0);
        return;
    }
    const int condition = on && flagged(m, l);
    if (condition && !l->condition) request(m, index);
    if (!condition) set_pending(m, index, 0);
    l->condition = (uint8_t)condition;
}

/* After a load, bus initialise and power-up, and when the host may have changed anything. */
static void settle_all(ms_machine *m)
{
    ms_agenda *a = m->agenda;
    for (uint32_t i = 0; i < m->line_count; i++) settle_line(m, i);
    ms_queue_empty(&a->requests);
    for (uint32_t i = 0; i < m->line_count; i++)
        if (m->lines[i].pending && m->lines[i].granted) ms_queue_put(&a->requests, i, rank(m, &m->lines[i]));
    a->all_unsettled = 0;
}

static void choose_line(ms_machine *m)
{
    const ms_queue *requests = &m->agenda->requests;
    m->request_line = requests->count ? (int32_t)requests->heap[0].item : -1;
    m->request_level = !requests->count ? 0 : m->one_level ? 4 : m->lines[m->request_line].level;
}

/* Conditions and requests after a change.  A line depends on two registers and on no other line, so only lines whose
 * register has changed since they were settled are looked at, in any order. */
static void settle(ms_machine *m)
{
    ms_agenda *a = m->agenda;
    if (a->all_unsettled || a->calls) settle_all(m);
    while (a->unsettled_count) {
        const uint32_t line = a->unsettled[--a->unsettled_count];
        a->is_unsettled[line] = 0;
        settle_line(m, line);
    }
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

/* When the first timed action is due; ties: the lower index goes first. */
static uint64_t first_due_ns(const ms_machine *m)
{
    const ms_queue *timers = &m->agenda->timers;
    return timers->count ? timers->heap[0].key : MS_NEVER;
}

static void look_ahead(ms_machine *m)
{
    const uint64_t due = first_due_ns(m);
    m->next_due = due < m->pause_ns ? due : m->pause_ns;
}

int ms_only_pause_is_due(const ms_machine *m)
{
    return m->pause_ns != MS_NEVER && m->pause_ns < first_due_ns(m);
}

static void set_due(ms_machine *m, uint32_t timer, uint64_t due)
{
    m->timers[timer].due = due;
    if (due == MS_NEVER) ms_queue_drop(&m->agenda->timers, timer);
    else ms_queue_put(&m->agenda->timers, timer, due);
    look_ahead(m);
}

static void arm(ms_machine *m, uint32_t timer)
{
    set_due(m, timer, later(now(m), m->timers[timer].delay));
}

void ms_arm_at(ms_machine *m, uint32_t timer, uint64_t due)
{
    if (timer < m->timer_count) set_due(m, timer, due);
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

/* Every change of a register comes through here, but those of bus initialise and power-up. */
static void change(ms_machine *m, uint32_t index, uint16_t value)
{
    if (m->registers[index].value == value) return;
    m->registers[index].value = value;
    ms_agenda_changed(m->agenda, index);
}

static uint16_t merged(uint16_t old, uint16_t mask, uint16_t bits)
{
    return (uint16_t)((old & ~mask) | (bits & mask));
}

static void merge(ms_machine *m, uint32_t index, uint16_t mask, uint16_t bits)
{
    change(m, index, merged(m->registers[index].value, mask, bits));
}

static void halt_line(ms_machine *m)
{
    m->halt_switch = 1;
    m->break_halt = 1;
}

/* The host may change registers and lines in the tables meanwhile (timed actions by ms_arm_at alone). */
static void call_host(ms_machine *m, const ms_effect *f, const event *e)
{
    if (!m->call) return;
    m->agenda->calls++;
    m->call(m->handle, e->device, f->mask, f->index, e->data);
    m->agenda->calls--;
    m->agenda->all_unsettled = 1;
}

/* A line without a flag loses the request again when it is settled, unless its requests only come this way. */
static void request_if_enabled(ms_machine *m, uint32_t index)
{
    const ms_line *l = &m->lines[index];
    if (!enabled(m, l)) return;
    request(m, index);
    ms_agenda_changed(m->agenda, l->flag_register);
}

void ms_ask(ms_machine *m, uint32_t line)
{
    if (line < m->line_count) request_if_enabled(m, line);
}

/* ms_load saw to it that the index leads to what the act means. */
static void perform(ms_machine *m, const ms_effect *f, const event *e)
{
    switch (f->op) {
    case MS_DO_SET:      merge(m, f->index, f->mask, 0177777u); break;
    case MS_DO_CLEAR:    merge(m, f->index, f->mask, 0); break;
    case MS_DO_COPY:     merge(m, f->index, f->mask, m->registers[f->from].value); break;
    case MS_DO_STORE:    merge(m, f->index, f->mask & e->lanes, e->data); break;
    case MS_DO_TAKE:     merge(m, f->index, f->mask, ms_ring_take(m, f->from)); break;
    case MS_DO_PUT:      ms_ring_put(m, f->index, (uint8_t)(m->registers[f->from].value & f->mask)); break;
    case MS_DO_ARM:      arm(m, f->index); break;
    case MS_DO_ARM_IDLE: if (m->timers[f->index].due == MS_NEVER) arm(m, f->index); break;
    case MS_DO_DISARM:   set_due(m, f->index, MS_NEVER); break;
    case MS_DO_REQUEST:  request_if_enabled(m, f->index); break;
    case MS_DO_CANCEL:   set_pending(m, f->index, 0); break;
    case MS_DO_CALL:     call_host(m, f, e); break;
    case MS_DO_HALT:     halt_line(m); break;
    case MS_DO_COUNT:      change(m, f->index, (uint16_t)(m->registers[f->index].value + f->mask)); break;
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
    settle(m);
}

/* --- registers ------------------------------------------------------------------------------------------------------ */

int ms_register_read(ms_machine *m, uint32_t index, uint16_t *data)
{
    ms_register *r = &m->registers[index];
    if (!(r->answers & 1)) return -1;
    if (r->on_look_count) {
        event e = {r->device, 0, 0, r->value, (int32_t)index};
        run_effects(m, r->on_look, r->on_look_count, &e);
        settle(m);
    }
    *data = r->value & r->readable;
    r->reads++;
    if (m->round) ms_round_read(m, index);
    if (r->on_read_count) {
        event e = {r->device, 0, 0, r->value, (int32_t)index};
        run_effects(m, r->on_read, r->on_read_count, &e);
        settle(m);
    }
    return 0;
}

int ms_register_write(ms_machine *m, uint32_t index, uint16_t data, uint16_t lanes)
{
    ms_register *r = &m->registers[index];
    if (!(r->answers & 2)) return -1;
    event e = {r->device, data, lanes, r->value, (int32_t)index};
    merge(m, index, r->writable & lanes, data);
    r->writes++;
    run_effects(m, r->on_write, r->on_write_count, &e);
    settle(m);
    return 0;
}

/* Guest time the host asked for: a due time like others, but no device sees it. */
static void pause(ms_machine *m)
{
    if (m->time_ns >= m->pause_ns) {
        m->pause_ns = MS_NEVER;
        if (!m->stop) m->stop = MS_STOP_REQUEST;   /* what came at this very time goes first */
    } else if (m->pause_ns < m->next_due) {
        m->next_due = m->pause_ns;
    }
}

void ms_pause_at(ms_machine *m, uint64_t at)
{
    m->pause_ns = at;
    look_ahead(m);
}

/* The first timed action, at its own time; a periodic one is due again before its effects run. */
static void serve_first(ms_machine *m)
{
    const uint32_t index = m->agenda->timers.heap[0].item;
    const ms_timer *t = &m->timers[index];
    m->event_ns = t->due;
    set_due(m, index, t->period ? later(t->due, t->period) : MS_NEVER);
    event e = NO_CYCLE;
    e.device = t->device;
    run_effects(m, t->first, t->count, &e);
    m->event_ns = MS_NEVER;
    settle(m);
}

void ms_run_due(ms_machine *m)
{
    const ms_queue *timers = &m->agenda->timers;
    while (timers->count && timers->heap[0].key <= m->time_ns) serve_first(m);
    m->next_due = first_due_ns(m);
    pause(m);
}

uint16_t ms_acknowledge(ms_machine *m, int32_t line)
{
    ms_line *l = &m->lines[line];
    set_pending(m, (uint32_t)line, 0);
    l->taken++;
    m->taken_by_vector[l->vector / 4]++;
    if (m->until.count) ms_until_trap(m, l->vector);
    event e = NO_CYCLE;
    e.device = l->device;
    run_effects(m, l->on_acknowledge, l->on_acknowledge_count, &e);
    settle(m);
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

/* What stands through it is no edge: only requests are taken back, conditions stay. */
void ms_bus_initialise(ms_machine *m)
{
    if (m->round) m->round->spoiled = 1;                   /* no write, but it changes what a program waits for */
    for (uint32_t i = 0; i < m->register_count; i++) {
        ms_register *r = &m->registers[i];
        r->value = merged(r->value, (uint16_t)~r->keep, r->reset);
    }
    for (uint32_t i = 0; i < m->timer_count; i++)
        if (!m->timers[i].survives_init) m->timers[i].due = MS_NEVER;
    ms_agenda_queue_timers(m);
    look_ahead(m);
    for (uint32_t i = 0; i < m->line_count; i++) set_pending(m, i, 0);
    m->agenda->all_unsettled = 1;
    device_effects(m, 0);
    settle(m);
}

void ms_power_up_devices(ms_machine *m)
{
    for (uint32_t i = 0; i < m->register_count; i++) m->registers[i].value = m->registers[i].power;
    for (uint32_t i = 0; i < m->timer_count; i++) m->timers[i].due = MS_NEVER;
    for (uint32_t i = 0; i < m->line_count; i++) m->lines[i].condition = 0;
    ms_bus_initialise(m);
    for (uint32_t i = 0; i < m->timer_count; i++) {
        const ms_timer *t = &m->timers[i];
        if (t->runs_at_power_up) set_due(m, i, later(m->time_ns, t->period ? t->period : t->delay));
    }
    device_effects(m, 1);
    settle(m);
}
