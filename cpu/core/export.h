/* export.h - what the binding sees beside machine.h: making a machine, loading its tables, and looking without touching. */
#ifndef MS_EXPORT_H
#define MS_EXPORT_H
#include "lockstep.h"
#include "machine.h"

/* The devices of one machine as data.  ms_load copies everything. */
typedef struct {
    const ms_register *registers; uint32_t register_count;
    const ms_effect   *effects;   uint32_t effect_count;
    const ms_timer    *timers;    uint32_t timer_count;
    const ms_line     *lines;     uint32_t line_count;
    const ms_ring     *rings;     uint32_t ring_count;
    const ms_device   *devices;   uint32_t device_count;
    const ms_window   *windows;   uint32_t window_count;
    const uint16_t    *rom;       uint32_t rom_words;
} ms_tables;

/* lifetime.c */
ms_machine *ms_new(uint32_t memory_bytes, uint8_t address_bits);   /* NULL: no memory, or sizes that can't be */
void ms_free(ms_machine *m);
const char *ms_load(ms_machine *m, const ms_tables *tables);       /* NULL, or what is wrong with the tables */

/* bus.c */
int  ms_fit_memory(ms_machine *m, uint32_t start, uint32_t bytes); /* whole banks; 0, or -1: outside the machine's memory */
int  ms_place(ms_machine *m, uint32_t offset, uint8_t kind, uint16_t index);  /* one word of the I/O page; 0 or -1 */
int  ms_put_memory(ms_machine *m, uint32_t physical, const uint8_t *bytes, uint32_t count);   /* past the bus; 0 or -1: outside.
                                                                      The only way for a host: cores may keep what they read */
int  ms_peek(ms_machine *m, uint32_t physical, uint16_t *data);    /* as a read cycle, but nothing happens */

/* dma.c.  `count` words from `address` on, over a board's own `bits` address lines (16 to 22); gives how many went before one
 * that nobody answered.  For the host during a call: devices may see the cycles. */
uint32_t ms_dma(ms_machine *m, uint32_t address, unsigned bits, int into_memory, uint16_t *words, uint32_t count);

/* engine.c */
void ms_arm_at(ms_machine *m, uint32_t timer, uint64_t due);       /* due at this guest time; MS_NEVER: not at all */
void ms_ask(ms_machine *m, uint32_t line);                         /* the line asks for an interrupt, if its enable holds */
void ms_pause_at(ms_machine *m, uint64_t at);                      /* the next ms_run ends with REQUEST at this guest time */
void ms_do_effects(ms_machine *m, int32_t first, int32_t count, uint16_t device);   /* by the host, outside of a bus cycle */

/* ring.c */
int  ms_ring_restore(ms_machine *m, uint32_t ring, const uint8_t *bytes, size_t count);  /* contents only, nothing happens */
size_t ms_ring_copy(const ms_machine *m, uint32_t ring, uint8_t *bytes, size_t room);    /* looks, takes nothing */

#endif
