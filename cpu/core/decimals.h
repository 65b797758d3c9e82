/* decimals.h - decimal strings of the commercial instruction set: their bytes, and arithmetic on their digits.
 *
 * No memory here: the bodies (commercial.inc) bring and take the bytes.  Digits lie lowest first. */
#ifndef MS_DECIMALS_H
#define MS_DECIMALS_H

#include <stdint.h>

typedef enum {
    MS_DECIMAL_ADD, MS_DECIMAL_SUBTRACT, MS_DECIMAL_MULTIPLY, MS_DECIMAL_DIVIDE, MS_DECIMAL_COMPARE, MS_DECIMAL_SHIFT,
    MS_DECIMAL_CONVERT, MS_DECIMAL_TO_LONG, MS_DECIMAL_FROM_LONG
} ms_decimal_act;

#define MS_MOST_DIGITS 31u         /* of a string */
#define MS_DIGITS 160u             /* of a number: 31 digits, shifted left by 127 places */
#define MS_DECIMAL_BYTES 32u       /* of a string: 31 digits and a sign */

typedef struct { uint8_t negative, digit[MS_DIGITS]; } ms_decimal;     /* zero is never negative */
typedef struct { uint16_t type_and_length, address; } ms_descriptor;
typedef struct { uint8_t n, z, v, c; } ms_codes;

static inline unsigned ms_decimal_type(ms_descriptor d) { return d.type_and_length >> 12 & 7u; }
static inline unsigned ms_decimal_digits(ms_descriptor d) { return d.type_and_length & 037u; }

/* Where the bytes of a string begin, and how many they are: a sign before the digits comes first. */
uint16_t ms_decimal_first(ms_descriptor d);
unsigned ms_decimal_bytes(ms_descriptor d);

void ms_decimal_read(ms_decimal *x, ms_descriptor d, const uint8_t *bytes);
ms_codes ms_decimal_write(const ms_decimal *x, ms_descriptor d, uint8_t *bytes);   /* preferred codes; V: digits were lost */

/* ADD to DIVIDE with the operands in the order of the handbook: second + first, second - first ... 0, or -1: division by 0. */
int  ms_decimal_do(ms_decimal_act act, const ms_decimal *first, const ms_decimal *second, ms_decimal *result);
int  ms_decimal_compare(const ms_decimal *a, const ms_decimal *b);                 /* below 0, 0, above 0 */
void ms_decimal_shift(const ms_decimal *x, int places, unsigned rounding, ms_decimal *result);
void ms_decimal_from_long(ms_decimal *x, uint32_t number);
ms_codes ms_decimal_to_long(const ms_decimal *x, uint32_t *number);

#endif
