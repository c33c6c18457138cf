#ifndef NINEPIN_USB_LINK_H
#define NINEPIN_USB_LINK_H

#include <stdbool.h>
#include <stdint.h>

#include "link.h"

/*
 * Carries bytes between the USB port and the link. Call it in the main loop, after every interrupt and every
 * millisecond. Returns whether there is more to carry at once.
 */
bool usb_link_step(uint32_t now_ms, const struct port_state *state);

#endif
