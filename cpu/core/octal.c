/* octal.c - the octal console in microcode [wiki-terminal-debugger] [course-systems-lab]; 777560 to 777566 are its line.
 *
 * Where the documents are silent (unconfirmed): what `?` does to an open location (it is closed), LF without one (`?`),
 * LF at PS (`?`), G without a number (starts at 0), several names behind R (the last one counts), the low bit of an
 * address (ignored), and that a character with a framing error, a break, is no key. */
#include "mapping.h"
#include "record.h"

#define RECEIVE_STATUS  017560u    /* offsets in the I/O page */
#define RECEIVE_DATA    017562u
#define TRANSMIT_STATUS 017564u
#define TRANSMIT_DATA   017566u
#define DONE    0200u
#define FRAMING 020000u
#define NUMBER  077777777u         /* the last eight digits */

enum { CLOSED, MEMORY, REGISTER };
enum { PS_NAME = 8 };

/* --- the line ---------------------------------------------------------------------------------------------------- */

static int cycle_at(ms_machine *m, uint32_t offset, ms_cycle kind, uint16_t *data)
{
    return ms_bus_cycle(m, ms_io_base(m) + offset, kind, data);
}

/* To what is due next: 0, or -1 where nothing is. */
static int pass_time(ms_machine *m, uint64_t *last)
{
    if (m->next_due == MS_NEVER) return -1;
    if (!ms_only_pause_is_due(m)) {
        m->naps++;
        (*last)--;
    }
    if (m->time_ns < m->next_due) m->time_ns = m->next_due;
    ms_run_due(m);
    return 0;
}

/* What it says goes out character by character as the line takes them (converse): so a run may be cut anywhere. */
static void put(ms_machine *m, unsigned character)
{
    ms_octal *o = &m->octal;
    if (o->to_say < sizeof o->saying) o->saying[o->to_say++] = (uint8_t)character;
}

static void put_text(ms_machine *m, const char *text)
{
    while (*text) put(m, (unsigned char)*text++);
}

static void put_octal(ms_machine *m, uint32_t value, unsigned digits)
{
    while (digits--) put(m, '0' + (value >> 3 * digits & 7));
}

/* A key that was typed: 0 to 177, or -1 if there is none now. */
static int key(ms_machine *m)
{
    uint16_t word = 0;
    if (cycle_at(m, RECEIVE_STATUS, MS_CYCLE_READ, &word) || !(word & DONE)) return -1;
    if (cycle_at(m, RECEIVE_DATA, MS_CYCLE_READ, &word)) return -1;
    return word & FRAMING ? -1 : word & 0177;
}

static int may_still_come(const ms_machine *m)
{
    const ms_octal *o = &m->octal;
    return (o->keyboard >= 0 && m->rings[o->keyboard].count) || (o->arrival >= 0 && m->timers[o->arrival].due != MS_NEVER);
}

/* --- locations --------------------------------------------------------------------------------------------------- */

static unsigned address_digits(const ms_octal *o) { return o->bits > 18 ? 8 : 6; }
static uint32_t address_mask(const ms_octal *o) { return ((uint32_t)1 << o->bits) - 1; }

/* Addresses are physical; the topmost 8 KB of the console's own width are the I/O page. */
static uint32_t physical(const ms_machine *m, uint32_t address)
{
    const uint32_t page = address_mask(&m->octal) - 017777u;
    return address >= page ? ms_io_base(m) + (address - page) : address;
}

static int fetch(ms_machine *m, uint16_t *word)
{
    const ms_octal *o = &m->octal;
    if (o->open == MEMORY) return ms_bus_cycle(m, physical(m, o->address), MS_CYCLE_READ, word);
    *word = o->address == PS_NAME ? ms_get_ps(m) : m->r[o->address];
    return 0;
}

/* The later ones leave T alone (unconfirmed). */
static void set_status(ms_machine *m, uint16_t word)
{
    const uint16_t kept = m->octal.kind == MS_OCTAL_LATER ? PS_T : 0;
    ms_set_ps(m, (uint16_t)((word & ~kept) | (m->ps & kept)));
}

static int store(ms_machine *m)
{
    ms_octal *o = &m->octal;
    uint16_t word = (uint16_t)o->number;
    if (!o->digits) return 0;
    if (o->open == MEMORY) return ms_bus_cycle(m, physical(m, o->address), MS_CYCLE_WRITE, &word);
    if (o->address == PS_NAME) set_status(m, word);
    else m->r[o->address] = word;
    return 0;
}

/* --- answers ----------------------------------------------------------------------------------------------------- */

