/* idle.c - see idle.h. */
#include <string.h>
#include "idle.h"

#define FIRST_PATIENCE 32u         /* instructions: what leads to a wait again after an interrupt is seldom shorter */
#define MOST_BUSY 6u               /* a program that was busy for long is looked at in one span out of 63 */

static void begin_span(ms_machine *m, ms_idle *idle)
{
    m->round = NULL;
    m->tracing = 0;
    idle->looking = idle->found = 0;
    idle->patience = FIRST_PATIENCE;
    idle->next_look = idle->passed ? UINT64_MAX : m->instructions + FIRST_PATIENCE;
}

void ms_idle_begin(ms_machine *m, ms_idle *idle)
{
    idle->busy = idle->passed = 0;
    begin_span(m, idle);
}

void ms_idle_due(ms_machine *m, ms_idle *idle)
{
    if (idle->found) idle->busy = 0;
    else if (idle->passed) idle->passed--;
    else {
        if (idle->busy < MOST_BUSY) idle->busy++;
        idle->passed = (1u << idle->busy) - 2;
    }
    begin_span(m, idle);
}

static void stop_looking(ms_machine *m, ms_idle *idle)
{
    m->round = NULL;
    m->tracing = 0;
    idle->looking = 0;
    idle->patience *= 4;
    idle->next_look = m->instructions + idle->patience;
}

void ms_idle_look(ms_machine *m, ms_idle *idle)
{
    ms_round *round = &idle->round;
    memcpy(round->r, m->r, sizeof m->r);
    memcpy(round->own, m->set, MS_OWN_BYTES);
    round->time_ns = m->time_ns;
    round->instructions = m->instructions;
    round->read_count = 0;
    round->spoiled = 0;
    m->round = round;
    m->tracing = 1;
    idle->looking = 1;
}

void ms_round_read(ms_machine *m, uint32_t index)
{
    ms_round *round = m->round;
    if (m->registers[index].on_read_count || m->registers[index].on_look_count || round->read_count == MS_ROUND_MOST) round->spoiled = 1;
    else round->reads[round->read_count++] = (uint16_t)index;
}

static int is_back(const ms_machine *m, const ms_round *round)
{
    return !memcmp(round->r, m->r, sizeof m->r) && !memcmp(round->own, m->set, MS_OWN_BYTES);
}

/* Whole rounds that end before anything comes due, and not behind the last instruction of the run. */
static uint64_t rounds_ahead(const ms_machine *m, const ms_round *round, uint64_t last)
{
    const uint64_t by_count = (last - m->instructions) / (m->instructions - round->instructions);
    const uint64_t by_time = (m->next_due - 1 - m->time_ns) / (m->time_ns - round->time_ns);
    return by_count < by_time ? by_count : by_time;
}

static void pass_over(ms_machine *m, const ms_round *round, uint64_t rounds)
{
    for (uint32_t i = 0; i < round->read_count; i++) m->registers[round->reads[i]].reads += rounds;
    const uint64_t instructions = rounds * (m->instructions - round->instructions);
    m->instructions += instructions;
    m->passed_over += instructions;
    m->time_ns += rounds * (m->time_ns - round->time_ns);
}

void ms_idle_after(ms_machine *m, ms_idle *idle, uint64_t last)
{
    const ms_round *round = &idle->round;
    if (round->spoiled || m->halted || m->waiting || m->instructions - round->instructions > MS_ROUND_MOST) {
        stop_looking(m, idle);
    } else if (is_back(m, round)) {
        if (m->time_ns < m->next_due && m->time_ns > round->time_ns) pass_over(m, round, rounds_ahead(m, round, last));
        idle->found = 1;
        stop_looking(m, idle);
    }
}
