#ifndef NINEPIN_REPLY_H
#define NINEPIN_REPLY_H

#include <stdbool.h>
#include <stdint.h>

#include "image.h"

/*
 * The reply engine: from an edge of select to six settled pins without the processor.
 *
 * The instruction memory of one PIO block is the table of replies (reply-program.h). A machine of the other block counts
 * from each rise of select to the idle reset; what it then says goes by DMA to the reply machine as a jump to the first cycle.
 *
 * A level of select that lasts less than one turn of either loop (three cycles, ten with the longest delay) may go unseen.
 */

/* All lines high and the line buffers still off. No console is answered before reply_load(). */
void reply_init(void);

/*
 * Answers as this chart says from now on, with `inputs` pressed and no rise counted, and lets the line buffers drive.
 * While the table is exchanged, for some microseconds, the pins stand still and select is not looked at. Interrupts are off.
 */
void reply_load(const struct chart *chart, uint16_t inputs);

/* Answers with exactly these inputs pressed, on the spot. */
void reply_set_inputs(uint16_t inputs);

/*
 * Late phases are late by so many cycles from now on, REPLY_LEAST_LATE at least. reply_load() makes it that. Not with a chart that has a
 * deliberate delay.
 */
void reply_set_late(uint16_t cycles);

/* Row 0 answers always, from now on until reply_load(). */
void reply_keep_first_cycle(void);

struct reply_state {
    uint16_t rises; /* since the count was last reset, 65535 for more */
    bool high;      /* select */
};
struct reply_state reply_state(void);

/*
 * Whether an idle reset has come since this was last asked. The handler of PIO1_IRQ_0 asks: it is the first to hear of it.
 */
bool reply_take_reset(void);

/* Turns the line buffers off, whatever else is going on: every line reads high, nothing pressed. */
void reply_stop(void);

#endif
