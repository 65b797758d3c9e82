/* reference.c - the readable core: every instruction body twice, plain and traced, and the loop that runs them. */
#include <string.h>
#include "decimals.h"
#include "idle.h"
#include "mapping.h"
#include "record.h"
#include "byte_strings.h"
#include "words.h"

static inline unsigned source_value(const ms_machine *m, const ms_operand *s, uint16_t word, unsigned byte)
{
    if (s->mode || !source_is_late(m, s, word)) return s->value;
    return byte ? m->r[s->reg] & 0377u : m->r[s->reg];
}

/* JMP and JSR through mode 2: the register before or after its step (D04).  Nothing is referred to there. */
static inline uint16_t jump_address(ms_machine *m, ms_operand o)
{
    m->step_by = 0;
    return o.mode == 2 && FLAG(jump_autoincrement_target, after) ? m->r[o.reg] : o.address;
}

/* --- accesses that are recorded ---------------------------------------------------------------------------------- */

void ms_note_access(ms_machine *m, uint16_t address, uint16_t data, unsigned kind, unsigned byte)
{
    if (m->round) {                                        /* looked at, not recorded */
        if (kind & MS_ACCESS_WRITE) m->round->spoiled = 1;
        return;
    }
    const uint32_t physical = address < m->ram_top ? address : byte ? m->referred | (address & 1u) : m->referred;
    const ms_access access = {.address = address, .data = data, .kind = (uint8_t)kind, .is_byte = byte != 0, .physical = physical};
    if (m->access_count < MS_ACCESSES) m->access[m->access_count++] = access;
    if (m->until.traced) ms_until_access(m, address, byte ? address : (uint32_t)address + 1, kind);
}

/* What explains a step in words; a round of a waiting program needs none. */
static void note_operand(ms_machine *m, ms_note note)
{
    if (!m->round && m->note_count < MS_NOTES) m->note[m->note_count++] = note;
}

static void note_floats(ms_machine *m)
{
    memcpy(m->ac_before, m->ac, sizeof m->ac);
    m->fps_before = m->fps;
    m->floats_noted |= MS_NOTED_FLOATS;
}

/* --- around the instructions ------------------------------------------------------------------------------------- */

/* One call of ms_run: where it began and where it must end; a due time that does not end WAIT brings the end nearer. */
typedef struct { uint64_t first, last; } turn;

static turn begin(ms_machine *m, uint64_t limit)
{
    turn t = {.first = m->instructions, .last = m->instructions + limit};
    if (t.last < t.first) t.last = UINT64_MAX;
    m->stop = MS_STOP_NONE;
    m->halted = 0;
    return t;
}

static ms_stop leave(ms_machine *m, ms_stop stop)
{
    m->abort_to = NULL;
    m->tracing = 0;
    m->round = NULL;
    m->step_register = m->step_by = m->step_address = 0;   /* of the last instruction; nobody asks any more */
    m->stop = stop;
    return stop;
}

static inline int wants_attention(const ms_machine *m)
{
    return m->time_ns >= m->next_due || m->request_level || m->program_request;
}

/* What came due, then interrupts.  Several may nest before the first instruction of a service (D20), not for ever. */
static void attend(ms_machine *m)
{
    if (m->time_ns >= m->next_due) ms_run_due(m);
    for (int nested = 0; nested < 8 && !m->halted && ms_interrupt_waits(m); nested++) ms_take_interrupt(m);
}

/* What memory management records of a register that was stepped (MMR1). */
#define FOLLOW(reg, by) do { if (m->follows & MS_FOLLOWS_STEPS) ms_follow_step(m, (reg), (unsigned)(by)); } while (0)

/* After an instruction: memory management trap, trace trap, stack trap.  HALT stops before both; WAIT goes on where D17 says so. */
static void finish(ms_machine *m)
{
    ms_mapping_trap(m);
    if (m->halted || (m->waiting && !FLAG(trace_ends_wait, ends_wait))) m->trace_due = 0;
    if (m->trace_due && FLAG(interrupt_with_trace, interrupt_first) && wants_attention(m)) attend(m);
    if (m->trace_due) {
        ms_pass_trap_time(m);
        ms_trap(m, 014);
    }
    if (m->yellow_due && !m->halted) ms_yellow_trap(m);
}

