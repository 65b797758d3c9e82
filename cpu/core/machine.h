/* machine.h - the state of one machine in one plain struct, and the joints between the parts of the core.
 *
 * Three parts share it:  processor (processor.c, interpreter.inc, insns/), bus (bus.c: memory, I/O page, interrupt
 * arbitration), devices (engine.c: registers, effects and timed actions as data).  No part calls back into Python except
 * through ms_machine.call, and only from the I/O page or a timed action.  Registers, lines and due times change only in
 * engine.c: it keeps an agenda of what comes next beside them (agenda.h).
 *
 * Words are 16 bits; addresses are byte addresses; times are nanoseconds of guest time.  State that must survive a freeze
 * is plain data here or in the arrays hung on the machine; pointers are set up again by the binding.
 */
#ifndef MS_MACHINE_H
#define MS_MACHINE_H

#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#define MS_NEVER UINT64_MAX
#define MS_COSTS 16u               /* no instruction of plain memory has so many cycles */
#define MS_IO_WORDS 4096u          /* the I/O page: 8 KB */
#define MS_BANK_BYTES 2048u        /* grain of the map of fitted memory */
#define MS_VECTORS 128u            /* vectors 0 to 774, four bytes each */
#define MS_BUS_WINDOW 017000000u   /* with a bus map and 22 bits: from here to the I/O page a program reaches the bus */

typedef enum { MS_KERNEL = 0, MS_SUPERVISOR = 1, MS_ILLEGAL_MODE = 2, MS_USER = 3 } ms_mode;

/* Which core ms_run takes.  Both give the same machine, bit for bit. */
typedef enum { MS_CORE_FAST, MS_CORE_REFERENCE, MS_CORE_TABLE } ms_core;   /* TABLE: fast, without blocks (blocks.c) */

typedef enum {
    MS_STOP_NONE, MS_STOP_HALTED, MS_STOP_LIMIT, MS_STOP_WAITING, MS_STOP_REACHED, MS_STOP_REQUEST, MS_STOP_STUCK
} ms_stop;

/* One bus cycle.  A byte write names its byte by the low address bit; the byte itself stands in bits 7-0 of the data.
 * A read ignores the low address bit and always gives the whole word. */
typedef enum { MS_CYCLE_READ, MS_CYCLE_WRITE, MS_CYCLE_WRITE_BYTE } ms_cycle;

/* What a recorded access was (tracing, and a run until one). */
typedef enum { MS_ACCESS_FETCH = 1, MS_ACCESS_READ = 2, MS_ACCESS_WRITE = 4 } ms_access_kind;

/* --- devices as data (engine.c) ------------------------------------------------------------------------------- */

/* A register.  Reading gives value & readable.  Writing stores data into the bits of `writable` (a byte write only into
 * its byte), then runs the on_write effects, which see the data as written; on_look runs before a read takes the value, on_read
 * after it. */
typedef struct {
    uint16_t value;
    uint16_t readable;
    uint16_t writable;
    uint16_t reset;        /* value after bus initialise, for bits outside keep */
    uint16_t keep;         /* bits that bus initialise leaves alone */
    uint16_t power;        /* value at power-up */
    uint16_t device;       /* index of the device it belongs to */
    uint8_t  answers;      /* 1 reads, 2 writes: a cycle of the other kind times out */
    uint8_t  spare;
    int32_t  on_read, on_write;              /* first effect of the list, -1 none */
    int32_t  on_read_count, on_write_count;
    int32_t  on_look, on_look_count;
    uint64_t reads, writes;                  /* how often, for reports */
} ms_register;

