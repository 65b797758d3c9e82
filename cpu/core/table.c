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
    r->of = "";
    return r;
}

static void add(const char *mnemonic, const char *pattern, const ms_record *rest)
{
    if (record_count == MS_RECORDS) { complain("too many records", mnemonic, pattern); return; }
    ms_record *r = fill(&ms_record_list[record_count++], mnemonic, pattern);
    r->codes = rest->codes, r->traps = rest->traps, r->source = rest->source;
    r->form = rest->form, r->module = rest->module, r->is_byte = rest->is_byte;
    r->plain = rest->plain, r->traced = rest->traced;
}

void ms_add_record(const char *mnemonic, const char *pattern, int form, const char *codes, int module,
                   const char *traps, const char *source, ms_body plain, ms_body traced)
{
    ms_record rest = {.codes = codes, .traps = traps, .source = source, .form = (uint8_t)form,
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
    r->codes = owner->codes, r->traps = owner->traps, r->source = owner->source, r->module = owner->module;
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
        ms_record_list[0] = (ms_record){.codes = "", .traps = "10", .source = "", .of = "", .form = MS_FORM_TRAP,
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

static uint8_t cycles_of(const ms_record *r, unsigned word)
{
    const ms_form *f = &forms[r->form];
    return (uint8_t)(f->cycles + ms_operand_cycles(word >> 9 & 7, f->source) + ms_operand_cycles(word >> 3 & 7, f->destination));
}

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

typedef struct table { struct table *next; uint32_t modules; const void *const *paces, *const *mapped_paces; ms_decoded entries[0200000]; } table;

static table *make_table(uint32_t modules)
{
    table *t = calloc(1, sizeof *t);
    if (!t) return NULL;
    t->modules = modules;
    for (unsigned word = 0; word < 0200000; word++) t->entries[word].cycles = forms[MS_FORM_TRAP].cycles;
    for (uint32_t i = 1; i < record_count; i++)
        if ((modules >> ms_record_list[i].module & 1) && claim(t->entries, (uint16_t)i)) { free(t); return NULL; }
    t->paces = ms_fast_table(t->entries);
    if (modules & MS_FITTED(MMU)) t->mapped_paces = ms_mapped_table(t->entries);
    return t;
}

static const table *table_of(uint32_t modules)
{
    static table *tables;
    if (ms_table_error()) return NULL;
    lock();
    table *t = tables;
    while (t && t->modules != modules) t = t->next;
    if (!t && (t = make_table(modules))) { t->next = tables; tables = t; }
    unlock();
    return t;
}

const ms_decoded *ms_decode_table(uint32_t modules)
{
    const table *t = table_of(modules);
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

const char *ms_configure(ms_machine *m, const ms_profile *profile, uint32_t options)
{
    const uint32_t modules = ms_fitted(profile, options);
    const table *t = table_of(modules);
    if (!t) return ms_table_error() ? ms_table_error() : "no memory";
    m->profile = *profile;
    m->modules = modules;
    m->decoded = t->entries;
    m->paces = t->paces;
    m->mapped_paces = t->mapped_paces;
    m->modes = modules & MS_FITTED(MODES) ? profile->modes : 1;
    m->register_sets = FLAG(register_sets, 2) ? 2 : 1;
    m->one_level = FLAG(interrupt_levels, 1);
    ms_mapping_changed(m);
    return NULL;
}
