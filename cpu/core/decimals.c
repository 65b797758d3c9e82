/* decimals.c - see decimals.h. */
#include <string.h>
#include "decimals.h"

enum { ZONED, UNSIGNED_ZONED, TRAILING_OVERPUNCH, LEADING_OVERPUNCH, TRAILING_SEPARATE, LEADING_SEPARATE, PACKED, UNSIGNED_PACKED };

static int is_packed(ms_descriptor d) { return ms_decimal_type(d) >= PACKED; }
static int is_unsigned(ms_descriptor d) { return ms_decimal_type(d) == UNSIGNED_ZONED || ms_decimal_type(d) == UNSIGNED_PACKED; }
static int is_separate(ms_descriptor d) { return ms_decimal_type(d) == TRAILING_SEPARATE || ms_decimal_type(d) == LEADING_SEPARATE; }

/* --- bytes ------------------------------------------------------------------------------------------------------- */

/* Without digits nothing is there but the sign byte of a packed string. */
unsigned ms_decimal_bytes(ms_descriptor d)
{
    const unsigned length = ms_decimal_digits(d);
    if (is_packed(d)) return length / 2 + 1;
    return length && is_separate(d) ? length + 1 : length;
}

uint16_t ms_decimal_first(ms_descriptor d)
{
    return (uint16_t)(d.address - (ms_decimal_type(d) == LEADING_SEPARATE));
}

/* Place of a digit, 0 the lowest, among the bytes. */
static unsigned byte_of(ms_descriptor d, unsigned digit)
{
    if (is_packed(d)) return ms_decimal_bytes(d) - 1 - (digit + 1) / 2;
    return ms_decimal_digits(d) - 1 - digit + (ms_decimal_type(d) == LEADING_SEPARATE);
}

static unsigned shift_of(ms_descriptor d, unsigned digit) { return is_packed(d) && !(digit & 1u) ? 4 : 0; }

/* The byte that holds the sign: of strings with a sign, and with digits unless they are packed. */
static unsigned sign_byte(ms_descriptor d)
{
    const unsigned first = ms_decimal_type(d) == LEADING_OVERPUNCH || ms_decimal_type(d) == LEADING_SEPARATE;
    return first ? 0 : ms_decimal_bytes(d) - 1;
}

/* The digit under a sign: the preferred letters, then what is taken besides (unconfirmed). */
static const char plus_letters[] = "{ABCDEFGHI", minus_letters[] = "}JKLMNOPQR";

typedef struct { uint8_t digit, negative; } signed_digit;

static signed_digit overpunched(uint8_t byte)
{
    const char *plus = byte ? strchr(plus_letters, byte) : NULL, *minus = byte ? strchr(minus_letters, byte) : NULL;
    if (plus) return (signed_digit){(uint8_t)(plus - plus_letters), 0};
    if (minus) return (signed_digit){(uint8_t)(minus - minus_letters), 1};
    if (byte == 0133 || byte == 077) return (signed_digit){0, 0};
    if (byte == 0135 || byte == 041 || byte == 072) return (signed_digit){0, 1};
    return (signed_digit){byte & 017, 0};
}

static int has_minus(ms_descriptor d, const uint8_t *bytes)
{
    const uint8_t sign = bytes[sign_byte(d)];
    switch (ms_decimal_type(d)) {
    case ZONED: return sign >> 4 == 7;
    case TRAILING_OVERPUNCH: case LEADING_OVERPUNCH: return overpunched(sign).negative;
    case TRAILING_SEPARATE: case LEADING_SEPARATE: return sign == '-';
    case PACKED: return (sign & 017) == 013 || (sign & 017) == 015;
    default: return 0;
    }
}

static int is_overpunched_at(ms_descriptor d, unsigned byte)
{
    return (ms_decimal_type(d) == TRAILING_OVERPUNCH || ms_decimal_type(d) == LEADING_OVERPUNCH) && byte == sign_byte(d);
}

