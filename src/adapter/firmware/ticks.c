#include "ticks.h"

#include <stdbool.h>

#include "chip.h"

#define TICK_US 1000u

enum { TICK_ALARM = 1u << 0, NUDGE_ALARM = 1u << 1 };

static volatile uint32_t now_ms;
static uint32_t next_us;

static bool is_past(uint32_t us)
{
    return (int32_t)(TIMER_TIMERAWL - us) >= 0;
}

/* An alarm whose time is past when it is set would come 71 minutes later: then it is skipped, and its millisecond counted. */
static void set_alarm(void)
{
    do {
        now_ms++;
        next_us += TICK_US;
        TIMER_ALARM0 = next_us;
    } while (is_past(next_us));
}

void ticks_init(void)
{
    next_us = TIMER_TIMERAWL;
    set_alarm();
    TIMER_INTE = TICK_ALARM | NUDGE_ALARM;
}

uint32_t ticks_ms(void)
{
    return now_ms;
}

void ticks_next(void)
{
    TIMER_INTR = TICK_ALARM;
    set_alarm();
}

void ticks_nudge_in_us(uint32_t us)
{
    TIMER_ALARM1 = TIMER_TIMERAWL + us;
}

void ticks_nudged(void)
{
    TIMER_INTR = NUDGE_ALARM;
}