/* A jump or branch to itself whose target depends on nothing that could change. */
static int is_closed_loop(const ms_machine *m)
{
    const uint16_t word = m->instruction;
    const int branch = (word & 0377u) == 0377u && (word & 077400u) < 04000u && (word & 0177400u);
    const int jump = (word & 0177770u) == 0110u || (word & 0177770u) == 0160u || word == 0137u;
    return m->r[7] == m->instruction_pc && (branch || jump);
}

/* Can anything that the machine itself does lead to an interrupt? */
static int can_be_woken(const ms_machine *m)
{
    return m->next_due != MS_NEVER && !ms_interrupt_masked(m);
}

static int is_stuck(const ms_machine *m)
{
    return is_closed_loop(m) && !(m->ps & PS_T) && !can_be_woken(m);
}

int ms_stop_requested(ms_machine *m)
{
    if (!__atomic_load_n(&m->stop_request, __ATOMIC_RELAXED)) return 0;
    __atomic_store_n(&m->stop_request, 0, __ATOMIC_RELAXED);
    return 1;
}

/* The common case, settled quickly: none of the reasons of why_stop can hold. */
static inline int goes_on(const ms_machine *m, const turn *t)
{
    return !(m->halted | m->halt_switch | m->waiting | m->until.watched) && !m->stop && m->instructions < t->last &&
           m->r[7] != m->instruction_pc && !__atomic_load_n(&m->stop_request, __ATOMIC_RELAXED);
}

/* The halt line: a switch stays, a break is over when it has halted the processor. */
static ms_stop halted_by_line(ms_machine *m)
{
    if (m->break_halt) m->break_halt = m->halt_switch = 0;
    return MS_STOP_HALTED;
}

/* Between two instructions of the run: does all of some alternative hold? */
static int is_reached(const ms_machine *m)
{
    return m->until.watched && m->instructions != m->until.first && ms_until_held(m);
}

static ms_stop why_stop(ms_machine *m, const turn *t)
{
    const int moved = m->instructions != t->first;
    if (m->halted) return MS_STOP_HALTED;
    if (m->stop) return m->stop;
    if (ms_stop_requested(m)) return MS_STOP_REQUEST;
    if (m->halt_switch && (moved || m->waiting)) return halted_by_line(m);
    if (is_reached(m)) return MS_STOP_REACHED;
    if (moved && is_stuck(m)) return MS_STOP_STUCK;
    if (m->instructions >= t->last) return MS_STOP_LIMIT;
    return m->waiting && !can_be_woken(m) ? MS_STOP_WAITING : MS_STOP_NONE;
}

/* WAIT: straight to what is due next.  If WAIT goes on after it, it counts as an instruction; the pause of a host counts
 * for nothing.  So a run is the same however it is cut. */
static void doze(ms_machine *m, turn *t)
{
    const int counts = !ms_only_pause_is_due(m);
    m->time_ns = m->next_due;
    attend(m);
    if (!counts || !m->waiting) return;
    t->last--;
    m->naps++;
}

#include "floating_status.h"

/* --- the builds -------------------------------------------------------------------------------------------------- */

#define BUILD(name) name##_plain
#define BUILD_BODY plain
#define NOTE(address, data, kind, byte) ((void)0)
#define NOTE_OPERAND(...) ((void)0)
#define NOTE_FLOATS() ((void)0)
#include "interpreter.inc"
#undef BUILD
#undef BUILD_BODY
#undef NOTE
#undef NOTE_OPERAND
#undef NOTE_FLOATS

#define BUILD(name) name##_traced
#define BUILD_BODY traced
#define NOTE(address, data, kind, byte) ms_note_access(m, (address), (data), (kind), (byte))
#define NOTE_OPERAND(...) note_operand(m, (ms_note){__VA_ARGS__})
#define NOTE_FLOATS() note_floats(m)
#include "interpreter.inc"

