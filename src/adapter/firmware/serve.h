#ifndef NINEPIN_SERVE_H
#define NINEPIN_SERVE_H

#include <stdbool.h>
#include <stdint.h>

#include "link.h"

/*
 * Carries bytes between the USB port and the link. Call it in the main loop, after every interrupt and every
 * millisecond. Returns whether there is more to carry at once.
 */
bool serve_link(uint32_t now_ms, const struct link_state *state);

#endif