static void forget(ms_octal *o)
{
    o->digits = o->naming = 0;
    o->number = 0;
}

static void prompt(ms_machine *m)
{
    m->octal.open = CLOSED;
    forget(&m->octal);
    put_text(m, "\r\n@");
}

static void refuse(ms_machine *m)
{
    put(m, '?');
    prompt(m);
}

/* Opens the location that `address` names: space, contents, space. */
static void show(ms_machine *m, unsigned place)
{
    ms_octal *o = &m->octal;
    uint16_t word = 0;
    o->open = o->last = (uint8_t)place;
    forget(o);
    if (fetch(m, &word)) { refuse(m); return; }
    put(m, ' ');
    put_octal(m, word, 6);
    put(m, ' ');
}

static void open_memory(ms_machine *m, uint32_t address)
{
    ms_octal *o = &m->octal;
    o->address = address & address_mask(o) & ~1u;
    put_text(m, "\r\n");
    put_octal(m, o->address, address_digits(o));
    put(m, '/');
    show(m, MEMORY);
}

static void open_register(ms_machine *m, unsigned number)
{
    m->octal.address = number;
    put_text(m, "\r\nR");
    put(m, '0' + number);
    put(m, '/');
    show(m, REGISTER);
}

/* --- keys -------------------------------------------------------------------------------------------------------- */

static void slash(ms_machine *m)
{
    ms_octal *o = &m->octal;
    put(m, '/');
    if (o->naming) {
        o->address = o->name;
        show(m, REGISTER);
    } else if (o->digits) {
        o->address = o->number & address_mask(o) & ~1u;
        show(m, MEMORY);
    } else if (o->last != CLOSED) {
        show(m, o->last);
    } else {
        refuse(m);
    }
}

static void carriage_return(ms_machine *m)
{
    if (m->octal.open != CLOSED && store(m)) refuse(m);
    else prompt(m);
}

/* LF, ^: the next or the word before; registers go round, and PS has no neighbour. */
static void neighbour(ms_machine *m, int step)
{
    ms_octal *o = &m->octal;
    if (o->open == CLOSED || store(m) || (o->open == REGISTER && o->address == PS_NAME)) refuse(m);
    else if (o->open == MEMORY) open_memory(m, o->address + (uint32_t)(2 * step));
    else open_register(m, (o->address + (unsigned)step) & 7u);
}

/* _ opens address + 2 + contents, @ the contents as an address: first chip set. */
static void follow(ms_machine *m, int relative)
{
    ms_octal *o = &m->octal;
    uint16_t word = 0;
    if (o->open == CLOSED || store(m) || fetch(m, &word)) refuse(m);
    else if (!relative) open_memory(m, word);
    else if (o->open == MEMORY) open_memory(m, o->address + 2 + word);
    else refuse(m);
}

/* Once all is said the processor runs. */
static void leave_for_program(ms_machine *m)
{
    ms_octal *o = &m->octal;
    forget(o);
    o->open = CLOSED;
    o->leaving = 1;
}

/* With the halt line on, it stops at once and prints PC.  Bus initialise comes before the echo (unconfirmed): so it takes
 * no character with it. */
static void go(ms_machine *m)
{
    const uint16_t pc = (uint16_t)m->octal.number;
    ms_set_ps(m, 0);
    ms_initialise(m);
    m->fps = m->fec = m->fea = m->float_due = 0;
    m->waiting = 0;
    m->r[7] = m->start_pc = pc;
    put(m, 'G');
    if (m->halt_switch) ms_octal_enter(m);
    else leave_for_program(m);
}

static void proceed(ms_machine *m)
{
    put(m, 'P');
    leave_for_program(m);
    m->octal.stepping = m->halt_switch;
}

static void digit(ms_machine *m, unsigned value)
{
    ms_octal *o = &m->octal;
    put(m, '0' + value);
    if (o->naming) {
        o->name = (uint8_t)value;
        o->naming = 2;
    } else {
        o->number = (o->number << 3 | value) & NUMBER;
        o->digits = 1;
    }
}

static void name_register(ms_machine *m, int typed)
{
    put(m, (unsigned)typed);
    forget(&m->octal);
    m->octal.naming = 1;
}

/* Keys of the first chip set alone: 1 if it was one. */
static int first_only(ms_machine *m, int typed)
{
    ms_octal *o = &m->octal;
    switch (typed) {
    case '^': put(m, '^'); neighbour(m, -1); return 1;
    case '_': put(m, '_'); follow(m, 1); return 1;
    case '@': put(m, '@'); follow(m, 0); return 1;
    case 'M': put(m, 'M'); put_octal(m, o->cause, 6); prompt(m); return 1;
    case 0177:
        put(m, '\\');
        o->number >>= 3;
        return 1;
    default: return 0;
    }
}