/* Conditions: all guards of an effect must hold. */
typedef enum {
    MS_IF_ALWAYS,
    MS_IF_VALUE,       /* (register.value & mask) == value */
    MS_IF_NOT_VALUE,   /* (register.value & mask) != value */
    MS_IF_WRITTEN,     /* the write covers all bits of mask and (data & mask) == value */
    MS_IF_TOUCHED,     /* the write covers some bit of mask (which byte was written) */
    MS_IF_ROSE,        /* a bit of mask went 0 to 1 in the register being written */
    MS_IF_FELL,        /* a bit of mask went 1 to 0 in the register being written */
    MS_IF_RING_HAS,    /* index is a ring with at least one byte */
    MS_IF_RING_EMPTY
} ms_if;

typedef struct { uint8_t kind; uint8_t spare; uint16_t index; uint16_t mask; uint16_t value; } ms_guard;

typedef enum {
    MS_DO_NOTHING,
    MS_DO_SET,         /* register index: value |= mask */
    MS_DO_CLEAR,       /* register index: value &= ~mask */
    MS_DO_COPY,        /* register index: bits of mask from register from */
    MS_DO_STORE,       /* register index: bits of mask from the data being written */
    MS_DO_TAKE,        /* register index: bits of mask from the next byte of ring from (0 if empty) */
    MS_DO_PUT,         /* ring index: append the low byte of register from, under mask */
    MS_DO_ARM,         /* timer index: due after its delay from now */
    MS_DO_ARM_IDLE,    /* the same, only if it is not running */
    MS_DO_DISARM,      /* timer index */
    MS_DO_REQUEST,     /* request line index: pending, whatever the edge, if its enable holds */
    MS_DO_CANCEL,      /* request line index */
    MS_DO_CALL,        /* ms_machine.call(handle, device, mask, register index, data) */
    MS_DO_HALT,        /* asserts the halt line (a break where the board is strapped so) until it has halted a run */
    MS_DO_COUNT          /* register index: value += mask, modulo 2^16 */
} ms_do;

typedef struct {
    uint8_t  op, guards;
    uint16_t index, from, mask;
    ms_guard guard[3];
} ms_effect;

/* A timed action. `period` != 0: due again so many ns after the last due time. */
typedef struct {
    uint64_t due;          /* guest time, MS_NEVER when idle */
    uint64_t delay, period;
    int32_t  first; int32_t count;           /* effects */
    uint16_t device;
    uint8_t  survives_init;                  /* a clock ticks on through bus initialise */
    uint8_t  runs_at_power_up;
} ms_timer;

/* A request line: edge of (flag AND enable), one vector, one place in the grant chain. */
typedef struct {
    uint16_t flag_register, flag_mask;       /* condition: some bit of flag_mask set */
    uint16_t enable_register, enable_mask;   /* enable_mask 0: always enabled */
    uint16_t vector;
    uint16_t device;
    uint16_t order;                          /* place along the chain, smaller is nearer the processor */
    uint8_t  level;                          /* 4 to 7 */
    uint8_t  granted;                        /* 1: a grant can reach it (Wired says so) */
    uint8_t  edge_only_request;              /* 1: only MS_DO_REQUEST makes it pending (event line) */
    uint8_t  condition, pending, spare;
    int32_t  on_acknowledge; int32_t on_acknowledge_count;
    uint64_t taken;                          /* interrupts taken */
    uint64_t refused;                        /* requests made that no grant can ever reach */
} ms_line;

/* Bytes between host and guest.  Grows; the binding drains output rings. */
typedef struct {
    uint8_t *bytes; size_t size, head, count;   /* head: index of the oldest byte */
    uint16_t device;
    uint8_t  is_output, spare;
    int32_t  on_fill; int32_t on_fill_count;    /* effects when the host adds to an empty ring */
    uint64_t total;                             /* bytes ever put in */
    uint64_t lost;                              /* bytes for which there was no room (MS_RING_MOST, or no memory) */
} ms_ring;
#define MS_RING_MOST (64u << 20)

typedef struct {
    int32_t on_init; int32_t on_init_count;     /* effects at bus initialise, after the registers are reset */
    int32_t on_power; int32_t on_power_count;   /* effects at power-up, after on_init */
} ms_device;

