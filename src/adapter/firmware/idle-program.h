#ifndef NINEPIN_IDLE_PROGRAM_H
#define NINEPIN_IDLE_PROGRAM_H

#include <stdint.h>

/*
 * Two machines of the second PIO block sample select next to the reply machine. Instructions are encoded as RP2040
 * datasheet section 3.4 says; no side-set, so all five bits of bits 8 to 12 are delay.
 */

#define IDLE_AT_REST 0u
#define IDLE_WRAP_TOP 18u

#define RISES_AT_HIGH 24u
#define RISES_WRAP_BOTTOM 19u
#define RISES_WRAP_TOP 24u

#define IDLE_WORDS 25u

/* Both programs; the reset is announced so many cycles later, at most 31. */
void idle_program(uint8_t delay_cycles, uint16_t words[IDLE_WORDS]);

/* What the idle machine counts down from, for a time in nanoseconds; it takes two cycles of 8 ns for each. */
uint32_t idle_count(uint32_t idle_reset_ns);

#endif
