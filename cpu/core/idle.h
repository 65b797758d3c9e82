/* idle.h - rounds of a polling loop that change nothing, and how they are passed over exactly.
 *
 * A program that waits goes round in a loop: it reads a device register, or a word that a service routine will set, and
 * branches back.  If one round ends with everything as it began, wrote nothing and read nothing whose reading has an
 * effect, then every further round is the same until something comes due.  So the rounds are counted, not run:
 * instructions, time, and how often each register was read come out as if they had been.
 *
 * Rounds are looked for only now and then (ms_idle.next_look): soon after something came due, then ever more seldom; a
 * program that never waits is left alone more and more. */
#ifndef MS_IDLE_H
#define MS_IDLE_H

#include "machine.h"

#define MS_ROUND_MOST 64u          /* instructions and register reads of the longest round that is found */

/* What a program can do to the processor without writing: general registers, and those of other sets and modes, PS. */
#define MS_OWN_BYTES (offsetof(ms_machine, old_codes) - offsetof(ms_machine, set))

typedef struct ms_round {
    uint16_t   r[8];               /* the processor at its beginning */
    uint8_t    own[MS_OWN_BYTES];
    uint64_t   time_ns, instructions;
    uint16_t   reads[MS_ROUND_MOST];   /* device registers read, in order */
    uint32_t   read_count;
    int        spoiled;            /* something was written, or a read had an effect */
} ms_round;

typedef struct {
    ms_round round;
    uint64_t next_look;            /* instructions of the machine at which a round is looked for */
    uint64_t patience;             /* how many until the look behind that */
    uint32_t busy;                 /* spans between two due times, one after the other, in which no round was found */
    uint32_t passed;               /* spans left in which none is looked for */
    int      looking, found;
} ms_idle;

void ms_idle_begin(ms_machine *m, ms_idle *idle);          /* of a run */
void ms_idle_due(ms_machine *m, ms_idle *idle);            /* something came due */
void ms_idle_look(ms_machine *m, ms_idle *idle);           /* from this instruction on */
void ms_idle_after(ms_machine *m, ms_idle *idle, uint64_t last);   /* after each instruction of a look; may pass over rounds */
void ms_round_read(ms_machine *m, uint32_t index);         /* by engine.c: a device register was read */

#endif
