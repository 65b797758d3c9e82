/* dma.c - words that a board moves over the bus by itself.
 *
 * A board drives as many address lines as it has; on the separate-line bus the bus map leads its 18 bits to memory
 * [wiki-mmu].  Its own top 8 KB are the I/O page (derived: all its upper lines are then 1, as the processor's are). */
#include "export.h"
#include "idle.h"
#include "mapping.h"

#define NOWHERE 0100000000u

/* Memory that lies behind the I/O page as the processor sees it is out of reach. */
static uint32_t place_of(const ms_machine *m, uint32_t address, unsigned bits)
{
    const uint32_t all = ((uint32_t)1 << bits) - 1, there = address & all & ~(uint32_t)1;
    if (there > all - 2 * MS_IO_WORDS) return ms_io_base(m) + (there & (2 * MS_IO_WORDS - 1));
    const uint32_t physical = ms_from_bus(m, there);
    return physical < ms_io_base(m) ? physical : NOWHERE;
}

uint32_t ms_dma(ms_machine *m, uint32_t address, unsigned bits, int into_memory, uint16_t *words, uint32_t count)
{
    if (bits < 16 || bits > 22) return 0;
    if (m->round) m->round->spoiled = 1;                   /* a loop that waits may wait for memory */
    for (uint32_t done = 0; done < count; done++) {
        const uint32_t at = place_of(m, address + 2 * done, bits);
        if (ms_bus_cycle(m, at, into_memory ? MS_CYCLE_WRITE : MS_CYCLE_READ, &words[done])) return done;
    }
    return count;
}
