#include "reply-program.h"

static uint16_t jmp(uint8_t to)
{
    return to;
}

static uint16_t jmp_pin(uint8_t to, uint8_t delay)
{
    return (uint16_t)((uint32_t)delay << 8 | 6u << 5 | to);
}

static uint8_t row_after(const struct chart *chart, uint8_t row)
{
    if (row + 1u < chart->rows) return (uint8_t)(row + 1u);
    return chart->stays ? row : 0;
}

static uint16_t jmp_x_dec(uint8_t to)
{
    return (uint16_t)(2u << 5 | to);
}

enum { MOV_X_Y = 0xA022 };

/* A reply behind what makes it late. Returns where the reply itself stands. */
static uint8_t put_reply(uint16_t words[REPLY_WORDS], uint8_t *at, bool late)
{
    if (late) {
        words[(*at)++] = MOV_X_Y;
        words[*at] = jmp_x_dec(*at);
        (*at)++;
    }
    words[*at] = reply_set(ALL_PINS_HIGH);
    return (*at)++;
}

static bool is_late(const struct chart *chart, uint8_t phase)
{
    return (chart->late_phases >> phase & 1u) != 0;
}

void reply_program(const struct chart *chart, uint16_t words[REPLY_WORDS], struct reply_places *places)
{
    uint8_t enter_high[CHART_MAX_ROWS];
    uint8_t rise_at[CHART_MAX_ROWS];
    uint8_t at = 1;
    for (uint8_t k = 0; k < REPLY_WORDS; k++) {
        words[k] = jmp(REPLY_AT_RESET_LOW);
        places->row_at[k] = 0;
    }
    for (uint8_t row = 0; row < chart->rows; row++) {
        const uint8_t phase = (uint8_t)(2u * row);
        enter_high[row] = at;
        places->high[row] = put_reply(words, &at, is_late(chart, phase));
        words[at++] = jmp_pin(places->high[row], chart->delay_steps);
        if (row == 0) words[REPLY_AT_RESET_LOW] = jmp(at);
        places->low[row] = put_reply(words, &at, is_late(chart, (uint8_t)(phase + 1u)));
        rise_at[row] = at++;
        words[at++] = jmp(places->low[row]);
        for (uint8_t k = enter_high[row]; k < at; k++) places->row_at[k] = row;
    }
    for (uint8_t row = 0; row < chart->rows; row++)
        words[rise_at[row]] = jmp_pin(enter_high[row_after(chart, row)], chart->delay_steps);
    words[REPLY_AT_RESET_HIGH] = jmp_pin(enter_high[0], 0);
}

static void put_cells(struct reply_table *table, uint8_t phase, const uint8_t cells[CHART_PINS])
{
    const uint8_t word = phase / 4u;
    for (uint8_t pin = 0; pin < CHART_PINS; pin++) {
        const uint32_t bit = 1u << (8u * (phase % 4u) + pin);
        if (cells[pin] != CELL_LOW) table->resting[word] |= bit;
        if (cells[pin] < IMAGE_INPUTS) table->pressed[cells[pin]][word] |= bit;
    }
}

void reply_table_fill(struct reply_table *table, const struct chart *chart)
{
    for (uint8_t word = 0; word < REPLY_TABLE_WORDS; word++) {
        table->resting[word] = 0;
        for (uint8_t input = 0; input < IMAGE_INPUTS; input++) table->pressed[input][word] = 0;
    }
    for (uint8_t row = 0; row < chart->rows; row++) {
        put_cells(table, (uint8_t)(2u * row), chart->row[row].high);
        put_cells(table, (uint8_t)(2u * row + 1u), chart->row[row].low);
    }
}

void reply_table_pins(const struct reply_table *table, uint16_t inputs, uint32_t pins[REPLY_TABLE_WORDS])
{
    for (uint8_t word = 0; word < REPLY_TABLE_WORDS; word++) {
        uint32_t pulled = 0;
        for (uint8_t input = 0; inputs >> input != 0; input++)
            if (inputs & 1u << input) pulled |= table->pressed[input][word];
        pins[word] = table->resting[word] & ~pulled;
    }
}