/* A window of ROM words in the I/O page.  page_register -1: word i of the window is word i of the ROM.  Else the window
 * shows page (register >> page_shift) & 0377 of page_words words; words behind the end of the ROM read as 0. */
typedef struct {
    uint16_t first, words;                      /* word number in the I/O page (offset / 2) */
    uint32_t rom_first, rom_words;              /* its part of ms_machine.rom */
    int32_t  page_register; uint16_t page_words; uint8_t page_shift, spare;
} ms_window;

/* What answers at one word of the I/O page.  index: of the register, or of the ROM window.  Words marked NOBODY are
 * offered to ms_processor_cycle, like those marked PROCESSOR. */
typedef enum { MS_IO_NOBODY, MS_IO_REGISTER, MS_IO_ROM, MS_IO_PROCESSOR } ms_io_kind;
typedef struct { uint8_t kind; uint8_t spare; uint16_t index; } ms_io;

/* The word after a write cycle; a byte write names its byte by the low address bit. */
static inline uint16_t ms_merged(uint16_t old, uint32_t offset, ms_cycle cycle, uint16_t data)
{
    if (cycle == MS_CYCLE_WRITE) return data;
    if (offset & 1u) return (uint16_t)((old & 0377u) | data << 8);
    return (uint16_t)((old & 0177400u) | (data & 0377u));
}

/* --- processor --------------------------------------------------------------------------------------------------- */

#include "flags.h"             /* ms_profile: the 53 documented differences, one byte each */

/* Which record owns a first word; cycles: memory cycles beyond the fetch; price: its time in `prices` (times.h). */
typedef struct { uint16_t record; uint8_t cycles; uint8_t price; } ms_decoded;
#include "times.h"
#define MS_RESERVED 0u         /* record 0: nobody owns the word, trap 10 */

/* One recorded access of a traced step. */
typedef struct { uint32_t address; uint16_t data; uint8_t kind; uint8_t is_byte; uint32_t physical; } ms_access;
#define MS_ACCESSES 128u         /* enough for three decimal strings of 31 bytes */

/* An operand of a traced step that is more than a word: a number, a decimal string, a string.  `at` is the address, of a
 * register operand its number; `length` counts words of numbers, digits of decimal strings, bytes of strings; `type` is that
 * of a decimal string, and 1 of an integer of one word that is the high half of a long one. */
typedef enum { MS_NOTE_FLOATING = 1, MS_NOTE_INTEGER, MS_NOTE_DECIMAL, MS_NOTE_STRING } ms_note_kind;
typedef struct { uint64_t value; uint16_t at, length; uint8_t kind, type, is_write, in_register; } ms_note;
#define MS_NOTES 4u
#define MS_NOTED_FLOATS 1u
#define MS_NOTED_EXCEPTION 2u

/* What the fast core knows of a page while memory management is on: bytes low to low + size - 1 of the program are plain
 * memory at shift + address (modulo 2^32).  Nothing else of the page is. */
typedef struct { uint32_t shift; uint16_t low, size; } ms_row;
typedef struct { ms_row fetch[8], read[8], write[8]; } ms_rows;
#define MS_FOLLOWS_PC    1u
#define MS_FOLLOWS_STEPS 2u

#include "octal.h"
#include "until.h"
typedef struct ms_agenda ms_agenda;   /* agenda.h */
struct ms_machine {
    /* processor registers of the current mode and set; r[6] is SP, r[7] is PC */
    uint16_t r[8];

