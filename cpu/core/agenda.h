/* agenda.h - what the engine keeps beside the tables of a machine so that it need not look through them: what is due
 * first, which request is the best, which lines a register concerns.
 *
 * It is one block: free() it.  All of it follows from the tables: ms_load makes it anew, so no freeze holds it. */
#ifndef MS_AGENDA_H
#define MS_AGENDA_H

#include "machine.h"
#include "queue.h"

struct ms_agenda {
    ms_queue  timers;          /* running timed actions by due time */
    ms_queue  requests;        /* pending lines that a grant can reach, best first */
    uint32_t *first_line;      /* register r is flag or enable of line[first_line[r]] to line[first_line[r + 1] - 1] */
    uint32_t *line;
    uint32_t *unsettled;       /* lines whose flag or enable register has changed, each once */
    uint8_t  *is_unsettled;    /* of each line: it stands in `unsettled` */
    uint32_t  unsettled_count;
    uint8_t   all_unsettled;   /* no line can be trusted, nor the queue of requests */
    uint32_t  calls;           /* calls of the host that run now: it may change registers, so no line can be trusted */
};

ms_agenda *ms_agenda_new(const ms_machine *m);   /* for the tables as they stand, timers not queued yet; NULL: no memory */
void ms_agenda_queue_timers(ms_machine *m);      /* the queue of timers anew from their due times */

/* A register has another value now. */
static inline void ms_agenda_changed(ms_agenda *a, uint32_t reg)
{
    for (uint32_t i = a->first_line[reg]; i < a->first_line[reg + 1]; i++) {
        if (a->is_unsettled[a->line[i]]) continue;
        a->is_unsettled[a->line[i]] = 1;
        a->unsettled[a->unsettled_count++] = a->line[i];
    }
}

#endif
