#ifndef NINEPIN_TICKS_H
#define NINEPIN_TICKS_H

#include <stdint.h>

/* Milliseconds since start-up, by the chip's timer; they count on and wrap. */

void ticks_init(void);
uint32_t ticks_ms(void);

/* Handler of TIMER_IRQ_0: a millisecond is over. */
void ticks_next(void);

/* Wakes the main loop after so many microseconds, by TIMER_IRQ_1. */
void ticks_nudge_in_us(uint32_t us);

/* Handler of TIMER_IRQ_1. */
void ticks_nudged(void);

#endif
