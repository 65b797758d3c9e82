/* floating.h - numbers of the floating point processor, and its arithmetic (floating.c).
 *
 * A number of 64 bits as an accumulator holds it: sign, eight bits of exponent with excess 200, 55 fraction bits behind a
 * hidden one; value = 0.1fff... x 2^(exponent - 200).  The short format is its upper half.  Exponent 0 counts as zero. */
#ifndef MS_FLOATING_H
#define MS_FLOATING_H

#include "record.h"

/* FPS */
#define MS_FPS_ERROR    0100000u
#define MS_FPS_NO_TRAP   040000u
#define MS_FPS_UNDEFINED  04000u   /* these four enable an exception each */
#define MS_FPS_UNDERFLOW  02000u
#define MS_FPS_OVERFLOW   01000u
#define MS_FPS_INTEGER     0400u
#define MS_FPS_DOUBLE      0200u
#define MS_FPS_LONG        0100u
#define MS_FPS_CHOP         040u
#define MS_FPS_MAINTENANCE  020u   /* parallel units, kernel mode */
#define MS_FPS_IMPLEMENTED 0147757u

/* FEC */
enum { MS_FEC_ILLEGAL = 02, MS_FEC_ZERO = 04, MS_FEC_INTEGER = 06, MS_FEC_OVERFLOW = 010, MS_FEC_UNDERFLOW = 012,
       MS_FEC_UNDEFINED = 014 };

#define MS_SHORT_PART    0xffffffff00000000u
#define MS_SHORT_BITS    24
#define MS_LONG_BITS     56
#define MS_SIGN_BIT      ((uint64_t)1 << 63)

/* To which format a result goes, and how. */
typedef struct { int bits, chop; } ms_precision;

/* end OVERFLOW or UNDERFLOW: value has its exponent modulo 400, sign and fraction right. */
typedef struct { uint64_t value; ms_float_end end; } ms_floating;
typedef struct { ms_floating fraction, integer; } ms_parts;

/* An operand of several words: `count` of them are in memory (an immediate one has only the first). */
typedef struct { uint16_t address; uint8_t mode, reg, kind, count; } ms_wide_operand;

static inline unsigned ms_exponent(uint64_t value) { return (unsigned)(value >> 55) & 0377u; }
static inline int ms_is_zero(uint64_t value) { return !ms_exponent(value); }
static inline int ms_is_undefined(uint64_t value) { return value >> 55 == 0400u; }

typedef ms_floating ms_arithmetic(uint64_t a, uint64_t b, ms_precision p);
ms_floating ms_float_sum(uint64_t a, uint64_t b, ms_precision p);
ms_floating ms_float_difference(uint64_t a, uint64_t b, ms_precision p);
ms_floating ms_float_product(uint64_t a, uint64_t b, ms_precision p);
ms_floating ms_float_quotient(uint64_t a, uint64_t b, ms_precision p);   /* BY_ZERO too */
ms_floating ms_float_converted(uint64_t a, ms_precision p);
ms_floating ms_float_of_integer(int32_t integer, ms_precision p);
ms_parts ms_float_split(uint64_t a, uint64_t b, ms_precision p);         /* MODF */
int ms_float_compare(uint64_t a, uint64_t b);                            /* -1, 0, 1: a below, equal, above b */
int ms_float_to_integer(uint64_t a, int bits, int32_t *integer);         /* chopped; -1: does not fit */

#endif
