/* queue.h - what comes first: numbered items with keys, the smallest key at the head; equal keys go by number.
 *
 * A binary heap with each item's place in it: putting in, moving and taking out take O(log n) steps, the head none. */
#ifndef MS_QUEUE_H
#define MS_QUEUE_H

#include <stdint.h>

typedef struct { uint64_t key; uint32_t item; } ms_queued;

typedef struct {
    ms_queued *heap;
    uint32_t  *place;      /* of each item: its place in the heap + 1, or 0 if it is not queued */
    uint32_t   count;
} ms_queue;

void ms_queue_put(ms_queue *q, uint32_t item, uint64_t key);   /* new, or moved to another key */
void ms_queue_drop(ms_queue *q, uint32_t item);                /* nothing happens if it is not queued */
void ms_queue_empty(ms_queue *q);

#endif