/* --- digits ------------------------------------------------------------------------------------------------------- */

/* Digits in use: 0 for zero. */
static unsigned size_of(const ms_decimal *x)
{
    unsigned size = MS_DIGITS;
    while (size && !x->digit[size - 1]) size--;
    return size;
}

static int compare_digits(const uint8_t *a, const uint8_t *b)
{
    unsigned i = MS_DIGITS;
    while (i && a[i - 1] == b[i - 1]) i--;
    return i ? a[i - 1] - b[i - 1] : 0;
}

/* Digits of any size become 0 to 9. */
static void settle(ms_decimal *x, const uint32_t *sums)
{
    uint32_t carry = 0;
    for (unsigned i = 0; i < MS_DIGITS; i++) {
        carry += sums[i];
        x->digit[i] = (uint8_t)(carry % 10);
        carry /= 10;
    }
}

/* a - b, a not below b. */
static void take_away(uint8_t *a, const uint8_t *b)
{
    int borrow = 0;
    for (unsigned i = 0; i < MS_DIGITS; i++) {
        const int left = a[i] - b[i] - borrow;
        borrow = left < 0;
        a[i] = (uint8_t)(left + 10 * borrow);
    }
}

void ms_decimal_read(ms_decimal *x, ms_descriptor d, const uint8_t *bytes)
{
    uint32_t sums[MS_DIGITS] = {0};
    for (unsigned i = 0; i < ms_decimal_digits(d); i++) {
        const uint8_t byte = bytes[byte_of(d, i)];
        const int punched = is_overpunched_at(d, byte_of(d, i));
        sums[i] = punched ? overpunched(byte).digit : byte >> shift_of(d, i) & 017;
    }
    settle(x, sums);                                       /* wrong digits: unpredictable, but digits */
    x->negative = 0;
    if (ms_decimal_bytes(d) && !is_unsigned(d)) x->negative = (uint8_t)(has_minus(d, bytes) && size_of(x));
}

static void write_sign(ms_descriptor d, int minus, uint8_t *bytes)
{
    uint8_t *at = &bytes[sign_byte(d)];
    switch (ms_decimal_type(d)) {
    case ZONED: *at |= minus ? 0160 : 060; break;
    case TRAILING_OVERPUNCH: case LEADING_OVERPUNCH: *at = (uint8_t)(minus ? minus_letters : plus_letters)[*at & 017]; break;
    case TRAILING_SEPARATE: case LEADING_SEPARATE: *at = minus ? '-' : '+'; break;
    case PACKED: *at |= minus ? 015 : 014; break;
    case UNSIGNED_PACKED: *at |= 017; break;
    default: break;
    }
}

/* What does not fit is cut off at the top; the sign is that of the whole number, even where only zeros are left. */
ms_codes ms_decimal_write(const ms_decimal *x, ms_descriptor d, uint8_t *bytes)
{
    const unsigned count = ms_decimal_bytes(d);
    unsigned any = 0;
    memset(bytes, is_packed(d) ? 0 : 060, count);
    for (unsigned i = 0; i < ms_decimal_digits(d); i++) {
        bytes[byte_of(d, i)] |= (uint8_t)(x->digit[i] << shift_of(d, i));
        any |= x->digit[i];
    }
    if (count) write_sign(d, x->negative, bytes);
    return (ms_codes){.n = any && x->negative && !is_unsigned(d), .z = !any, .v = size_of(x) > ms_decimal_digits(d)};
}

/* --- arithmetic ---------------------------------------------------------------------------------------------------- */

