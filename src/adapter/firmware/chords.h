#ifndef NINEPIN_CHORDS_H
#define NINEPIN_CHORDS_H

#include <stdint.h>

#include "image.h"

/*
 * Chords of an image at work: of what is held, what passes on to the mapping. IMAGE.md, "Chords". Call chords_hold() when
 * what is held changes, chords_millisecond() with each millisecond, and chords_settle() after either; a millisecond and a
 * change that come together are settled together.
 */

struct chords {
    struct chord chord[IMAGE_MAX_CHORDS];
    uint8_t count;
    uint8_t on;       /* bit k: chord k */
    uint32_t members; /* controls that belong to a chord */
    uint32_t held;
    uint32_t waiting; /* of what is held: not yet passed, */
    uint32_t spent;   /* or used up by a chord */
    uint32_t echoing; /* let go while they waited, and still passing */
    /* What has waited for longer than a chord allows, and for the longest time of all its chords. */
    uint32_t late[IMAGE_MAX_CHORDS];
    uint32_t ripe;
    uint32_t ripe_at_once;              /* controls whose chords all allow no time */
    uint8_t longest_ms[IMAGE_CONTROLS]; /* of the chords that a control belongs to */
    uint8_t waited_ms[IMAGE_CONTROLS];
    uint8_t echo_ms[IMAGE_CONTROLS]; /* that are left of the echo */
};

/* No chord is on, and what is held passes. */
void chords_load(struct chords *chords, const uint8_t *image, uint32_t held);

/* Exactly these controls are held from now on. `waits`: whether a control that goes down may wait at all. */
void chords_hold(struct chords *chords, uint32_t held, bool waits);

/* A millisecond has passed. */
void chords_millisecond(struct chords *chords);

/* Turns chords on whose controls have all come, then lets pass what has waited for long enough. */
void chords_settle(struct chords *chords);

/* Controls that pass. */
static inline uint32_t chords_passing(const struct chords *chords)
{
    return (chords->held & ~chords->waiting & ~chords->spent) | chords->echoing;
}

/* Inputs of the chords that are on. */
uint16_t chords_inputs(const struct chords *chords);

#endif