    /* of the fast core (fast.c), near the start for short code; but for memory and paces nothing here outlives a run */
    const void *const *paces, *const *mapped_paces;   /* 65,536 handlers each, shared like `decoded` */
    uint64_t budget;           /* what is left: nanoseconds in the upper half, instructions run in the lower */
    uint8_t  *memory;          /* bytes in the order of the bus, low byte of a word first */
#ifdef MS_BLOCKS
    uint32_t half_top;         /* words of plain memory */
    uint16_t spots[2];         /* addresses that a deferred operand led to: source, destination */
#endif
    uint32_t cost_of[2];       /* base_ns and cycle_ns that `cost` was made of */
    uint64_t cost[MS_COSTS];   /* of an instruction with so many cycles: nanoseconds in the upper half, less one */
    const uint8_t *code;       /* code[PC]: first words are taken from code_low on, code_bytes long */
    uint32_t code_low, code_bytes;
    ms_rows  *rows;            /* of the current mode, while memory management is on (mapping.h) */
    struct ms_round *round;    /* being looked at (idle.h), else NULL */
    uint64_t passed_over;      /* instructions of polling loops that were counted, not run */

    uint16_t set[2][6];        /* R0-R5 of the set not in use keep their values here */
    uint16_t stack[4];         /* SP by mode; that of the current mode is in r[6] */
    uint16_t ps;               /* bits 15:4; the condition codes stand apart */
    uint8_t  n, z, v, c;       /* 0 or 1 */
    uint8_t  old_codes[4];     /* N Z V C before the running instruction: one that is given up leaves them alone */
    uint16_t instruction_pc;   /* where the running instruction began */
    uint16_t instruction;      /* its first word */
    uint16_t stack_limit;      /* 777774 where it exists, else 0 */
    uint16_t error_register;   /* 777766 where it exists */
    uint8_t  trace_due;        /* a T trap follows this instruction */
    uint8_t  yellow_due;       /* a stack trap follows this instruction */
    uint8_t  waiting;          /* WAIT is being executed */
    uint8_t  halt_switch;      /* the halt line is asserted */
    uint8_t  hold_interrupts;  /* D20: the first instruction of a service goes first */
    uint8_t  in_trap;          /* pushing PS and PC of a trap: an abort here is a double bus error (D19) */
    uint8_t  halted;
    uint8_t  modes;            /* 1, 2 or 3 */
    uint8_t  register_sets;    /* 1 or 2 */
    uint8_t  red_due;          /* the instruction was given up because SP stood below the red limit */
    uint8_t  halt_traps;       /* D37: the board is strapped so that HALT in kernel mode traps through 4 */
    uint8_t  mapping_due;      /* a memory management trap follows this instruction */
    uint16_t program_request;  /* 777772 where it exists */
    uint16_t start_pc;         /* where power-up began: HALT that restarts goes on at start_pc + 4 (D38) */
    uint16_t step_register, step_by, step_address;   /* last mode-2 step, for D32 and D33 */
    ms_profile profile;
    uint32_t modules;          /* bit set of MS_MODULE_*: what is fitted */
    const ms_decoded *decoded; /* 65,536 entries, shared between machines of one profile and options */

    /* time */
    uint64_t time_ns, instructions;
    uint64_t naps;                   /* due times that did not end a WAIT; each counts towards a limit as an instruction does */
    uint32_t base_ns, cycle_ns;      /* time of an instruction: base + cycles x cycle */
    uint32_t reset_ns;               /* how long RESET holds bus initialise */
    const ms_times *times;           /* printed times, NULL none; if any, base_ns is that of the shortest instruction, cycle_ns 0 */
    const uint32_t *prices;          /* nanoseconds by the price of a word, NULL without printed times; shared like `decoded` */
    uint32_t untaken_ns;             /* a branch that is not taken takes so much less */
    uint32_t odd_byte_ns;            /* added for a byte operand at an odd address */
    uint32_t dearest_ns;             /* the longest of those the fast core runs */
    uint64_t next_due;               /* earliest timer, MS_NEVER if none */

    /* memory: bytes in the order of the bus, low byte of a word first */
    uint32_t memory_bytes;
    uint32_t plain_top;              /* memory is fitted without a gap from 0 to here, below the I/O page as the program sees it */
    uint32_t ram_top;                /* the same, as far as the program's addresses are physical ones: 0 if they are mapped */
    uint8_t  *present;               /* one byte a bank of MS_BANK_BYTES: fitted or not */
    uint8_t  address_bits;           /* 16, 18 or 22: of the processor and its memory bus */
    uint8_t  mapped;                 /* ms_mapping: which references memory management relocates */
    uint8_t  follows;                /* MS_FOLLOWS_*: what memory management records of each instruction */
    uint8_t  spare1[1];

