/* flags.h - the 53 documented differences between groups of processors as named flags: one table for C and Python.
 *
 * ROW: one word out of several.  FACTS: several yes/no facts in one row, a bit each.  Words and names are those of the
 * catalogue (profile-rows.yaml); a test compares both, either way.  What a word means stands in the catalogue.
 * A flag that makes no sense for a profile is 0 (not_applicable).
 */
#ifndef MS_FLAGS_H
#define MS_FLAGS_H

#include <stdint.h>

#define MS_FLAG_TABLE(ROW, FACTS) \
    ROW(D01, same_register_source_value, after, before) \
    ROW(D02, same_register_source_value_deferred, after, before) \
    ROW(D03, pc_source_indexed_value, plus4, plus2) \
    ROW(D04, jump_autoincrement_target, after, initial) \
    ROW(D05, jump_register_trap, 4, 10) \
    ROW(D06, swab_v, cleared, unchanged) \
    ROW(D07, general_register_addresses, program, console_only, nobody) \
    FACTS(D08, later_base_instructions, sob, mark, sxt, xor, rtt) \
    ROW(D09, eis, none, option, standard) \
    ROW(D10, fis, option, none) \
    ROW(D11, fpp, available, none) \
    ROW(D12, spl, yes, no) \
    ROW(D13, power_fail_during_reset, after_reset, ends_reset) \
    ROW(D14, rtt, yes, no) \
    ROW(D15, rti_sets_t, after_next, at_once) \
    ROW(D16, interrupt_with_trace, trace_first, interrupt_first) \
    ROW(D17, trace_ends_wait, ends_wait, waits) \
    ROW(D18, ps_write_sets_t, can, cannot) \
    ROW(D19, bad_stack_in_trap, halt, emergency_stack) \
    ROW(D20, first_service_instruction, always, not_guaranteed) \
    ROW(D21, register_sets, 1, 2) \
    ROW(D22, ps_access, address, instructions, both) \
    ROW(D23, interrupt_levels, 1, 4) \
    ROW(D24, stack_limit, none, fixed_400, register, fixed_400_register_option, fixed_400_yellow) \
    ROW(D25, odd_address_trap, yes, no) \
    ROW(D26, fis_uses_stack, yes, no) \
    ROW(D27, eis_interruptible, yes, no) \
    ROW(D28, fis_interruptible, yes, no) \
    ROW(D29, eis_source_cycle, read_modify_write, read) \
    ROW(D30, mov_last_cycle, write, read_write) \
    ROW(D31, fetch_error_pc, incremented, not_incremented) \
    ROW(D32, autoincrement_nonexistent, incremented, not_incremented) \
    ROW(D33, autoincrement_odd, incremented, not_incremented) \
    ROW(D34, fis_abort_cc, restored, indeterminate) \
    ROW(D35, clr_sxt_last_cycle, write, read_write) \
    ROW(D36, halt_not_kernel, 4, 10) \
    ROW(D37, halt_kernel, halts, halts_or_trap_4, see_d38) \
    ROW(D38, halt_without_mmu, halts, restart) \
    ROW(D39, code_075040_075377, trap_10, read_then_trap_10) \
    ROW(D40, code_000210_000217, trap_10, maintenance) \
    ROW(D41, code_0754_to_0767, trap_10) \
    ROW(D42, code_17_without_fpp, trap_10) \
    ROW(D43, mmr0_maintenance, yes, no) \
    ROW(D44, modes_without_mmu, yes, no) \
    ROW(D45, illegal_mode, unsafe, abort, abort_r6_user) \
    ROW(D46, mtps_user, cc_only, full_if_mapped) \
    ROW(D47, execute_from_registers, impossible, allowed) \
    ROW(D48, pdr_access_and_trap_bits, yes, no) \
    ROW(D49, par_bits, 12, 16) \
    ROW(D50, mmr0_trap_bits, yes, no) \
    FACTS(D51, mmr3, d_space, map_and_22bit, csm) \
    ROW(D52, mmr2_catches_vectors, yes, no) \
    ROW(D53, previous_mode_10_r6, unpredictable, user_sp)
#define MS_FLAG_COUNT 53u
#define MS_FLAG_WORDS 5u       /* most words in a row */

/* ms_profile: one byte a flag.  The last members are no rows of the table: what kind of processor it is. */
#define MS_MEMBER(id, flag, ...) uint8_t flag;
typedef struct {
    MS_FLAG_TABLE(MS_MEMBER, MS_MEMBER)
    uint8_t modes;             /* 1 kernel only, 2 and user, 3 and supervisor */
    uint8_t processor_type;    /* what MFPT gives, 0: no such instruction */
    uint8_t no_red_zone;       /* one stack trap below 400, nothing worse further down */
    uint8_t user_limit;        /* the fixed stack limit 400 in user mode too */
    uint8_t only_movb_reads;   /* D30: of the two forms of MOV only that for bytes reads before it writes */
    uint8_t debugger;          /* ms_octal_kind: its console in microcode */
    uint8_t debugger_bits;     /* address bits of that */
    uint8_t parallel_float;    /* the floating point processor runs beside this one: its traps come late */
} ms_profile;

/* The words as numbers: MS_swab_v_cleared and so on, from 1 in the order of the table; for FACTS bit numbers from 0. */
#define MS_EACH(F, flag, ...) \
    MS_PICK(__VA_ARGS__, MS_EACH5, MS_EACH4, MS_EACH3, MS_EACH2, MS_EACH1, )(F, flag, __VA_ARGS__)
#define MS_PICK(a, b, c, d, e, chosen, ...) chosen
#define MS_EACH1(F, flag, a) F(flag, a)
#define MS_EACH2(F, flag, a, ...) F(flag, a) MS_EACH1(F, flag, __VA_ARGS__)
#define MS_EACH3(F, flag, a, ...) F(flag, a) MS_EACH2(F, flag, __VA_ARGS__)
#define MS_EACH4(F, flag, a, ...) F(flag, a) MS_EACH3(F, flag, __VA_ARGS__)
#define MS_EACH5(F, flag, a, ...) F(flag, a) MS_EACH4(F, flag, __VA_ARGS__)

#define MS_WORD_ENUM(flag, word) MS_##flag##_##word,
#define MS_ROW_ENUM(id, flag, ...) enum { MS_##flag##_not_applicable, MS_EACH(MS_WORD_ENUM, flag, __VA_ARGS__) };
#define MS_FACTS_ENUM(id, flag, ...) enum { MS_EACH(MS_WORD_ENUM, flag, __VA_ARGS__) };
MS_FLAG_TABLE(MS_ROW_ENUM, MS_FACTS_ENUM)

/* Does machine m show this word of the row?  Does it have this fact of the row? */
#define FLAG(flag, word) (m->profile.flag == MS_##flag##_##word)
#define FACT(flag, word) ((m->profile.flag >> MS_##flag##_##word & 1) != 0)

#endif
