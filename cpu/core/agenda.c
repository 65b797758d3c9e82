/* agenda.c - making the agenda of a machine from its tables. */
#include <stdlib.h>
#include "agenda.h"

/* The parts of the one block, the largest grain first. */
static void *part(char **at, size_t count, size_t size)
{
    void *here = *at;
    *at += count * size;
    return here;
}

static ms_agenda *allocated(size_t registers, size_t timers, size_t lines)
{
    const size_t entries = timers + lines, numbers = timers + lines + registers + 1 + 2 * lines + lines;
    char *at = calloc(1, sizeof(ms_agenda) + entries * sizeof(ms_queued) + numbers * sizeof(uint32_t) + lines);
    if (!at) return NULL;
    ms_agenda *a = part(&at, 1, sizeof *a);
    a->timers.heap = part(&at, timers, sizeof(ms_queued));
    a->requests.heap = part(&at, lines, sizeof(ms_queued));
    a->timers.place = part(&at, timers, sizeof(uint32_t));
    a->requests.place = part(&at, lines, sizeof(uint32_t));
    a->first_line = part(&at, registers + 1, sizeof(uint32_t));
    a->line = part(&at, 2 * lines, sizeof(uint32_t));
    a->unsettled = part(&at, lines, sizeof(uint32_t));
    a->is_unsettled = part(&at, lines, 1);
    return a;
}

/* Lines by register: how many each register has, where the last one of each ends, then all to their places from
 * behind. */
static void list_lines(ms_agenda *a, const ms_machine *m)
{
    uint32_t *first = a->first_line;
    for (uint32_t i = 0; i < m->line_count; i++) {
        first[m->lines[i].flag_register]++;
        first[m->lines[i].enable_register]++;
    }
    for (uint32_t r = 0; r < m->register_count; r++) first[r + 1] += first[r];
    for (uint32_t i = m->line_count; i--;) {
        a->line[--first[m->lines[i].flag_register]] = i;
        a->line[--first[m->lines[i].enable_register]] = i;
    }
}

void ms_agenda_queue_timers(ms_machine *m)
{
    ms_queue_empty(&m->agenda->timers);
    for (uint32_t i = 0; i < m->timer_count; i++)
        if (m->timers[i].due != MS_NEVER) ms_queue_put(&m->agenda->timers, i, m->timers[i].due);
}

ms_agenda *ms_agenda_new(const ms_machine *m)
{
    ms_agenda *a = allocated(m->register_count, m->timer_count, m->line_count);
    if (!a) return NULL;
    list_lines(a, m);
    a->all_unsettled = 1;
    return a;
}
