/* lockstep.c - see lockstep.h. */
#include <string.h>
#include "export.h"
#include "mapping.h"
#include "record.h"

/* Parts of the struct that are compared after every instruction: from a field up to another.  Left out between them are
 *   paces to set          the fast core's own, of which nothing outlives a run
 *   old_codes ...         of the running instruction: the fast core does not keep them between two of a run
 *   step_register ...     the same
 *   present, io to agenda pointers (what they lead to is compared) and the wiring of the I/O page (compared once)
 *   abort_to, call, handle    pointers
 *   stop to the end       of the run */
#define SPAN(first, behind) {offsetof(ms_machine, first), offsetof(ms_machine, behind)}
static const struct { size_t from, to; } spans[] = {
    SPAN(r, paces), SPAN(set, old_codes), SPAN(stack_limit, step_register), SPAN(profile, present), SPAN(address_bits, io),
    SPAN(request_line, abort_to), SPAN(abort_vector, call), SPAN(until, stop)};

/* --- comparing ----------------------------------------------------------------------------------------------------- */

/* Gives 1 and says where, if the bytes are not the same; `base` is the offset of the first of them in the part. */
static int differs(ms_comparison *report, ms_part part, uint32_t index, const void *a, const void *b, size_t base, size_t size)
{
    if (!memcmp(a, b, size)) return 0;
    const uint8_t *left = a, *right = b;
    size_t i = 0;
    while (left[i] == right[i]) i++;
    report->part = part;
    report->index = index;
    report->offset = (uint32_t)(base + i);
    report->reference = left[i];
    report->fast = right[i];
    return 1;
}

static int struct_differs(const ms_machine *a, const ms_machine *b, ms_comparison *report)
{
    for (size_t i = 0; i < sizeof spans / sizeof spans[0]; i++) {
        const size_t from = spans[i].from, size = spans[i].to - from;
        if (differs(report, MS_IN_MACHINE, 0, (const char *)a + from, (const char *)b + from, from, size)) return 1;
    }
    return 0;
}

/* Rows of a table: which one, and where in it. */
static int rows_differ(ms_comparison *report, ms_part part, const void *a, const void *b, uint32_t count, size_t size)
{
    if (!count || !differs(report, part, 0, a, b, 0, count * size)) return 0;
    report->index = (uint32_t)(report->offset / size);
    report->offset = (uint32_t)(report->offset % size);
    return 1;
}

/* Both rings were filled alike, so their bytes stand at the same places. */
static int ring_differs(const ms_ring *a, const ms_ring *b, uint32_t index, ms_comparison *report)
{
    const size_t from = offsetof(ms_ring, size), to_end = a->size - a->head;
    if (differs(report, MS_IN_RING, index, (const char *)a + from, (const char *)b + from, from, sizeof *a - from)) return 1;
    if (!a->count) return 0;
    const size_t first = a->count < to_end ? a->count : to_end;
    return differs(report, MS_IN_CONTENT, index, a->bytes + a->head, b->bytes + b->head, 0, first) ||
           differs(report, MS_IN_CONTENT, index, a->bytes, b->bytes, first, a->count - first);
}

static int devices_differ(const ms_machine *a, const ms_machine *b, ms_comparison *report)
{
    if (rows_differ(report, MS_IN_REGISTER, a->registers, b->registers, a->register_count, sizeof *a->registers)) return 1;
    if (rows_differ(report, MS_IN_TIMER, a->timers, b->timers, a->timer_count, sizeof *a->timers)) return 1;
    if (rows_differ(report, MS_IN_LINE, a->lines, b->lines, a->line_count, sizeof *a->lines)) return 1;
    for (uint32_t i = 0; i < a->ring_count; i++)
        if (ring_differs(&a->rings[i], &b->rings[i], i, report)) return 1;
    return 0;
}

static int anything_differs(const ms_machine *a, const ms_machine *b, ms_comparison *report)
{
    return struct_differs(a, b, report) || differs(report, MS_IN_MEMORY, 0, a->memory, b->memory, 0, a->memory_bytes) ||
           devices_differ(a, b, report);
}

/* What no program changes: looked at once, before everything else is.  The offset says which. */
static int wiring_differs(const ms_machine *a, const ms_machine *b, ms_comparison *report)
{
    const uint32_t counts[2][9] = {
        {a->memory_bytes, a->register_count, a->effect_count, a->timer_count, a->line_count, a->ring_count, a->device_count,
         a->window_count, a->rom_words},
        {b->memory_bytes, b->register_count, b->effect_count, b->timer_count, b->line_count, b->ring_count, b->device_count,
         b->window_count, b->rom_words}};
    return differs(report, MS_IN_WIRING, 0, counts[0], counts[1], 0, sizeof counts[0]) ||
           differs(report, MS_IN_WIRING, 1, a->io, b->io, 0, sizeof a->io) ||
           differs(report, MS_IN_WIRING, 2, a->present, b->present, 0, a->memory_bytes / MS_BANK_BYTES) ||
           rows_differ(report, MS_IN_WIRING, a->effects, b->effects, a->effect_count, sizeof *a->effects) ||
           rows_differ(report, MS_IN_WIRING, a->windows, b->windows, a->window_count, sizeof *a->windows) ||
           rows_differ(report, MS_IN_WIRING, a->rom, b->rom, a->rom_words, sizeof *a->rom);
}

/* --- one instruction ----------------------------------------------------------------------------------------------- */

/* Nothing can come due within any one instruction.  The fast core never crosses a due time itself: the reference core
 * runs the instruction that does, and so it does here. */
