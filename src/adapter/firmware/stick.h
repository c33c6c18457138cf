#ifndef NINEPIN_STICK_H
#define NINEPIN_STICK_H

#include <stdint.h>

#include "image-layout.h"

/* How a stick becomes eight directions: IMAGE.md, "Sticks". Integers of 32 bits, no division. */

struct stick {
    uint8_t gate;     /* enum gate */
    uint16_t press;   /* distances, in units of an axis; its end is 32767 */
    uint16_t release; /* 1 to press */
    uint16_t enter;   /* tangents, in units of 1/32768: leave <= begin <= enter <= 32769 */
    uint16_t begin;
    uint16_t leave;
};

/* What a stick holds: none, one, or two that lie side by side. In the order of the controls. */
enum { STICK_UP = 1, STICK_DOWN = 2, STICK_LEFT = 4, STICK_RIGHT = 8 };

/*
 * The directions that a stick holds, at x (to the right) and y (downwards), -32767 to 32767 each. `before`: what it held.
 */
uint8_t stick_direction(const struct stick *stick, int16_t x, int16_t y, uint8_t before);

#endif
