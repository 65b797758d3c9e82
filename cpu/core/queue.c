/* queue.c - a binary heap that knows where each of its items is. */
#include "queue.h"

static int goes_before(ms_queued a, ms_queued b)
{
    return a.key < b.key || (a.key == b.key && a.item < b.item);
}

static void set(ms_queue *q, uint32_t at, ms_queued entry)
{
    q->heap[at] = entry;
    q->place[entry.item] = at + 1;
}

/* The place `at` is free: up from there until what stands above goes before the entry. */
static void rise(ms_queue *q, uint32_t at, ms_queued entry)
{
    while (at && goes_before(entry, q->heap[(at - 1) / 2])) {
        set(q, at, q->heap[(at - 1) / 2]);
        at = (at - 1) / 2;
    }
    set(q, at, entry);
}

/* The place `at` is free: down from there until the entry goes before what stands below. */
static void sink(ms_queue *q, uint32_t at, ms_queued entry)
{
    for (uint32_t below = 2 * at + 1; below < q->count; below = 2 * at + 1) {
        if (below + 1 < q->count && goes_before(q->heap[below + 1], q->heap[below])) below++;
        if (goes_before(entry, q->heap[below])) break;
        set(q, at, q->heap[below]);
        at = below;
    }
    set(q, at, entry);
}

/* The place `at` is free and the entry belongs near it. */
static void settle(ms_queue *q, uint32_t at, ms_queued entry)
{
    if (at && goes_before(entry, q->heap[(at - 1) / 2])) rise(q, at, entry);
    else sink(q, at, entry);
}

void ms_queue_put(ms_queue *q, uint32_t item, uint64_t key)
{
    const ms_queued entry = {key, item};
    if (q->place[item]) settle(q, q->place[item] - 1, entry);
    else rise(q, q->count++, entry);
}

void ms_queue_drop(ms_queue *q, uint32_t item)
{
    const uint32_t place = q->place[item];
    if (!place) return;
    q->place[item] = 0;
    const ms_queued last = q->heap[--q->count];
    if (place - 1 < q->count) settle(q, place - 1, last);
}

void ms_queue_empty(ms_queue *q)
{
    while (q->count) q->place[q->heap[--q->count].item] = 0;
}