static int is_quiet(const ms_machine *m)
{
    return m->next_due == MS_NEVER || m->next_due > m->time_ns + ms_dearest_ns(m);
}

/* On the fast core, if a handler does it: then what ms_run looks after at its end.  Both machines have the reference core
 * chosen, for everything else. */
static ms_stop step_fast(ms_machine *m, ms_comparison *report)
{
    report->last_by_fast = is_quiet(m) && ms_one_ahead(m);
    if (!report->last_by_fast) return ms_run(m, 1);
    report->by_fast++;
    if (report->by_word) report->by_word[report->word]++;
    return ms_run(m, 0);
}

/* MMR1 and MMR2 tell of one instruction.  The fast core does not keep them: the last one of every run is the reference
 * core's, which sets them both. */
static void follow(const ms_machine *reference, ms_machine *fast)
{
    fast->mmr[1] = reference->mmr[1];
    fast->mmr[2] = reference->mmr[2];
}

/* For the report: what the fast machine stands before. */
static void note_place(const ms_machine *m, ms_comparison *report)
{
    report->pc = m->r[7];
    report->ps = ms_get_ps(m);
    uint32_t at;
    report->word = 0;
    if (!ms_seen_at(m, m->r[7] & 0177776u, 1, &at) && at < ms_io_base(m)) (void)ms_peek((ms_machine *)m, at, &report->word);
}

static int stops_differ(ms_stop a, ms_stop b, ms_comparison *report)
{
    if (a == b) return 0;
    report->part = MS_IN_STOP;
    report->index = report->offset = 0;
    report->reference = (uint32_t)a;
    report->fast = (uint32_t)b;
    return 1;
}

static uint64_t counted(const ms_machine *m) { return m->instructions + m->naps; }

/* Gives 0 where it can't go on: they differ, or have stopped. */
static int step_both(ms_machine *reference, ms_machine *fast, ms_comparison *report)
{
    const uint64_t before = counted(reference);
    note_place(fast, report);
    report->stop = ms_run(reference, 1);
    const ms_stop other = step_fast(fast, report);
    if (report->last_by_fast) follow(reference, fast);
    report->instructions += counted(reference) - before;
    if (anything_differs(reference, fast, report) || stops_differ(report->stop, other, report)) report->differences++;
    return !report->differences && report->stop == MS_STOP_LIMIT && counted(reference) != before;
}

static void run_both(ms_machine *reference, ms_machine *fast, uint64_t limit, ms_comparison *report)
{
    const uint64_t end = report->instructions + limit;
    while (report->instructions < end && step_both(reference, fast, report)) { }
}

/* --- trials -------------------------------------------------------------------------------------------------------- */

/* From an even address on, as far as there is plain memory. */
static void store_words(ms_machine *m, unsigned at, const uint16_t *words, unsigned count)
{
    uint8_t bytes[2 * MS_TRIAL_WORDS];
    unsigned size = 0;
    for (; size < 2 * count && at + size < m->plain_top; size += 2) {
        bytes[size] = (uint8_t)words[size / 2];
        bytes[size + 1] = (uint8_t)(words[size / 2] >> 8);
    }
    if (size) ms_put_memory(m, at, bytes, size);
}

static void set_up(ms_machine *m, const ms_trial *t)
{
    m->waiting = m->hold_interrupts = 0;
    m->stack_limit = t->stack_limit & 0177400u;
    m->program_request = t->program_request & 0177000u;
    ms_set_ps(m, t->ps);
    memcpy(m->r, t->r, sizeof m->r);
    store_words(m, 04, t->service, 4);
    store_words(m, t->at & 0177776u, t->words, t->count < MS_TRIAL_WORDS ? t->count : MS_TRIAL_WORDS);
    for (uint32_t i = 0; i < MS_TRIAL_TIMERS && i < m->timer_count; i++)
        if (t->due[i]) ms_arm_at(m, i, m->time_ns + 100u * (uint64_t)t->due[i]);
}

static int begin(const ms_machine *reference, const ms_machine *fast, ms_comparison *report)
{
    if (wiring_differs(reference, fast, report) || anything_differs(reference, fast, report)) report->differences++;
    return !report->differences;
}

void ms_lockstep_trials(ms_machine *reference, ms_machine *fast, const ms_trial *trials, uint32_t count, uint64_t limit,
                        ms_comparison *report)
{
    const uint8_t cores[2] = {reference->core, fast->core};
    reference->core = fast->core = MS_CORE_REFERENCE;
    int goes_on = begin(reference, fast, report);
    for (uint32_t i = 0; goes_on && i < count; i++) {
        set_up(reference, &trials[i]);
        set_up(fast, &trials[i]);
        report->trials++;
        run_both(reference, fast, limit, report);
        goes_on = !report->differences;
    }
    reference->core = cores[0], fast->core = cores[1];
}

void ms_lockstep(ms_machine *reference, ms_machine *fast, uint64_t limit, ms_comparison *report)
{
    const uint8_t cores[2] = {reference->core, fast->core};
    reference->core = fast->core = MS_CORE_REFERENCE;
    if (begin(reference, fast, report)) run_both(reference, fast, limit, report);
    reference->core = cores[0], fast->core = cores[1];
}

/* HALT never has a handler. */
uint64_t ms_handler_of(const ms_machine *m, uint16_t word)
{
    return !m->paces || m->paces[word] == m->paces[0] ? 0 : (uint64_t)(uintptr_t)m->paces[word];
}
