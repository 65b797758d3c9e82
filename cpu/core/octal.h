/* octal.h - the octal console: what the microcode of a halted processor does at its console line (octal.c).
 *
 * It is a part of the processor, not of a device: it reads and writes 777560 to 777566 by bus cycles as a program would,
 * and while it works no instruction runs and no interrupt is taken. */
#ifndef MS_OCTAL_H
#define MS_OCTAL_H

typedef enum { MS_OCTAL_NONE, MS_OCTAL_FIRST, MS_OCTAL_LATER } ms_octal_kind;   /* none; first chip set; later ones */

typedef struct {
    uint8_t  kind;         /* ms_octal_kind */
    uint8_t  bits;         /* of its addresses: 16, 18 or 22 */
    uint8_t  on;           /* the host lets a halted processor go there; else a halt ends the run */
    uint8_t  at_work;      /* it has the processor */
    uint8_t  entered;      /* it has printed where the processor stands */
    uint8_t  open;         /* ms_octal_place of the open location, or MS_OCTAL_CLOSED */
    uint8_t  last;         /* the same of the last one that was open */
    uint8_t  naming;       /* R or $ was typed: 1 a name must follow, 2 it is in `name` */
    uint8_t  name;         /* 0 to 7, 8 for PS */
    uint8_t  digits;       /* digits were typed */
    uint8_t  cause;        /* last digit of M (unconfirmed) */
    uint8_t  stepping;     /* P with the halt line on: one instruction */
    uint8_t  leaving;      /* G or P: the processor runs when all is said */
    uint8_t  said, to_say; /* of `saying` */
    uint8_t  saying[32];   /* the most that a key brings are 23 characters */
    uint8_t  at_power_up;  /* the board is set to start here */
    uint8_t  due;          /* power came on so */
    uint32_t number;       /* the last 24 bits of what was typed */
    uint32_t address;      /* of the open or last memory location, or the register */
    int32_t  keyboard;     /* ring and timed action of the console's receiver: whether anything may still come; -1 none */
    int32_t  arrival;
} ms_octal;

typedef struct ms_machine ms_machine;
int ms_octal_begins(ms_machine *m);                        /* before a run: is the processor to stand at its console? */
void ms_octal_enter(ms_machine *m);                        /* the processor has halted */
int ms_octal_converse(ms_machine *m, uint64_t *last);      /* until the processor runs (0) or a stop; counts due times off `last` */

#endif