static void act(ms_machine *m, int typed)
{
    const ms_octal *o = &m->octal;
    if (typed >= '0' && typed <= '7') { digit(m, (unsigned)(typed - '0')); return; }
    if (typed == 'S' && o->naming == 1) {
        put(m, 'S');
        m->octal.name = PS_NAME;
        m->octal.naming = 2;
        return;
    }
    if (o->naming == 1 || (o->naming == 2 && typed != '/')) { refuse(m); return; }
    switch (typed) {
    case '/':  slash(m); return;
    case '\r': carriage_return(m); return;
    case '\n': neighbour(m, 1); return;
    case '$': case 'R': name_register(m, typed); return;
    case 'G':  go(m); return;
    case 'P':  proceed(m); return;
    default:
        if (o->kind != MS_OCTAL_FIRST || !first_only(m, typed)) refuse(m);
    }
}

/* --- in and out -------------------------------------------------------------------------------------------------- */

/* The first chip set can't get in without working memory at 0. */
void ms_octal_enter(ms_machine *m)
{
    ms_octal *o = &m->octal;
    uint16_t word = 0;
    if (o->kind == MS_OCTAL_NONE || !o->on) return;
    if (o->kind == MS_OCTAL_FIRST && ms_bus_cycle(m, 0, MS_CYCLE_READ, &word)) return;
    o->at_work = 1;
    o->entered = o->stepping = o->due = o->leaving = 0;
    o->open = o->last = CLOSED;
    forget(o);
}

int ms_octal_begins(ms_machine *m)
{
    ms_octal *o = &m->octal;
    if (o->due && !o->on) return 1;
    if (o->due || (!o->at_work && m->halt_switch && !o->stepping)) ms_octal_enter(m);
    return o->at_work || o->due;
}

static void tell_where(ms_machine *m)
{
    put_text(m, "\r\n");
    put_octal(m, m->r[7], 6);
    prompt(m);
    m->octal.entered = 1;
}

/* The next character to the line: 1 if it took it (or nobody answers there), 0 if it is to be waited for. */
static int say(ms_machine *m)
{
    ms_octal *o = &m->octal;
    uint16_t status = 0, data = o->saying[o->said];
    if (!cycle_at(m, TRANSMIT_STATUS, MS_CYCLE_READ, &status)) {
        if (!(status & DONE)) return 0;
        cycle_at(m, TRANSMIT_DATA, MS_CYCLE_WRITE, &data);
    }
    if (++o->said == o->to_say) o->said = o->to_say = 0;
    return 1;
}

/* Between two keys: 1 where the line is free to take what a key will say (or nobody answers), 0 to be waited for. */
static int is_quiet(ms_machine *m)
{
    uint16_t status = 0;
    return cycle_at(m, TRANSMIT_STATUS, MS_CYCLE_READ, &status) || status & DONE;
}

static void leave(ms_machine *m)
{
    ms_octal *o = &m->octal;
    o->at_work = o->entered = o->leaving = o->cause = 0;
    m->halted = 0;
}

/* One thing it does now: 1, or 0 if only time can bring something. */
static int turn(ms_machine *m)
{
    ms_octal *o = &m->octal;
    if (o->to_say) return say(m);
    if (o->leaving) { leave(m); return 1; }
    if (!o->entered) { tell_where(m); return 1; }
    if (!is_quiet(m)) return 0;                                      /* a key is taken when all is said */
    const int typed = key(m);
    if (typed >= 0) act(m, typed);
    return typed >= 0;
}

int ms_octal_converse(ms_machine *m, uint64_t *last)
{
    if (!m->octal.at_work && m->octal.due) return MS_STOP_HALTED;    /* there, and nobody lets it speak */
    while (m->octal.at_work) {
        if (m->break_halt) m->break_halt = m->halt_switch = 0;       /* a break is over once the processor stands */
        if (turn(m)) continue;                                       /* first: so where it stands follows from time alone */
        if (m->stop) return (int)m->stop;
        if (ms_stop_requested(m)) return MS_STOP_REQUEST;
        if (!m->octal.to_say && is_quiet(m) && !may_still_come(m)) return MS_STOP_HALTED;
        if (m->instructions >= *last) return MS_STOP_LIMIT;
        if (pass_time(m, last)) return MS_STOP_HALTED;
    }
    return MS_STOP_NONE;
}
