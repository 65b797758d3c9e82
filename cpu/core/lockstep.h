/* lockstep.h - two machines that began alike, one on each core, compared after every instruction.
 *
 * Nothing of the struct is left out but what lockstep.c names, so a new field is compared without a word here.  On the
 * first difference everything stands still: the report says where it is, and both machines still show it. */
#ifndef MS_LOCKSTEP_H
#define MS_LOCKSTEP_H

#include "machine.h"

/* Where the two differ.  The index is that of a register, timer, line or ring. */
typedef enum {
    MS_IN_NOTHING, MS_IN_MACHINE, MS_IN_MEMORY, MS_IN_REGISTER, MS_IN_TIMER, MS_IN_LINE, MS_IN_RING, MS_IN_CONTENT, MS_IN_STOP,
    MS_IN_WIRING
} ms_part;

typedef struct {
    uint64_t instructions;         /* compared after each of them; a due time that did not end WAIT counts too */
    uint64_t by_fast;              /* of them done by handlers of the fast core */
    uint64_t trials, differences;  /* begun; 0 or 1 */
    uint32_t *by_word;             /* 65,536 counts of what the fast core did, by first word; NULL: not counted */
    ms_part  part;
    uint32_t index, offset;        /* the first byte that differs: its place in that part */
    uint32_t reference, fast;      /* the two bytes there; of STOP: the two reasons */
    uint16_t pc, word, ps;         /* before the last instruction */
    uint8_t  last_by_fast;         /* who did it */
    uint32_t stop;                 /* ms_stop: why the reference core ended */
} ms_comparison;

#define MS_TRIAL_WORDS 24u
#define MS_TRIAL_TIMERS 4u

/* A place to start from: the same is done to both machines. */
typedef struct {
    uint16_t r[8], ps;
    uint16_t stack_limit, program_request;
    uint16_t service[4];                       /* PC and PS of the traps through 4 and 10, so that few loop for ever */
    uint16_t at, count;                        /* so many words are stored from here on, where memory is */
    uint16_t words[MS_TRIAL_WORDS];
    uint16_t due[MS_TRIAL_TIMERS];             /* the first timers: due so many times 100 ns from now; 0: as they are */
} ms_trial;

/* Both add to the report, whose first fields begin as 0. */
void ms_lockstep(ms_machine *reference, ms_machine *fast, uint64_t limit, ms_comparison *report);
void ms_lockstep_trials(ms_machine *reference, ms_machine *fast, const ms_trial *trials, uint32_t count, uint64_t limit,
                        ms_comparison *report);
uint64_t ms_handler_of(const ms_machine *m, uint16_t word);    /* a number for each handler of the fast core; 0: none */

#endif
