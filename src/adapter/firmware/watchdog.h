#ifndef NINEPIN_WATCHDOG_H
#define NINEPIN_WATCHDOG_H

#include <stdbool.h>

/* Resets the chip when nobody feeds the watchdog for WATCHDOG_MS: line buffers off, everything from the start. */

#define WATCHDOG_MS 100u

void watchdog_start(void);
void watchdog_feed(void);

/* Whether the watchdog was what reset the chip last. */
bool watchdog_bit(void);

#endif
