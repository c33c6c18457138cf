#ifndef NINEPIN_SWEEP_H
#define NINEPIN_SWEEP_H

#include <stdint.h>

#include "image.h"

/* Late replies that come later step by step while an input is held: IMAGE.md. Interrupts are off for all of it. */

/* The sweep of the image at work, which reply_load() was called for. Nothing is held. */
void sweep_load(const struct sweep *sweep);

/* What of the inputs that are pressed reaches the port: the one that sweeps, in the first part of each step only. */
uint16_t sweep_passes(uint16_t inputs);

/* Once a millisecond, before it is shown what passes. */
void sweep_tick(uint16_t inputs, uint32_t now_ms);

#endif
