/* small_float.c - the arithmetic of FIS: sum, difference, product and quotient of two floating numbers of 32 bits.
 *
 * A number is (-1)^sign x fraction x 2^(exponent - 0200 - 24), with a fraction of 24 bits whose top bit is not stored.
 * Exponent 0 is zero, whatever stands beside it (with a sign: unconfirmed).  Results are exact and then rounded: half a
 * unit of the last place is added to the magnitude (unconfirmed for these units, firm for the large ones). */
#include "record.h"

#define HIDDEN (1u << 23)

typedef struct { int negative, exponent; uint64_t fraction; } number;    /* fraction 0: zero */

static number unpacked(uint16_t high, uint16_t low)
{
    number x = {.negative = high >> 15, .exponent = high >> 7 & 0377};
    if (x.exponent) x.fraction = HIDDEN | (uint64_t)(high & 0177u) << 16 | low;
    return x;
}

static int top_bit(uint64_t x)
{
    int top = -1;
    for (; x; x >>= 1) top++;
    return top;
}

/* x.fraction is any size: `top` is the place of its top bit where x.exponent is the exponent of the result. */
static ms_float_end packed(number x, int top, uint16_t result[2])
{
    if (!x.fraction) {
        result[0] = result[1] = 0;
        return MS_FLOAT_GOOD;
    }
    const int found = top_bit(x.fraction), excess = found - 23;
    x.exponent += found - top;
    if (excess > 0) x.fraction = (x.fraction + ((uint64_t)1 << (excess - 1))) >> excess;
    else x.fraction <<= -excess;
    if (x.fraction == 2 * HIDDEN) x.fraction = HIDDEN, x.exponent++;
    if (x.exponent > 0377) return MS_FLOAT_OVERFLOW;
    if (x.exponent < 1) return MS_FLOAT_UNDERFLOW;
    result[0] = (uint16_t)(x.negative << 15 | x.exponent << 7 | (x.fraction >> 16 & 0177));
    result[1] = (uint16_t)x.fraction;
    return MS_FLOAT_GOOD;
}

/* In units of 2^-38 of the last place of the greater exponent; what lies further down can't change the rounding, but
 * must not be lost. */
static number sum(number a, number b)
{
    if (!a.fraction) return (number){b.negative, b.exponent, b.fraction << 38};
    if (!b.fraction) return (number){a.negative, a.exponent, a.fraction << 38};
    if (a.exponent < b.exponent) return sum(b, a);
    const int apart = a.exponent - b.exponent;
    const uint64_t greater = a.fraction << 38, smaller = apart > 38 ? 1 : b.fraction << (38 - apart);
    if (a.negative == b.negative) return (number){a.negative, a.exponent, greater + smaller};
    if (greater >= smaller) return (number){a.negative, a.exponent, greater - smaller};
    return (number){b.negative, a.exponent, smaller - greater};
}

ms_float_end ms_small_float(ms_float_act act, const uint16_t b_then_a[4], uint16_t result[2])
{
    number b = unpacked(b_then_a[0], b_then_a[1]), a = unpacked(b_then_a[2], b_then_a[3]);
    switch (act) {
    case MS_FLOAT_SUBTRACT:
        b.negative = !b.negative;
        return packed(sum(a, b), 61, result);
    case MS_FLOAT_MULTIPLY:
        return packed((number){a.negative ^ b.negative, a.exponent + b.exponent - 0200, a.fraction * b.fraction}, 47, result);
    case MS_FLOAT_DIVIDE:
        if (!b.fraction) return MS_FLOAT_BY_ZERO;
        return packed((number){a.negative ^ b.negative, a.exponent - b.exponent + 0200, (a.fraction << 39) / b.fraction}, 38, result);
    default:
        return packed(sum(a, b), 61, result);
    }
}
