/* byte_strings.c - see byte_strings.h. */
#include "idle.h"
#include "byte_strings.h"
#include "record.h"

/* Nobody printed times of these instructions: eight bytes take an average instruction (assumed). */
uint32_t ms_byte_ns(const ms_machine *m)
{
    const uint32_t average = m->times ? m->times->rest_ns : m->base_ns + 2 * m->cycle_ns;
    return average / 8 + 1;
}

int ms_must_suspend(ms_machine *m)
{
    m->time_ns += ms_byte_ns(m);
    if (m->time_ns >= m->next_due) {
        if (m->round) m->round->spoiled = 1;               /* what came due is no part of a round */
        ms_run_due(m);
    }
    return (m->request_level || m->program_request) && ms_interrupt_waits(m);
}

/* Moves end with the fill behind the bytes moved; MOVRC has both at the other end.  Addresses go round at 64 KB, so a
 * long source can reach into the destination at both ends. */
ms_move ms_lay_out(const ms_string *s, ms_string_act act)
{
    const uint16_t *o = s->operand;
    const uint16_t count = o[0] < o[2] ? o[0] : o[2], right = act == MS_MOVE_RIGHT;
    ms_move move = {.count = count};
    move.from = (uint16_t)(o[1] + (right ? o[0] - count : 0));
    move.to = (uint16_t)(o[3] + (right ? o[2] - count : 0));
    move.fill_at = (uint16_t)(o[3] + (right ? 0 : count));
    if (act == MS_TRANSLATE || move.from == move.to) return move;
    move.backwards = (uint16_t)(move.to - move.from) < count;
    move.both = move.backwards && (uint16_t)(move.from - move.to) < count;
    return move;
}

void ms_string_codes(ms_machine *m, unsigned first, unsigned second, unsigned top)
{
    const unsigned difference = first - second;
    m->n = (difference & top) != 0;
    m->z = first == second;
    m->v = ((first ^ second) & (first ^ difference) & top) != 0;
    m->c = first < second;
}
