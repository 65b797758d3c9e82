/* until.h - conditions that end a run: alternatives, each of terms that must all hold after one and the same instruction.
 *
 * Two kinds of terms.  States (PC, a register) are looked at between two instructions of the run.  Events (a text, an access,
 * a trap) keep the number of the instruction at or behind which they came.  Nothing is ever taken back, so a run may be cut
 * anywhere.  An alternative of a single event ends the run as soon as the event comes, on either core; all others are
 * `watched`: the reference core looks after each instruction. */
#ifndef MS_UNTIL_H
#define MS_UNTIL_H

#include <stdint.h>

#define MS_ALTERNATIVES 8u
#define MS_TERMS 32u
#define MS_TEXT_BYTES 256u

typedef enum { MS_TERM_PC, MS_TERM_REGISTER, MS_TERM_TRAP, MS_TERM_ACCESS, MS_TERM_TEXT } ms_term_kind;

typedef struct {
    uint8_t  kind, of;                 /* of: the alternative it belongs to */
    uint8_t  number;                   /* of the register */
    uint8_t  access_kinds;
    uint16_t value;                    /* PC, contents of the register, vector */
    uint16_t low, high;                /* access: virtual address range, inclusive */
    uint16_t length, matched;          /* of the text */
    uint8_t  is_alone;                 /* of its alternative; ms_until_settle */
    uint8_t  text[MS_TEXT_BYTES];
    uint64_t came;                     /* event: instructions of the machine when it came last, and 1; 0: it never did */
} ms_term;

typedef struct {
    uint8_t  count;                    /* of the terms; 0: no condition */
    uint8_t  watched, traced;          /* ms_until_settle: some alternative is watched; accesses are to be noted */
    uint8_t  text_mask;                /* bits of an output byte that are compared (0177 leaves out parity) */
    uint16_t ring;                     /* whose bytes are compared */
    uint64_t first;                    /* instructions of the machine when the run began */
    ms_term  term[MS_TERMS];
} ms_until;

struct ms_machine;
void ms_until_clear(struct ms_machine *m);
void ms_until_settle(struct ms_machine *m);                /* after the terms were set */
uint32_t ms_until_held(const struct ms_machine *m);        /* a bit for each alternative all terms of which hold now */

/* What comes.  The caller has looked whether there are terms. */
void ms_until_trap(struct ms_machine *m, uint16_t vector);
void ms_until_access(struct ms_machine *m, uint32_t first, uint32_t last, unsigned kind);
void ms_until_byte(struct ms_machine *m, uint32_t ring, uint8_t byte);

#endif
