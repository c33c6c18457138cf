#include "watchdog.h"

#include <stdint.h>

#include "chip.h"

/* It counts down by two at each tick of 1 us: erratum RP2040-E1. */
#define COUNTS_PER_MS 2000u

void watchdog_feed(void)
{
    WATCHDOG_LOAD = WATCHDOG_MS * COUNTS_PER_MS;
}

void watchdog_start(void)
{
    /* All but the oscillators: pins, PIO and this processor included (2.13.5). */
    PSM_WDSEL = PSM_ALL & ~(PSM_ROSC | PSM_XOSC);
    CLEAR(WATCHDOG_CTRL) = WATCHDOG_CTRL_ENABLE | WATCHDOG_CTRL_PAUSE;
    watchdog_feed();
    SET(WATCHDOG_CTRL) = WATCHDOG_CTRL_ENABLE;
}

bool watchdog_bit(void)
{
    return (WATCHDOG_REASON & WATCHDOG_REASON_TIMER) != 0;
}
