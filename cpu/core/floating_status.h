/* floating_status.h - around the instructions of the floating point processor: status, exceptions, results.
 *
 * For reference.c alone; floating_unit.inc stands on it. */
#ifndef MS_FLOATING_STATUS_H
#define MS_FLOATING_STATUS_H

#include "floating.h"
#include "mapping.h"

#define FLOAT_AC (word >> 6 & 3u)

static inline int is_double(const ms_machine *m) { return (m->fps & MS_FPS_DOUBLE) != 0; }
static inline unsigned float_size(const ms_machine *m) { return is_double(m) ? 8 : 4; }

static inline ms_precision precision_of(const ms_machine *m)
{
    return (ms_precision){is_double(m) ? MS_LONG_BITS : MS_SHORT_BITS, (m->fps & MS_FPS_CHOP) != 0};
}

/* The accumulator of the instruction, as the precision sees it. */
static inline uint64_t accumulator(const ms_machine *m, uint16_t word)
{
    return is_double(m) ? m->ac[FLOAT_AC] : m->ac[FLOAT_AC] & MS_SHORT_PART;
}

/* --- condition codes of the FPS -------------------------------------------------------------------------------------- */

static void set_codes(ms_machine *m, int n, int z, int v, int c)
{
    m->fps = (uint16_t)((m->fps & ~017u) | (unsigned)(n << 3 | z << 2 | v << 1 | c));
}

static void set_float_codes(ms_machine *m, uint64_t value, int v, int c)
{
    set_codes(m, (int)(value >> 63), ms_is_zero(value), v, c);
}

/* --- exceptions ------------------------------------------------------------------------------------------------------ */

/* Units that run beside the processor trap at the next floating instruction, the others at once (unconfirmed). */
static void float_exception(ms_machine *m, unsigned code)
{
    m->fps |= MS_FPS_ERROR;
    m->fec = (uint16_t)code;
    m->fea = m->instruction_pc;
    m->floats_noted |= MS_NOTED_EXCEPTION;
    if (m->fps & MS_FPS_NO_TRAP) return;
    if (m->profile.parallel_float) m->float_due = 1;
    else ms_trap_instead(m, 0244);
}

/* An exception that must be enabled: is it? */
static int float_refused(ms_machine *m, unsigned enable, unsigned code)
{
    if (!(m->fps & enable)) return 0;
    float_exception(m, code);
    return 1;
}

/* Operands of mode 0 with register 6 or 7. */
static int names_no_accumulator(ms_machine *m, uint16_t word)
{
    if ((word & 070u) || (word & 7u) < 6) return 0;
    float_exception(m, MS_FEC_ILLEGAL);
    return 1;
}

/* Before a floating instruction: the trap of an earlier one may come instead of it.  Its state is none of what a round of
 * a waiting program is compared by, so it ends every such round (idle.h). */
static int float_trap_is_due(ms_machine *m)
{
    if (m->round) m->round->spoiled = 1;
    if (!m->float_due) return 0;
    m->float_due = 0;
    m->r[7] = m->instruction_pc;
    ms_trap_instead(m, 0244);
    return 1;
}

/* A code without a meaning.  Parallel units have maintenance codes, of which the model knows only that they are no error
 * (unconfirmed). */
static void float_illegal(ms_machine *m, uint16_t word)
{
    if (float_trap_is_due(m)) return;
    if (m->profile.parallel_float && word >= 0170003u && word <= 0170007u) return;
    float_exception(m, MS_FEC_ILLEGAL);
}

/* --- results --------------------------------------------------------------------------------------------------------- */

/* Overflow and underflow that are not enabled give exact 0. */
static uint64_t stored_value(const ms_machine *m, ms_floating result)
{
    if (result.end == MS_FLOAT_OVERFLOW && !(m->fps & MS_FPS_OVERFLOW)) return 0;
    if (result.end == MS_FLOAT_UNDERFLOW && !(m->fps & MS_FPS_UNDERFLOW)) return 0;
    return result.value;
}

/* After the value was stored: codes, then the trap. */
static void conclude(ms_machine *m, ms_floating result, uint64_t stored)
{
    set_float_codes(m, stored, result.end == MS_FLOAT_OVERFLOW, 0);
    if (result.end == MS_FLOAT_OVERFLOW) (void)float_refused(m, MS_FPS_OVERFLOW, MS_FEC_OVERFLOW);
    if (result.end == MS_FLOAT_UNDERFLOW) (void)float_refused(m, MS_FPS_UNDERFLOW, MS_FEC_UNDERFLOW);
}

static void give_result(ms_machine *m, uint16_t word, ms_floating result)
{
    const uint64_t value = stored_value(m, result);
    m->ac[FLOAT_AC] = value;
    conclude(m, result, value);
}

#endif
