/* floating.c - the arithmetic of the floating point processor: exact in 128 bits, then rounded or chopped.
 *
 * Rounding adds half a unit of the last place to the magnitude, so all it needs is the exact magnitude cut off anywhere
 * below the half: every result here is exact, or cut off (towards zero) far below. */
#include "floating.h"

typedef unsigned __int128 wide;

/* (-1)^negative x fraction x 2^(exponent - 200 - point); fraction 0: zero. */
typedef struct { int negative, exponent, point; wide fraction; } number;

#define HIDDEN ((uint64_t)1 << 55)
#define GUARD  64                  /* bits below the last place of the greater operand of a sum */

static number unpacked(uint64_t value)
{
    number x = {.negative = (int)(value >> 63), .exponent = (int)ms_exponent(value), .point = MS_LONG_BITS};
    if (x.exponent) x.fraction = HIDDEN | (value & (HIDDEN - 1));
    return x;
}

static int width_of(wide x)
{
    const uint64_t high = (uint64_t)(x >> 64), low = (uint64_t)x;
    if (high) return 128 - __builtin_clzll(high);
    return low ? 64 - __builtin_clzll(low) : 0;
}

static ms_floating packed(number x, ms_precision p)
{
    if (!x.fraction) return (ms_floating){0, MS_FLOAT_GOOD};
    const int width = width_of(x.fraction), excess = width - p.bits;
    int exponent = x.exponent + width - x.point;
    if (excess <= 0) x.fraction <<= -excess;
    else x.fraction = (x.fraction + (p.chop ? 0 : (wide)1 << (excess - 1))) >> excess;
    if (x.fraction >> p.bits) x.fraction >>= 1, exponent++;
    const uint64_t fraction = (uint64_t)x.fraction << (MS_LONG_BITS - p.bits);
    const uint64_t value = (uint64_t)x.negative << 63 | (uint64_t)(exponent & 0377) << 55 | (fraction & (HIDDEN - 1));
    return (ms_floating){value, exponent > 0377 ? MS_FLOAT_OVERFLOW : exponent < 1 ? MS_FLOAT_UNDERFLOW : MS_FLOAT_GOOD};
}

/* The fraction of b in units of the guard below the last place of a number with an exponent greater by `apart`. */
static wide moved(wide fraction, int apart, int up)
{
    if (apart <= GUARD) return fraction << (GUARD - apart);
    if (apart >= GUARD + MS_LONG_BITS) return up;
    const wide cut = fraction >> (apart - GUARD);
    return cut + (up && cut << (apart - GUARD) != fraction);
}

/* What is subtracted is cut off upwards, so that the difference is cut off downwards. */
static number sum(number a, number b)
{
    if (!a.fraction) return b;
    if (!b.fraction) return a;
    if (a.exponent < b.exponent) return sum(b, a);
    const int differ = a.negative != b.negative;
    const wide greater = a.fraction << GUARD, smaller = moved(b.fraction, a.exponent - b.exponent, differ);
    number result = {a.negative, a.exponent, a.point + GUARD, greater + smaller};
    if (differ) result.fraction = greater - smaller;
    if (differ && greater < smaller) result.negative = b.negative, result.fraction = smaller - greater;
    return result;
}

static number product(number a, number b)
{
    return (number){a.negative ^ b.negative, a.exponent + b.exponent - 0200, a.point + b.point, a.fraction * b.fraction};
}

ms_floating ms_float_sum(uint64_t a, uint64_t b, ms_precision p) { return packed(sum(unpacked(a), unpacked(b)), p); }
ms_floating ms_float_difference(uint64_t a, uint64_t b, ms_precision p) { return ms_float_sum(a, b ^ MS_SIGN_BIT, p); }
ms_floating ms_float_product(uint64_t a, uint64_t b, ms_precision p) { return packed(product(unpacked(a), unpacked(b)), p); }
ms_floating ms_float_converted(uint64_t a, ms_precision p) { return packed(unpacked(a), p); }

ms_floating ms_float_quotient(uint64_t a, uint64_t b, ms_precision p)
{
    const number x = unpacked(a), y = unpacked(b);
    if (!y.fraction) return (ms_floating){0, MS_FLOAT_BY_ZERO};
    return packed((number){x.negative ^ y.negative, x.exponent - y.exponent + 0200, GUARD, (x.fraction << GUARD) / y.fraction}, p);
}

ms_floating ms_float_of_integer(int32_t integer, ms_precision p)
{
    const uint32_t magnitude = integer < 0 ? 0u - (uint32_t)integer : (uint32_t)integer;
    return packed((number){integer < 0, 0200, 0, magnitude}, p);
}

/* Bits of the product below the point are the fraction.  An integer that is wider than the format leaves none. */
ms_parts ms_float_split(uint64_t a, uint64_t b, ms_precision p)
{
    const number x = product(unpacked(a), unpacked(b));
    const ms_precision chopped = {p.bits, 1};
    const int below = x.point - (x.exponent - 0200), width = width_of(x.fraction);
    number integer = x, fraction = x;
    if (below >= width) integer.fraction = 0;
    else if (width - below > p.bits) fraction.fraction = 0;
    else integer.fraction = x.fraction >> below << below, fraction.fraction = x.fraction - integer.fraction;
    return (ms_parts){packed(fraction, p), packed(integer, chopped)};
}

int ms_float_compare(uint64_t a, uint64_t b)
{
    const number x = unpacked(a), y = unpacked(b);
    const int x_sign = !x.fraction ? 0 : x.negative ? -1 : 1, y_sign = !y.fraction ? 0 : y.negative ? -1 : 1;
    if (x_sign != y_sign) return x_sign < y_sign ? -1 : 1;
    const uint64_t left = a & ~MS_SIGN_BIT, right = b & ~MS_SIGN_BIT;
    if (!x_sign || left == right) return 0;
    return (left < right) == (x_sign > 0) ? -1 : 1;
}

int ms_float_to_integer(uint64_t a, int bits, int32_t *integer)
{
    const number x = unpacked(a);
    const int places = x.exponent - 0200;
    *integer = 0;
    if (places <= 0 || !x.fraction) return 0;
    if (places > bits) return -1;
    const int64_t magnitude = (int64_t)(x.fraction >> (MS_LONG_BITS - places)), limit = (int64_t)1 << (bits - 1);
    if (magnitude > limit || (magnitude == limit && !x.negative)) return -1;
    *integer = (int32_t)(x.negative ? -magnitude : magnitude);
    return 0;
}