    /* memory management (mapping.h) */
    uint16_t mmr[4];                 /* 777572 777574 777576 772516 */
    uint16_t par[4][2][8], pdr[4][2][8];        /* by mode, space (instruction, data), page */
    uint16_t bus_map[32][2];         /* low and high word; the last pair does not exist */

    /* floating point processor (floating.h) */
    uint64_t ac[6];                  /* sign and exponent at the top; a short number is the upper half */
    uint16_t fps, fec, fea;          /* status; code and address of the last exception */
    uint8_t  float_due;              /* its trap comes before the next floating instruction (parallel units) */
    uint8_t  spare3;

    /* I/O page */
    ms_io    io[MS_IO_WORDS];
    uint16_t *rom; uint32_t rom_words;          /* words of all ROM windows */
    ms_window *windows; uint32_t window_count;
    ms_register *registers; uint32_t register_count;
    ms_effect   *effects;   uint32_t effect_count;
    ms_timer    *timers;    uint32_t timer_count;
    ms_line     *lines;     uint32_t line_count;
    ms_ring     *rings;     uint32_t ring_count;
    ms_device   *devices;   uint32_t device_count;
    ms_agenda   *agenda;             /* what follows from these tables: what comes next; no freeze keeps it */
    int32_t  request_line;           /* best pending line that a grant can reach, -1 none; kept by engine.c */
    uint8_t  request_level;          /* its level, 0 if none */
    uint8_t  one_level;              /* D23: position alone decides, PS bit 7 masks */
    uint8_t  stop_request;           /* set by ms_request_stop from any thread */
    uint8_t  break_halt;             /* halt_switch was asserted by MS_DO_HALT; taken back when it has halted a run */
    uint8_t  spare2[4];
    ms_octal octal;                  /* the console of a processor that has one in microcode */
    uint64_t pause_ns;               /* the host wants the run to end here (engine.c, REQUEST); MS_NEVER: it does not */
    uint64_t event_ns;               /* inside ms_run_due: the due time being served; else MS_NEVER (engine.c only) */
    uint64_t taken_by_vector[MS_VECTORS];    /* interrupts, not traps */
    uint64_t traps_by_vector[MS_VECTORS];

    /* leaving a running instruction */
    jmp_buf  *abort_to;
    uint16_t abort_vector;

    /* host */
    void (*call)(void *handle, int device, int code, int reg, int data);
    void *handle;
    ms_until until;
    ms_stop  stop;                   /* != NONE: ms_run ends after this instruction.  until.c sets REACHED for an event */
    ms_access access[MS_ACCESSES]; uint32_t access_count; uint8_t tracing;
    uint8_t  core;                   /* ms_core: which one ms_run takes */
    ms_note  note[MS_NOTES]; uint32_t note_count;
    uint64_t ac_before[6]; uint16_t fps_before; uint8_t floats_noted;   /* as a traced floating instruction found them */
    uint8_t  at_destination;         /* the reference under way is that of the destination itself (D43) */
    uint8_t  rows_made;              /* a bit for each mode whose rows are right */
    uint32_t referred;               /* where the last reference beyond plain memory led (ms_refer); traced accesses have it */
    ms_rows  rows_of[4];
#ifdef MS_BLOCKS
    struct ms_blocks *blocks;        /* blocks.c */
    uint8_t  code_marks[0100000];    /* words that are decoded, or no plain memory */
#endif
};

/* --- joints ------------------------------------------------------------------------------------------------------ */

/* bus.c.  One cycle at a physical byte address (I/O page at the top of address_bits).  READ: *data is set to the word.
 * Gives 0, or -1 if nobody answers (the caller traps).  Runs device effects. */
