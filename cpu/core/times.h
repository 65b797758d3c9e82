/* times.h - a table of printed instruction times (the profile's YAML; cpu/times.py fills it).
 *
 * The first line that fits a word gives its time.  A line for any mode has what the operands add by their modes on top
 * of it, a line for certain modes is the whole time.  Words without a line take the time of the rest, reserved words that
 * of a trap.  Two machines share their decode tables if these bytes are the same.
 */
#ifndef MS_TIMES_H
#define MS_TIMES_H

#include <stdint.h>

#define MS_TIME_LINES 128u
#define MS_ANY_MODE   (-1)

/* Lines of one record stand together. */
typedef struct { uint32_t ns; uint16_t record; int8_t source_mode, destination_mode; } ms_time_line;

typedef struct {
    uint32_t line_count;
    ms_time_line lines[MS_TIME_LINES];
    uint32_t source_ns[8], destination_ns[8];  /* added by mode */
    uint32_t read_less_ns;                     /* a destination in memory that is only read takes so much less */
    uint32_t rest_ns, rest_cycle_ns;           /* of an instruction without a line, and of each of its memory cycles */
    uint32_t trap_ns;                          /* of a trap or interrupt that is no instruction */
    uint32_t untaken_ns, odd_byte_ns;
} ms_times;

#endif
