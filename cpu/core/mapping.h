/* mapping.h - memory management: where the references of a program lead, and what they leave behind.
 *
 * Eight pages of 8 KB to each mode and space, with a base (PAR) and a limit and access (PDR) each [wiki-mmu].  The
 * reference core asks for every reference (ms_refer); the fast core looks at rows made from the registers (ms_rows),
 * which hold only references that leave no trace: no written or accessed bit to set, no trap, plain memory behind.
 */
#ifndef MS_MAPPING_H
#define MS_MAPPING_H

#include "machine.h"

/* MMR0 */
#define MS_MMR0_ON           01u
#define MS_MMR0_MAINTENANCE  0400u     /* D43 */
#define MS_MMR0_COMPLETED    0200u     /* it was a trap, not an abort */
#define MS_MMR0_TRAP_ENABLE  01000u    /* D50 */
#define MS_MMR0_TRAP         010000u
#define MS_MMR0_READ_ONLY    020000u
#define MS_MMR0_LENGTH       040000u
#define MS_MMR0_NOT_RESIDENT 0100000u
#define MS_MMR0_FROZEN       (MS_MMR0_READ_ONLY | MS_MMR0_LENGTH | MS_MMR0_NOT_RESIDENT)

typedef enum { MS_INSTRUCTION_SPACE, MS_DATA_SPACE } ms_space;

/* m->mapped */
typedef enum { MS_NOT_MAPPED, MS_MAPPED, MS_DESTINATION_MAPPED } ms_mapping;

/* One reference. */
typedef struct { uint16_t address; uint8_t mode, space, writes; } ms_reference;

/* Where it leads: 0, or the abort bits of MMR0.  Nothing changes. */
unsigned ms_look(const ms_machine *m, ms_reference r, uint32_t *physical);
/* The same for an instruction: the page is marked, a trap may become due, an abort is recorded in MMR0.  0 or -1. */
int ms_refer(ms_machine *m, ms_reference r, uint32_t *physical);

/* For a host: where an address of the running program leads.  0, or -1: nowhere. */
int ms_seen_at(const ms_machine *m, uint16_t address, int is_instruction, uint32_t *physical);
void ms_mapping_changed(ms_machine *m);                    /* MMR0, MMR3, PAR or PDR were changed */
void ms_follow_step(ms_machine *m, unsigned reg, unsigned by);   /* MMR1: a register was stepped */
uint32_t ms_from_bus(const ms_machine *m, uint32_t bus_address); /* where a device's 18 bits lead: through the bus map */
int ms_mapping_cycle(ms_machine *m, uint32_t offset, ms_cycle cycle, uint16_t *data);   /* words of the I/O page; -1: nobody */
void ms_make_rows(ms_machine *m);                          /* m->rows, for the current mode */

static inline unsigned ms_current_mode(const ms_machine *m) { return m->ps >> 14; }

#endif
