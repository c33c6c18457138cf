#ifndef NINEPIN_REPLY_PROGRAM_H
#define NINEPIN_REPLY_PROGRAM_H

#include <stdbool.h>
#include <stdint.h>

#include "image.h"

/*
 * The program of the reply machine, which is also its table: one `set pins` is one reply of six pins.
 *
 *   0:      jmp lo_0
 *   hi_k:   set pins, H_k  side h     k: rises since the count was reset
 *           jmp pin hi_k [d]          select is still high
 *   lo_k:   set pins, L_k  side l
 *           jmp pin hi_(k+1) [d]      it rose
 *           jmp lo_k
 *
 *   31:     jmp pin hi_0              and on to 0
 *
 * After the last row the next rise goes to hi_0 (start again) or to the last row itself (stay). An idle reset is the
 * instruction `jmp 0` (select is low) or `jmp 31` (it is high) forced upon the machine, and as a number that instruction is
 * 0 or 31. 31 looks once more, so that a fall that came in between does not show the reply for high.
 *
 * A phase whose reply comes late has two words more before the first of these, in a row wherever there is room:
 *
 *           mov x, y
 *   here:   jmp x-- here
 *
 * so what stood on the pins stands on for Y + 2 cycles. Whatever leads to the phase leads to `mov`, while the loop that follows goes round
 * between the other two: a phase is late once. Nothing is looked at meanwhile.
 *
 * A change of select is answered 4 to 6 cycles after the pin, the synchroniser's 2 included; d cycles of deliberate delay add
 * d to the least and 2 d to the most, as the loop becomes that much longer.
 *
 * Instructions are encoded as RP2040 datasheet section 3.4 says, with two side-set bits of which one is the enable.
 */

#define REPLY_WORDS 32u

/* Where an idle reset goes, by the level of select. */
#define REPLY_AT_RESET_LOW 0u
#define REPLY_AT_RESET_HIGH 31u

/* What counting takes by itself. */
#define REPLY_LEAST_LATE 2u

/* Where each row's replies stand in the program, and to which row an address belongs. */
struct reply_places {
    uint8_t high[CHART_MAX_ROWS];
    uint8_t low[CHART_MAX_ROWS];
    uint8_t row_at[REPLY_WORDS];
};

/* The instruction that puts six pins (bit 0 is pin 1, bit 5 pin 9) on the port. */
static inline uint16_t reply_set(uint8_t pins)
{
    return (uint16_t)(0xF000u | (pins & 0x1Fu) | (uint32_t)(pins & 0x20u) << 6);
}

/* The whole program, with every line high. */
void reply_program(const struct chart *chart, uint16_t words[REPLY_WORDS], struct reply_places *places);

/*
 * What is on the pins, for all rows at once: phase p (twice the row, plus 1 when select is low) is byte p of three words.
 * An input clears its pins in every phase that it stands in.
 */
#define REPLY_TABLE_WORDS 3u

struct reply_table {
    uint32_t resting[REPLY_TABLE_WORDS];
    uint32_t pressed[IMAGE_INPUTS][REPLY_TABLE_WORDS];
};

void reply_table_fill(struct reply_table *table, const struct chart *chart);
void reply_table_pins(const struct reply_table *table, uint16_t inputs, uint32_t pins[REPLY_TABLE_WORDS]);

static inline uint8_t reply_phase_pins(const uint32_t pins[REPLY_TABLE_WORDS], uint8_t phase)
{
    return (uint8_t)(pins[phase / 4u] >> 8u * (phase % 4u));
}

#endif
