/* ring.c - rings of bytes between host and guest. */
#include <stdlib.h>
#include "export.h"

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

uint8_t ms_ring_take(ms_machine *m, uint32_t ring)
{
    ms_ring *r = &m->rings[ring];
    if (!r->count) return 0;
    const uint8_t byte = r->bytes[r->head];
    r->head = (r->head + 1) % r->size;
    r->count--;
    return byte;
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
    while (count < room && m->rings[ring].count) bytes[count++] = ms_ring_take(m, ring);
    return count;
}

void ms_ring_put(ms_machine *m, uint32_t ring, uint8_t byte)
{
    ms_ring *r = &m->rings[ring];
    r->total += append(r, &byte, 1);
    if (m->until.count) ms_until_byte(m, ring, byte);
}
