/* until.c - see until.h. */
#include <string.h>
#include "machine.h"

void ms_until_clear(ms_machine *m)
{
    ms_until *u = &m->until;
    memset(u->term, 0, u->count * sizeof u->term[0]);
    u->count = u->watched = u->traced = 0;
    u->ring = 0;
    u->first = 0;
}

static int is_event(const ms_term *t) { return t->kind >= MS_TERM_TRAP; }

static int is_alone(const ms_until *u, const ms_term *t)
{
    for (unsigned i = 0; i < u->count; i++)
        if (&u->term[i] != t && u->term[i].of == t->of) return 0;
    return 1;
}

void ms_until_settle(ms_machine *m)
{
    ms_until *u = &m->until;
    u->watched = u->traced = 0;
    for (unsigned i = 0; i < u->count; i++) {
        ms_term *t = &u->term[i];
        t->is_alone = (uint8_t)is_alone(u, t);
        if (!t->is_alone || !is_event(t)) u->watched = 1;
        if (t->kind == MS_TERM_ACCESS) u->traced = 1;
    }
}

static int holds(const ms_machine *m, const ms_term *t)
{
    switch (t->kind) {
    case MS_TERM_PC: return m->r[7] == t->value && !m->waiting;
    case MS_TERM_REGISTER: return m->r[t->number] == t->value;
    default: return t->came == m->instructions + 1;
    }
}

uint32_t ms_until_held(const ms_machine *m)
{
    const ms_until *u = &m->until;
    uint32_t there = 0, failed = 0;
    for (unsigned i = 0; i < u->count; i++) {
        const uint32_t bit = (uint32_t)1 << u->term[i].of;
        there |= bit;
        if (!(failed & bit) && !holds(m, &u->term[i])) failed |= bit;
    }
    return there & ~failed;
}

/* --- events -------------------------------------------------------------------------------------------------------- */

static void came(ms_machine *m, ms_term *t)
{
    t->came = m->instructions + 1;
    if (t->is_alone) m->stop = MS_STOP_REACHED;
}

void ms_until_trap(ms_machine *m, uint16_t vector)
{
    ms_until *u = &m->until;
    for (unsigned i = 0; i < u->count; i++)
        if (u->term[i].kind == MS_TERM_TRAP && u->term[i].value == vector) came(m, &u->term[i]);
}

void ms_until_access(ms_machine *m, uint32_t first, uint32_t last, unsigned kind)
{
    ms_until *u = &m->until;
    for (unsigned i = 0; i < u->count; i++) {
        ms_term *t = &u->term[i];
        if (t->kind == MS_TERM_ACCESS && t->access_kinds & kind && last >= t->low && first <= t->high) came(m, t);
    }
}

/* One more byte: how much of the text now stands at the end of what was put out. */
static uint16_t matched(const ms_term *t, uint8_t byte)
{
    for (uint16_t length = (uint16_t)(t->matched + 1); length; length--) {
        uint16_t kept = (uint16_t)(t->matched + 1 - length);   /* the first `kept` matched bytes are given up */
        if (t->text[length - 1] == byte && !memcmp(t->text, t->text + kept, length - 1u)) return length;
    }
    return 0;
}

/* A text that stands complete is kept as far as its next one may have begun in it: of "aa", the second a. */
static uint16_t begun_again(const ms_term *t)
{
    for (uint16_t length = (uint16_t)(t->length - 1); length; length--)
        if (!memcmp(t->text, t->text + t->length - length, length)) return length;
    return 0;
}

void ms_until_byte(ms_machine *m, uint32_t ring, uint8_t byte)
{
    ms_until *u = &m->until;
    if (u->ring != ring) return;
    for (unsigned i = 0; i < u->count; i++) {
        ms_term *t = &u->term[i];
        if (t->kind != MS_TERM_TEXT || !t->length) continue;
        t->matched = matched(t, byte & u->text_mask);
        if (t->matched < t->length) continue;
        t->matched = begun_again(t);
        came(m, t);
    }
}
