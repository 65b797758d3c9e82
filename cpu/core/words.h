/* words.h - the words of instruction bodies that mean the same in every core: fields of the first word, sizes. */
#ifndef MS_WORDS_H
#define MS_WORDS_H

#define SIGN_EXTENDED(value) ((uint16_t)(int8_t)(uint8_t)(value))
#define TOP  (byte ? 0200u : 0100000u)
#define MASK (byte ? 0377u : 0177777u)

#define FIELD_R    (word >> 6 & 7)
#define FIELD_LOW3 (word & 7)
#define FIELD_NN   (word & 077)
#define OFFSET     (2 * (int8_t)(uint8_t)word)
#define DESTINATION_MODE (word >> 3 & 7)
#define PREVIOUS_MODE    (m->ps >> 12 & 3u)

/* numbers of 32 bits in R and R|1, and shifts by a count with sign; no shift leaves 64 bits */
#define PAIR_OF_REGISTERS ((int32_t)((uint32_t)m->r[FIELD_R] << 16 | m->r[FIELD_R | 1]))
#define SIGNED_SIX_BITS(value) ((int)(((value) & 077u) ^ 040u) - 040)
#define SHIFTED(value, count) ((count) < 0 ? (value) >> -(count) : (int64_t)((uint64_t)(value) << (count)))

#endif