static void add(const ms_decimal *a, const ms_decimal *b, int b_negative, ms_decimal *result)
{
    uint32_t sums[MS_DIGITS];
    const int b_greater = compare_digits(a->digit, b->digit) < 0;
    const ms_decimal *greater = b_greater ? b : a, *smaller = b_greater ? a : b;
    const uint8_t negative = (uint8_t)(b_greater ? b_negative : a->negative);
    if (a->negative == b_negative) {
        for (unsigned i = 0; i < MS_DIGITS; i++) sums[i] = (uint32_t)a->digit[i] + b->digit[i];
        settle(result, sums);
    } else {
        memcpy(result->digit, greater->digit, sizeof result->digit);
        take_away(result->digit, smaller->digit);
    }
    result->negative = negative && size_of(result);
}

static void multiply(const ms_decimal *a, const ms_decimal *b, ms_decimal *result)
{
    uint32_t sums[MS_DIGITS] = {0};
    for (unsigned i = 0; i < size_of(a); i++)
        for (unsigned k = 0; k < size_of(b); k++) sums[i + k] += (uint32_t)a->digit[i] * b->digit[k];
    settle(result, sums);
    result->negative = (a->negative ^ b->negative) && size_of(result);
}

/* As by hand: bring down a digit, take the divisor away as often as it goes. */
static void divide(const ms_decimal *a, const ms_decimal *by, ms_decimal *result)
{
    ms_decimal rest = {0};
    memset(result, 0, sizeof *result);
    for (unsigned i = size_of(a); i--;) {
        memmove(rest.digit + 1, rest.digit, MS_DIGITS - 1);
        rest.digit[0] = a->digit[i];
        for (; compare_digits(rest.digit, by->digit) >= 0; result->digit[i]++) take_away(rest.digit, by->digit);
    }
    result->negative = (a->negative ^ by->negative) && size_of(result);
}

int ms_decimal_do(ms_decimal_act act, const ms_decimal *first, const ms_decimal *second, ms_decimal *result)
{
    if (act == MS_DECIMAL_DIVIDE && !size_of(first)) return -1;
    if (act == MS_DECIMAL_DIVIDE) divide(second, first, result);
    else if (act == MS_DECIMAL_MULTIPLY) multiply(first, second, result);
    else add(second, first, act == MS_DECIMAL_SUBTRACT ? !first->negative : first->negative, result);
    return 0;
}

int ms_decimal_compare(const ms_decimal *a, const ms_decimal *b)
{
    if (a->negative != b->negative) return b->negative - a->negative;
    const int difference = compare_digits(a->digit, b->digit);
    return a->negative ? -difference : difference;
}

/* To the right the rounding digit is added to the highest digit that is dropped; only its carry stays. */
void ms_decimal_shift(const ms_decimal *x, int places, unsigned rounding, ms_decimal *result)
{
    uint32_t sums[MS_DIGITS] = {0};
    for (int i = 0; i < (int)MS_DIGITS; i++)
        if (x->digit[i] && i + places >= 0) sums[i + places] = x->digit[i];
    if (places < 0) sums[0] += (x->digit[-places - 1] + rounding) / 10;
    settle(result, sums);
    result->negative = x->negative && size_of(result);
}

void ms_decimal_from_long(ms_decimal *x, uint32_t number)
{
    memset(x, 0, sizeof *x);
    x->negative = (uint8_t)(number >> 31);
    if (x->negative) number = 0u - number;
    for (unsigned i = 0; number; number /= 10) x->digit[i++] = (uint8_t)(number % 10);
}

/* The low 32 bits of the number; N and Z are theirs. */
ms_codes ms_decimal_to_long(const ms_decimal *x, uint32_t *number)
{
    const uint64_t limit = (uint64_t)1 << 31;
    uint64_t sum = 0;
    int wide = 0;
    for (unsigned i = size_of(x); i--;) {
        sum = sum * 10 + x->digit[i];
        wide |= sum > limit;
        sum &= 037777777777u;
    }
    *number = (uint32_t)(x->negative ? 0 - sum : sum);
    return (ms_codes){.n = *number >> 31, .z = !*number, .v = wide || (sum == limit && !x->negative), .c = x->negative && *number};
}
