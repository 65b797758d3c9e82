/* table.c - the records of all instructions, and the decode tables made from them. */
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include "mapping.h"
#include "record.h"

ms_record ms_record_list[MS_RECORDS];
static ms_record aliases[MS_RECORDS];
static uint32_t record_count = 1, alias_count;             /* record 0: reserved words */
static char wrong[128];

static atomic_flag busy = ATOMIC_FLAG_INIT;
static void lock(void) { while (atomic_flag_test_and_set(&busy)) { } }
static void unlock(void) { atomic_flag_clear(&busy); }

/* --- forms and modules ------------------------------------------------------------------------------------------- */

#define FORM_TEXT(name, operands, source, destination, cycles, byte) \
    {#name, operands, MS_USE_##source, MS_USE_##destination, cycles, byte},
static const ms_form forms[MS_FORM_COUNT] = {MS_FORMS(FORM_TEXT)};

#define MODULE_WORD(name, word) word,
static const char *const module_words[MS_MODULE_COUNT] = {MS_MODULES(MODULE_WORD)};
#define MODULE_NAME(name, word) #name,
static const char *const module_names[MS_MODULE_COUNT] = {MS_MODULES(MODULE_NAME)};

const ms_form *ms_form_at(uint32_t index) { return index < MS_FORM_COUNT ? &forms[index] : NULL; }
const char *ms_module_word(uint32_t module) { return module < MS_MODULE_COUNT ? module_words[module] : NULL; }
const char *ms_module_name(uint32_t module) { return module < MS_MODULE_COUNT ? module_names[module] : NULL; }

/* --- patterns -------------------------------------------------------------------------------------------------------
 * Six places: the first is bit 15, the others three bits each.  A digit is fixed; a capital letter is a field of three
 * bits (S D F operands, R register, N number); `a` and `A` are an accumulator of two bits with the top bit 0 or 1.
 * Six digits and "+XX" or "+C" are a base with a field of eight or four low bits. */

static int pattern_bits(const char *pattern, uint16_t *value, uint16_t *mask)
{
    *value = *mask = 0;
    for (int i = 0; i < 6; i++) {
        const char c = pattern[i];
        const int shift = 15 - 3 * i;
        if (c >= '0' && c <= (i ? '7' : '1')) {
            *value |= (uint16_t)((c - '0') << shift);
            *mask |= (uint16_t)((i ? 7 : 1) << shift);
        } else if (i && c && strchr("aA", c)) {
            *value |= (uint16_t)((c == 'A' ? 4 : 0) << shift);
            *mask |= (uint16_t)(4 << shift);
        } else if (!i || !c || !strchr("SDFRN", c)) return -1;
    }
    if (!strcmp(pattern + 6, "+XX")) *mask &= 0177400;
    else if (!strcmp(pattern + 6, "+C")) *mask &= 0177760;
    else if (pattern[6]) return -1;
    return *value & ~*mask ? -1 : 0;
}

int32_t ms_collision(const char *pattern, const char *other)
{
    uint16_t value, mask, value2, mask2;
    if (pattern_bits(pattern, &value, &mask) || pattern_bits(other, &value2, &mask2)) return -2;
    return (value ^ value2) & mask & mask2 ? -1 : value | value2;
}

/* --- records ----------------------------------------------------------------------------------------------------- */

static void complain(const char *what, const char *mnemonic, const char *pattern)
{
    if (!wrong[0]) snprintf(wrong, sizeof wrong, "%s: %s %s", what, mnemonic, pattern);
}

static ms_record *fill(ms_record *r, const char *mnemonic, const char *pattern)
{
    memset(r, 0, sizeof *r);
    if (strlen(mnemonic) >= sizeof r->mnemonic) complain("mnemonic too long", mnemonic, pattern);
    snprintf(r->mnemonic, sizeof r->mnemonic, "%s", mnemonic);
    snprintf(r->pattern, sizeof r->pattern, "%s", pattern);
    if (pattern_bits(r->pattern, &r->value, &r->mask)) complain("no pattern", mnemonic, pattern);
    r->of = r->does = "";
    return r;
}

static void add(const char *mnemonic, const char *pattern, const ms_record *rest)
{
    if (record_count == MS_RECORDS) { complain("too many records", mnemonic, pattern); return; }
    ms_record *r = fill(&ms_record_list[record_count++], mnemonic, pattern);
    r->codes = rest->codes, r->traps = rest->traps, r->source = rest->source, r->does = rest->does;
    r->form = rest->form, r->module = rest->module, r->is_byte = rest->is_byte;
    r->plain = rest->plain, r->traced = rest->traced;
}

void ms_add_record(const char *mnemonic, const char *pattern, int form, const char *codes, int module,
                   const char *traps, const char *source, const char *does, ms_body plain, ms_body traced)
{
    ms_record rest = {.codes = codes, .traps = traps, .source = source, .does = does, .form = (uint8_t)form,
                      .module = (uint8_t)module, .is_byte = forms[form].byte, .plain = plain, .traced = traced};
    if (pattern[0] != '*') { add(mnemonic, pattern, &rest); return; }
    char name[16], both[16];
    snprintf(both, sizeof both, "0%s", pattern + 1);
    add(mnemonic, both, &rest);
    snprintf(name, sizeof name, "%sB", mnemonic);
    both[0] = '1';
    rest.is_byte = 1;
    add(name, both, &rest);
}

static const ms_record *find(const char *mnemonic)
{
    for (uint32_t i = 1; i < record_count; i++)
        if (!strcmp(ms_record_list[i].mnemonic, mnemonic)) return &ms_record_list[i];
    return NULL;
}

void ms_add_alias(const char *mnemonic, const char *of, const char *pattern)
{
    const ms_record *owner = find(of);
    if (alias_count == MS_RECORDS || !owner) { complain("no owner", mnemonic, of); return; }
    ms_record *r = fill(&aliases[alias_count++], mnemonic, pattern);
    const int whole = !strcmp(pattern, owner->pattern);    /* else it is one word of the owner, without an operand */
    r->of = owner->mnemonic;
    r->codes = owner->codes, r->traps = owner->traps, r->source = owner->source, r->does = owner->does, r->module = owner->module;
    r->form = whole ? owner->form : MS_FORM_PLAIN;
    if ((r->value & owner->mask) != owner->value) complain("not a word of its owner", mnemonic, pattern);
}

static void check_names(void)
{
    for (uint32_t i = 1; i < record_count; i++) {
        const ms_record *r = &ms_record_list[i];
        if (find(r->mnemonic) != r) complain("mnemonic used twice", r->mnemonic, "");
    }
}

static void make_records(void)
{
    static int made;
    lock();
    if (!made) {
        ms_record_list[0] = (ms_record){.codes = "", .traps = "10", .source = "", .of = "", .does = "", .form = MS_FORM_TRAP,
                                 .plain = ms_reserved_plain, .traced = ms_reserved_traced};
        ms_register_all();
        check_names();
        made = 1;
    }
    unlock();
}

const ms_record *ms_records(void) { make_records(); return ms_record_list; }
uint32_t ms_record_count(void) { make_records(); return record_count; }
const ms_record *ms_aliases(void) { make_records(); return aliases; }
uint32_t ms_alias_count(void) { make_records(); return alias_count; }
const char *ms_table_error(void) { make_records(); return wrong[0] ? wrong : NULL; }

/* --- decode tables ----------------------------------------------------------------------------------------------- */

#define MS_PRICES 256u             /* a price is a byte of ms_decoded */

/* One for each set of modules and each table of printed times. */
typedef struct table {
    struct table *next;
    uint32_t modules;
    int is_timed;
    ms_times times;                /* all 0 if it is not timed */
    uint32_t price_count, least_ns, most_ns;           /* the shortest of all, the longest of those with a handler */
    uint32_t prices[MS_PRICES];
    const void *const *paces, *const *mapped_paces;
    ms_decoded entries[0200000];
} table;

static uint8_t cycles_of(const ms_record *r, unsigned word)
{
    const ms_form *f = &forms[r->form];
    return (uint8_t)(f->cycles + ms_operand_cycles(word >> 9 & 7, f->source) + ms_operand_cycles(word >> 3 & 7, f->destination));
}

/* --- printed times (times.h) --------------------------------------------------------------------------------------- */

static int fits(const ms_time_line *line, unsigned word)
{
    return (line->source_mode < 0 || line->source_mode == (int)(word >> 9 & 7)) &&
           (line->destination_mode < 0 || line->destination_mode == (int)(word >> 3 & 7));
}

/* What the operands add.  A source that stands in the low six bits, as that of MUL, is a source all the same. */
static uint32_t operands_ns(const ms_times *t, const ms_form *f, unsigned word)
{
    const unsigned low = word >> 3 & 7, is_source = !f->source && f->operands[0] == 'S';
    uint32_t ns = f->source ? t->source_ns[word >> 9 & 7] : 0;
    if (!f->destination || !low) return ns;
    if (is_source) return ns + t->source_ns[low];
    return ns + t->destination_ns[low] - (f->destination == MS_USE_READ ? t->read_less_ns : 0);
}

/* lines: those of the record, up to one of another. */
static uint32_t time_of(const ms_times *t, const ms_time_line *lines, ms_decoded entry, unsigned word)
{
    const ms_record *r = &ms_record_list[entry.record];
    if (entry.record == MS_RESERVED) return t->trap_ns;
    for (const ms_time_line *l = lines; l < t->lines + t->line_count && l->record == entry.record; l++) {
        if (!fits(l, word)) continue;
        return l->source_mode < 0 && l->destination_mode < 0 ? l->ns + operands_ns(t, &forms[r->form], word) : l->ns;
    }
    return t->rest_ns + t->rest_cycle_ns * entry.cycles;
}

/* Which of the prices it is, a new one if none of them; -1: too many are different. */
static int price_of(table *t, uint32_t ns)
{
    uint32_t i = 0;
    while (i < t->price_count && t->prices[i] != ns) i++;
    if (i == MS_PRICES) return -1;
    if (i == t->price_count) t->prices[t->price_count++] = ns;
    return (int)i;
}

static int fill_prices(table *t)
{
    const ms_times *times = &t->times;
    const ms_time_line *of_record[MS_RECORDS];
    for (uint32_t i = 0; i < MS_RECORDS; i++) of_record[i] = times->lines + times->line_count;
    for (uint32_t i = times->line_count; i--;)
        if (times->lines[i].record < MS_RECORDS) of_record[times->lines[i].record] = &times->lines[i];
    t->least_ns = UINT32_MAX;
    for (unsigned word = 0; word < 0200000; word++) {
        ms_decoded *entry = &t->entries[word];
        const uint32_t ns = time_of(times, of_record[entry->record], *entry, word);
        const uint32_t less = ms_record_list[entry->record].form == MS_FORM_BRANCH ? times->untaken_ns : 0;
        const int price = price_of(t, ns);
        if (price < 0 || ns <= less) return -1;
        entry->price = (uint8_t)price;
        if (ns - less < t->least_ns) t->least_ns = ns - less;
    }
    return 0;
}

/* Of the words that have a handler, the longest.  HALT never has one. */
static uint32_t longest(const table *t)
{
    uint32_t most = 0;
    for (unsigned word = 0; t->paces && word < 0200000; word++)
        if (t->paces[word] != t->paces[0] && t->prices[t->entries[word].price] > most) most = t->prices[t->entries[word].price];
    return most;
}

uint64_t ms_dearest_ns(const ms_machine *m)
{
    return m->times ? m->dearest_ns : m->base_ns + (uint64_t)(MS_COSTS - 1) * m->cycle_ns;
}

/* --- decode tables made and kept ------------------------------------------------------------------------------------- */

/* Every word that r owns; -1 if another record owns one of them. */
static int claim(ms_decoded *table, uint16_t index)
{
    const ms_record *r = &ms_record_list[index];
    for (unsigned word = r->value; word <= (r->value | (0177777u & ~r->mask)); word++) {
        if ((word & r->mask) != r->value) continue;
        if (table[word].record != MS_RESERVED) {
            complain("two records match one word", r->mnemonic, ms_record_list[table[word].record].mnemonic);
            return -1;
        }
        table[word] = (ms_decoded){.record = index, .cycles = cycles_of(r, word)};
    }
    return 0;
}

static table *make_table(uint32_t modules, const ms_times *times)
{
    table *t = calloc(1, sizeof *t);
    if (!t) return NULL;
    t->modules = modules;
    t->is_timed = times != NULL;
    if (times) t->times = *times;
    for (unsigned word = 0; word < 0200000; word++) t->entries[word].cycles = forms[MS_FORM_TRAP].cycles;
    for (uint32_t i = 1; i < record_count; i++)
        if ((modules >> ms_record_list[i].module & 1) && claim(t->entries, (uint16_t)i)) { free(t); return NULL; }
    if (times && fill_prices(t)) { free(t); return NULL; }
    t->paces = ms_fast_table(t->entries, t->times.odd_byte_ns != 0);
    if (modules & MS_FITTED(MMU)) t->mapped_paces = ms_mapped_table(t->entries, t->times.odd_byte_ns != 0);
    if (times) t->most_ns = longest(t);
    return t;
}

static int is_table_of(const table *t, uint32_t modules, const ms_times *times)
{
    return t->modules == modules && t->is_timed == (times != NULL) && (!times || !memcmp(&t->times, times, sizeof *times));
}

static const table *table_of(uint32_t modules, const ms_times *times)
{
    static table *tables;
    if (ms_table_error()) return NULL;
    lock();
    table *t = tables;
    while (t && !is_table_of(t, modules, times)) t = t->next;
    if (!t && (t = make_table(modules, times))) { t->next = tables; tables = t; }
    unlock();
    return t;
}

const ms_decoded *ms_decode_table(uint32_t modules)
{
    const table *t = table_of(modules, NULL);
    return t ? t->entries : NULL;
}

/* --- what a processor has ---------------------------------------------------------------------------------------- */

uint32_t ms_fitted(const ms_profile *profile, uint32_t options)
{
    const struct { const ms_profile profile; } machine = {*profile}, *m = &machine;    /* for FLAG and FACT */
    uint32_t modules = MS_FITTED(BASE);
    if (FACT(later_base_instructions, sob)) modules |= MS_FITTED(SOB);
    if (FACT(later_base_instructions, mark)) modules |= MS_FITTED(MARK);
    if (FACT(later_base_instructions, sxt)) modules |= MS_FITTED(SXT);
    if (FACT(later_base_instructions, xor)) modules |= MS_FITTED(XOR);
    if (FLAG(rtt, yes)) modules |= MS_FITTED(RTT);         /* D14, not the same fact in D08 */
    if (FLAG(spl, yes)) modules |= MS_FITTED(SPL);
    if (FLAG(ps_access, instructions) || FLAG(ps_access, both)) modules |= MS_FITTED(PS);
    if (profile->processor_type) modules |= MS_FITTED(MFPT);
    if (profile->processor_type == 5) modules |= MS_FITTED(PAIR);
    if (FLAG(eis, none)) options &= ~MS_FITTED(EIS);
    if (FLAG(fis, none)) options &= ~MS_FITTED(FIS);
    if (FLAG(fpp, none)) options &= ~MS_FITTED(FPP);
    if (!(options & MS_FITTED(MMU))) options &= ~MS_FITTED(MAP);
    if (options & MS_FITTED(MMU) && FACT(mmr3, csm)) modules |= MS_FITTED(CSM);
    if (options & MS_FITTED(MMU) || FLAG(modes_without_mmu, yes)) modules |= MS_FITTED(MODES);
    return modules | (options & (MS_FITTED(EIS) | MS_FITTED(FIS) | MS_FITTED(FPP) | MS_FITTED(CIS) | MS_FITTED(MMU) |
                                 MS_FITTED(MAP) | MS_FITTED(STACK_LIMIT)));
}

static const char *wrong_times(const ms_times *times)
{
    if (times->line_count > MS_TIME_LINES) return "too many lines of instruction times";
    for (unsigned mode = 1; mode < 8; mode++)
        if (times->destination_ns[mode] < times->read_less_ns) return "a destination that is only read takes less than no time";
    return NULL;
}

/* Prices, and what follows from them.  Without a table of times the caller says what an instruction takes. */
static void set_times(ms_machine *m, const table *t)
{
    m->times = t->is_timed ? &t->times : NULL;
    m->prices = t->is_timed ? t->prices : NULL;
    m->untaken_ns = t->times.untaken_ns;
    m->odd_byte_ns = t->times.odd_byte_ns;
    m->dearest_ns = t->most_ns;
    m->cost_of[0] = 0;             /* whatever the fast core made of other times */
    if (t->is_timed) m->base_ns = t->least_ns, m->cycle_ns = 0;
}

const char *ms_configure(ms_machine *m, const ms_profile *profile, uint32_t options, const ms_times *times)
{
    const char *wrong_time = times ? wrong_times(times) : NULL;
    if (wrong_time) return wrong_time;
    const uint32_t modules = ms_fitted(profile, options);
    const table *t = table_of(modules, times);
    if (!t) return ms_table_error() ? ms_table_error() : "no memory, or impossible instruction times";
    m->profile = *profile;
    m->modules = modules;
    m->decoded = t->entries;
    m->paces = t->paces;
    m->mapped_paces = t->mapped_paces;
    set_times(m, t);
    m->modes = modules & MS_FITTED(MODES) ? profile->modes : 1;
    m->register_sets = FLAG(register_sets, 2) ? 2 : 1;
    m->one_level = FLAG(interrupt_levels, 1);
    m->octal.kind = profile->debugger;
    m->octal.bits = profile->debugger_bits;
    ms_mapping_changed(m);
    return NULL;
}
