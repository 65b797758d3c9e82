/* bus.c - one bus cycle: memory, I/O page, and time-out when nobody answers.
 *
 * Memory is a map of fitted banks.  What lies under the I/O page is hidden.  ROM words can only be read: a write gets no
 * answer, which the processor sees as a bus error [boot-terminator-posts]. */
#include <string.h>
#include "export.h"
#include "mapping.h"
#include "record.h"

uint32_t ms_io_base(const ms_machine *m)
{
    return ((uint32_t)1 << m->address_bits) - 2 * MS_IO_WORDS;
}

static uint16_t memory_word(const ms_machine *m, uint32_t at)
{
    return (uint16_t)(m->memory[at] | m->memory[at + 1] << 8);
}

static int memory_answers(const ms_machine *m, uint32_t at)
{
    return at + 1 < m->memory_bytes && m->present[at / MS_BANK_BYTES];
}

static int memory_cycle(ms_machine *m, uint32_t physical, ms_cycle cycle, uint16_t *data)
{
    uint32_t word = physical & ~(uint32_t)1;
    if (!memory_answers(m, word)) return -1;
    switch (cycle) {
    case MS_CYCLE_READ:
        *data = memory_word(m, word);
        return 0;
    case MS_CYCLE_WRITE:
        m->memory[word] = (uint8_t)*data;
        m->memory[word + 1] = (uint8_t)(*data >> 8);
        MS_WRITTEN(m, word);
        return 0;
    case MS_CYCLE_WRITE_BYTE:
        m->memory[physical] = (uint8_t)*data;
        MS_WRITTEN(m, word);
        return 0;
    }
    return -1;
}

/* The word of a ROM window, with the page its page register selects. */
static uint16_t rom_word(const ms_machine *m, const ms_window *w, uint32_t word)
{
    uint32_t at = word - w->first;
    if (w->page_register >= 0) {
        uint32_t page = (m->registers[w->page_register].value >> w->page_shift) & 0377u;
        at = page * w->page_words + at % w->page_words;
    }
    return at < w->rom_words ? m->rom[w->rom_first + at] : 0;
}

static int register_cycle(ms_machine *m, uint16_t index, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    if (cycle == MS_CYCLE_READ) return ms_register_read(m, index, data);
    if (cycle == MS_CYCLE_WRITE) return ms_register_write(m, index, *data, 0177777u);
    if (offset & 1) return ms_register_write(m, index, (uint16_t)(*data << 8), 0177400u);
    return ms_register_write(m, index, *data & 0377u, 0377u);
}

static int io_cycle(ms_machine *m, uint32_t offset, ms_cycle cycle, uint16_t *data)
{
    const ms_io *io = &m->io[offset / 2];
    switch (io->kind) {
    case MS_IO_REGISTER:
        return register_cycle(m, io->index, offset, cycle, data);
    case MS_IO_ROM:
        if (cycle != MS_CYCLE_READ) return -1;
        *data = rom_word(m, &m->windows[io->index], offset / 2);
        return 0;
    default:
        return ms_processor_cycle(m, offset, cycle, data);
    }
}

/* With a bus map the top of 22 bits leads out to the bus, and from there as for a device. */
static uint32_t through_window(const ms_machine *m, uint32_t physical)
{
    const int goes_out = m->modules & MS_FITTED(MAP) && m->address_bits == 22 && physical >= MS_BUS_WINDOW;
    return goes_out && physical < ms_io_base(m) ? ms_from_bus(m, physical & 0777777u) : physical;
}

int ms_bus_cycle(ms_machine *m, uint32_t physical, ms_cycle cycle, uint16_t *data)
{
    uint32_t base = ms_io_base(m);
    physical = through_window(m, physical);
    if (physical < base) return memory_cycle(m, physical, cycle, data);
    if (physical - base >= 2 * MS_IO_WORDS) return -1;
    return io_cycle(m, physical - base, cycle, data);
}

int ms_put_memory(ms_machine *m, uint32_t physical, const uint8_t *bytes, uint32_t count)
{
    if (physical > m->memory_bytes || count > m->memory_bytes - physical) return -1;
    memcpy(m->memory + physical, bytes, count);
    for (uint32_t at = physical & ~(uint32_t)1; at < physical + count; at += 2) MS_WRITTEN(m, at);
    return 0;
}

int ms_peek(ms_machine *m, uint32_t physical, uint16_t *data)
{
    uint32_t base = ms_io_base(m);
    physical = through_window(m, physical);
    if (physical < base) return memory_cycle(m, physical, MS_CYCLE_READ, data);
    if (physical - base >= 2 * MS_IO_WORDS) return -1;
    const ms_io *io = &m->io[(physical - base) / 2];
    if (io->kind == MS_IO_REGISTER) {
        const ms_register *r = &m->registers[io->index];
        *data = r->value & r->readable;
        return r->answers & 1 ? 0 : -1;
    }
    if (io->kind == MS_IO_ROM) return io_cycle(m, physical - base, MS_CYCLE_READ, data);
    return ms_processor_cycle(m, physical - base, MS_CYCLE_READ, data);
}

/* Keeps plain_top right: memory without a gap from 0, at most to the I/O page as a program without mapping sees it. */
static void measure(ms_machine *m)
{
    uint32_t top = 0;
    while (top < 0160000u && top + MS_BANK_BYTES <= m->memory_bytes && m->present[top / MS_BANK_BYTES]) top += MS_BANK_BYTES;
    m->plain_top = top < 0160000u ? top : 0160000u;
    ms_mapping_changed(m);
}

int ms_fit_memory(ms_machine *m, uint32_t start, uint32_t bytes)
{
    if (start % MS_BANK_BYTES || start > m->memory_bytes || bytes > m->memory_bytes - start) return -1;
    for (uint32_t bank = start / MS_BANK_BYTES; bank < (start + bytes + MS_BANK_BYTES - 1) / MS_BANK_BYTES; bank++)
        m->present[bank] = 1;
    measure(m);
    return 0;
}

int ms_place(ms_machine *m, uint32_t offset, uint8_t kind, uint16_t index)
{
    if (offset >= 2 * MS_IO_WORDS || kind > MS_IO_PROCESSOR) return -1;
    if (kind == MS_IO_REGISTER && index >= m->register_count) return -1;
    if (kind == MS_IO_ROM) {
        if (index >= m->window_count) return -1;
        const ms_window *w = &m->windows[index];
        if (offset / 2 < w->first || offset / 2 >= (uint32_t)w->first + w->words) return -1;
    }
    m->io[offset / 2] = (ms_io){.kind = kind, .index = index};
    return 0;
}