/* Whatever is plain is left to the fast core; it stands still before an instruction that is not.  That one, and so the
 * last one of every run, is executed here; or watched, if it is time to look whether the program only goes round. */
static void next_fast(ms_machine *m, const turn *t, ms_idle *idle)
{
    if (!idle->looking) {
        ms_run_ahead(m, t->last < idle->next_look ? t->last : idle->next_look);
        if (m->instructions + 1 >= idle->next_look) ms_idle_look(m, idle);
    }
    if (!idle->looking) {
        execute_plain(m);
    } else {
        execute_traced(m);
        if (!is_stuck(m)) ms_idle_after(m, idle, t->last);
    }
}

static ms_stop run_fast(ms_machine *m, turn *t, ms_idle *idle)
{
    jmp_buf given_up;
    m->abort_to = &given_up;
    if (setjmp(given_up)) ms_after_abort(m);
    for (;;) {
        if (wants_attention(m)) {
            attend(m);
            ms_idle_due(m, idle);
        }
        const ms_stop stop = goes_on(m, t) ? MS_STOP_NONE : why_stop(m, t);
        if (stop) return stop;
        if (m->waiting) doze(m, t);
        else next_fast(m, t, idle);
    }
}

/* The records: each INSN becomes a call with the two bodies above; its text is only parsed a third time. */
#define INSN(name, pattern, form, codes, module, traps, source, does) \
    ms_add_record(#name, pattern, MS_FORM_##form, codes, MS_MODULE_##module, traps, source, does, \
                  do_##name##_plain, do_##name##_traced); \
    if (0)
#define ALIAS(name, of, pattern) ms_add_alias(#name, #of, pattern);

void ms_register_all(void)
{
    ms_machine *m = NULL;
    uint16_t word = 0;
    unsigned byte = 0;
    (void)m, (void)word, (void)byte;
#include "families.inc"
}

/* --- entry points ------------------------------------------------------------------------------------------------ */

static int is_ready(const ms_machine *m)
{
    return m->decoded && !m->abort_to;                     /* configured, and never from inside a run */
}

static ms_stop run_program(ms_machine *m, turn *t)
{
    if (m->tracing) return run_traced(m, t);
    if (m->core == MS_CORE_REFERENCE) return run_plain(m, t);
    ms_idle idle;
    ms_idle_begin(m, &idle);
    return run_fast(m, t, &idle);
}

/* The program, and the octal console when it has halted, turn and turn about. */
static ms_stop run_with_console(ms_machine *m, turn *t)
{
    for (;;) {
        if (ms_octal_begins(m)) {
            const ms_stop stop = (ms_stop)ms_octal_converse(m, &t->last);
            if (stop) return stop;
            t->first = m->instructions;
            if (m->until.count) m->until.first = m->instructions;
        }
        const ms_stop stop = run_program(m, t);
        m->abort_to = NULL;
        if (stop != MS_STOP_HALTED) return stop;
        ms_octal_enter(m);
        if (!m->octal.at_work) return stop;
    }
}

ms_stop ms_run(ms_machine *m, uint64_t limit)
{
    if (!is_ready(m)) return MS_STOP_NONE;
    m->tracing = m->until.traced;
    m->access_count = 0;
    const uint8_t halted = m->octal.on && m->octal.at_work && m->halted;   /* until the console lets it go on */
    turn t = begin(m, limit);
    m->halted = halted;
    const int console = m->octal.on | m->octal.due;
    return leave(m, console ? run_with_console(m, &t) : run_program(m, &t));
}

ms_stop ms_run_freely(ms_machine *m, uint64_t limit)
{
    if (m->until.count) ms_until_clear(m);
    return ms_run(m, limit);
}

ms_stop ms_step(ms_machine *m)
{
    if (!is_ready(m)) return MS_STOP_NONE;
    if (m->until.count) ms_until_clear(m);
    m->tracing = 1;
    m->access_count = m->note_count = m->floats_noted = 0;
    turn t = begin(m, 1);
    return leave(m, run_traced(m, &t));
}

void ms_request_stop(ms_machine *m)
{
    __atomic_store_n(&m->stop_request, 1, __ATOMIC_RELAXED);
}
