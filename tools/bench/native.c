/* native.c - the five loops in C, for the compiler of this computer; engines.py compiles it with -O2.
 *
 * Each works on 64 KB that its caller holds, so nothing can be left out; the places (DATA, PASSES ...) are given on the
 * command line, from layout.py.  What the compiler makes of a loop is its own affair (it sets all flags of the sieve
 * with one call).
 */
#include <stdint.h>

#define WORD(address) (*(uint16_t *)(memory + (address)))
#define FLAGS 8191u

void sieve(uint8_t *memory)
{
    uint8_t *flags = memory + DATA;
    do {
        unsigned count = 0;
        for (unsigned i = 0; i < FLAGS; i++) flags[i] = 1;
        for (unsigned i = 0; i < FLAGS; i++) {
            if (!flags[i]) continue;
            const unsigned prime = i + i + 3;
            for (unsigned k = i + prime; k < FLAGS; k += prime) flags[k] = 0;
            count++;
        }
        WORD(FIRST_RESULT) += count;
    } while (--WORD(PASSES));
}

/* Word by word upwards, as the guest does it: where the two areas are, the compiler is not told. */
static __attribute__((noinline)) void copy_words(uint16_t *to, const uint16_t *from, unsigned left)
{
    for (; left; left--) *to++ = *from++;
}

void copy(uint8_t *memory)
{
    do {
        WORD(DATA)++;
        copy_words(&WORD(SECOND_DATA), &WORD(DATA), 4000);
    } while (--WORD(PASSES));
}

void rmw(uint8_t *memory)
{
    do {
        uint16_t *at = &WORD(DATA);
        uint16_t found = 0;
        for (unsigned left = 2000; left; left--) {
            ++*at;
            WORD(FIRST_RESULT) += *at++;
            if ((uint16_t)(2 * ((uint8_t *)at - memory)) == 8096) found++;
        }
        WORD(SECOND_RESULT) += found;
    } while (--WORD(PASSES));
}

/* A subroutine in the guest, so one here. */
static __attribute__((noinline)) void times(uint8_t *memory)
{
    uint16_t left = WORD(LEFT), right = WORD(RIGHT), product = 0;
    do {
        if (right & 1) product += left;
        left <<= 1;
        right >>= 1;
    } while (right);
    WORD(SECOND_RESULT) = product;
}

void mul(uint8_t *memory)
{
    do {
        const uint16_t *from = &WORD(DATA);
        uint16_t *to = &WORD(SECOND_DATA);
        for (unsigned left = 200; left; left--) {
            WORD(LEFT) = *from++;
            WORD(RIGHT) = *from++;
            times(memory);
            *to++ = WORD(SECOND_RESULT);
            WORD(FIRST_RESULT) += WORD(SECOND_RESULT);
        }
    } while (--WORD(PASSES));
}

void reg(uint8_t *memory)
{
    do {
        uint16_t r2 = WORD(FIRST_RESULT), r3 = WORD(SECOND_RESULT);
        for (uint16_t r0 = 10000; r0; r0--) {
            uint16_t r1 = r0;
            r1 <<= 1;
            r2 += r1;
            r2++;
            r3 |= r2;
            r3 = ~r3;
        }
        WORD(FIRST_RESULT) = r2;
        WORD(SECOND_RESULT) = r3;
    } while (--WORD(PASSES));
}