int ms_bus_cycle(ms_machine *m, uint32_t physical, ms_cycle cycle, uint16_t *data);
uint32_t ms_io_base(const ms_machine *m);                  /* physical address of the I/O page */
/* The 16-bit address of the program, memory management off, as a physical one. */
static inline uint32_t ms_physical(const ms_machine *m, uint16_t address)
{
    return address >= 0160000u ? ms_io_base(m) + (address & 017777u) : address;
}

/* engine.c */
int  ms_register_read(ms_machine *m, uint32_t index, uint16_t *data);              /* 0, or -1: does not answer reads */
int  ms_register_write(ms_machine *m, uint32_t index, uint16_t data, uint16_t lanes); /* lanes: 0377, 0177400 or 0177777 */
void ms_bus_initialise(ms_machine *m);                     /* INIT to every device; time does not pass */
void ms_power_up_devices(ms_machine *m);                   /* power-up values, then INIT, then on_power */
void ms_run_due(ms_machine *m);                            /* every timed action due at m->time_ns; sets next_due */
int  ms_only_pause_is_due(const ms_machine *m);            /* next_due is the pause of the host, and no timed action */
uint16_t ms_acknowledge(ms_machine *m, int32_t line);      /* the grant arrives: vector; pending drops, on_acknowledge runs */

/* ring.c */
size_t ms_ring_feed(ms_machine *m, uint32_t ring, const uint8_t *bytes, size_t count);   /* host to guest */
size_t ms_ring_drain(ms_machine *m, uint32_t ring, uint8_t *bytes, size_t room);          /* guest to host */
void ms_ring_put(ms_machine *m, uint32_t ring, uint8_t byte);                             /* by effects; a text may come with it */
uint8_t ms_ring_take(ms_machine *m, uint32_t ring);                                       /* by effects; 0 if it is empty */

/* processor.c */
int  ms_processor_cycle(ms_machine *m, uint32_t offset, ms_cycle cycle, uint16_t *data);  /* PS and its like in the I/O page; -1: nobody */
uint16_t ms_get_ps(const ms_machine *m);
void ms_set_ps(ms_machine *m, uint16_t ps);                /* all bits the profile has, with change of mode and set */
void ms_trap(ms_machine *m, uint16_t vector);              /* push PS and PC, take the new ones */
_Noreturn void ms_abort(ms_machine *m, uint16_t vector);   /* leave the instruction: trap through vector */
void ms_power_up(ms_machine *m, uint16_t pc, uint16_t ps); /* registers 0, devices powered up, PC and PS as given */

/* Whoever writes plain memory says so (MS_WRITTEN) or asks first (MS_MAY_WRITE): a core may keep decoded what lies there.
 * Both are nothing unless the core is built with blocks of decoded instructions (blocks.c, a spike; docs/design/dispatch.md). */
#ifdef MS_BLOCKS
void ms_code_written(ms_machine *m, uint32_t address);
void ms_blocks_ahead(ms_machine *m, uint64_t budget);
void ms_free_blocks(ms_machine *m);
#define MS_WRITTEN(m, address) \
    do { if ((address) < 0200000u && (m)->code_marks[(address) >> 1]) ms_code_written(m, address); } while (0)
#define MS_MAY_WRITE(m, address) (!(m)->code_marks[(address) >> 1])
#else
#define MS_WRITTEN(m, address) ((void)0)
#define MS_MAY_WRITE(m, address) 1
#endif

/* reference.c.  Runs until a stop, on the core that m->core names; limit counts instructions, and due times that do not end a WAIT. */
ms_stop ms_run(ms_machine *m, uint64_t limit);
ms_stop ms_run_freely(ms_machine *m, uint64_t limit);      /* the same, with no condition in `until` */
ms_stop ms_step(ms_machine *m);                            /* one instruction, accesses recorded */
void ms_request_stop(ms_machine *m);
int  ms_stop_requested(ms_machine *m);                     /* was it asked for?  It is taken back by the question */

#endif
