/* flags.c - the table of differences as Python sees it. */
#include <string.h>
#include "record.h"

#define WORD_TEXT(flag, word) #word,
#define ROW_TEXT(id, flag, ...) \
    {#id, #flag, {MS_EACH(WORD_TEXT, flag, __VA_ARGS__)}, offsetof(ms_profile, flag), 0, {0}},
#define FACTS_TEXT(id, flag, ...) \
    {#id, #flag, {MS_EACH(WORD_TEXT, flag, __VA_ARGS__)}, offsetof(ms_profile, flag), 1, {0}},

static const ms_flag_row rows[MS_FLAG_COUNT] = {MS_FLAG_TABLE(ROW_TEXT, FACTS_TEXT)};

const ms_flag_row *ms_flag_at(uint32_t index)
{
    return index < MS_FLAG_COUNT ? &rows[index] : NULL;
}

static const ms_flag_row *find(const char *flag, int is_facts)
{
    for (uint32_t i = 0; i < MS_FLAG_COUNT; i++)
        if (rows[i].is_facts == is_facts && !strcmp(rows[i].flag, flag)) return &rows[i];
    return NULL;
}

static int place_of(const ms_flag_row *row, const char *word)
{
    for (uint32_t i = 0; row && i < MS_FLAG_WORDS && row->words[i]; i++)
        if (!strcmp(row->words[i], word)) return (int)i;
    return -1;
}

int ms_profile_word(ms_profile *profile, const char *flag, const char *word)
{
    const ms_flag_row *row = find(flag, 0);
    int place = place_of(row, word);
    if (place < 0) return -1;
    ((uint8_t *)profile)[row->offset] = (uint8_t)(place + 1);
    return 0;
}

int ms_profile_fact(ms_profile *profile, const char *flag, const char *fact, int yes)
{
    const ms_flag_row *row = find(flag, 1);
    int place = place_of(row, fact);
    if (place < 0) return -1;
    uint8_t *facts = (uint8_t *)profile + row->offset;
    *facts = (uint8_t)(yes ? *facts | 1u << place : *facts & ~(1u << place));
    return 0;
}
