#ifndef NINEPIN_STATED_TIMES_H
#define NINEPIN_STATED_TIMES_H

/* Written by `npm run tables` from src/adapter/stated.table.ts; change it there. */

/* Times that the adapter states, from its own connector and back to it: no cable is counted. */

/*
 * From an edge of select to six settled pins: 4 to 6 cycles of 8 ns, and up to one more because an edge may come anywhere in a cycle;
 * buffers add 44 ns at the most (a budget; to be measured on a board). The idle reset is decided never early, and reaches the pins
 * by DMA at most 22 cycles after its time, and then through the same driver.
 */
enum {
    STATED_REPLY_MIN_NS = 32,
    STATED_REPLY_MAX_NS = 100,
    STATED_DELAY_STRETCH = 1, /* with a deliberate delay `d` the reply comes up to so many times `d` later still */
    STATED_IDLE_RESET_MIN_NS = 0, /* against the time that the profile asks for */
    STATED_IDLE_RESET_MAX_NS = 220,
};

#endif
