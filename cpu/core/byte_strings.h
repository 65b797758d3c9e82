/* byte_strings.h - what the commercial string instructions share that needs no memory: their operands and their suspension.
 *
 * The bodies move the bytes (commercial.inc).  Between two bytes an instruction may be suspended: its operands and how far
 * it has come are pushed, eight words, PS bit 8 is set and PC goes back to the instruction.  Begun with bit 8 set, it
 * goes on from there; SP and bit 8 change when it has ended, so one that is given up can be begun again. */
#ifndef MS_BYTE_STRINGS_H
#define MS_BYTE_STRINGS_H

#include "machine.h"

#define PS_SUSPENDED 0400u
#define MS_FRAME_WORDS 8u
#define MS_OPERANDS_FOLLOW 0100u           /* bit of the first word: the operands follow it */

typedef enum {
    MS_MOVE, MS_MOVE_RIGHT, MS_TRANSLATE, MS_LOCATE, MS_SKIP, MS_SCAN, MS_SPAN, MS_COMPARE_STRINGS, MS_MATCH
} ms_string_act;

/* operand: as the registers R0 to R5 of the register form.  done: bytes behind us; inner: of the object of a match. */
typedef struct {
    uint16_t operand[6], done, inner;
    uint8_t  resumed;              /* the frame on the stack is ours */
    uint8_t  under_way;            /* something was done since it was begun or resumed */
} ms_string;

/* A move, laid out so that a source that overlaps the destination is read before it is overwritten. */
typedef struct { uint16_t from, to, fill_at, count; uint8_t backwards, both; } ms_move;
ms_move ms_lay_out(const ms_string *s, ms_string_act act);

uint32_t ms_byte_ns(const ms_machine *m);      /* assumed time of one byte of a string */
int ms_must_suspend(ms_machine *m);            /* after a byte: time passes; 1: an interrupt would be accepted */

/* Condition codes: of a comparison, and of what a search left. */
void ms_string_codes(ms_machine *m, unsigned first, unsigned second, unsigned top);

#endif
