#ifndef NINEPIN_ENUMERATE_H
#define NINEPIN_ENUMERATE_H

#include <stdbool.h>
#include <stdint.h>

#include "pad-identity.h"
#include "usb-host.h"

/*
 * From a device that was plugged in to a pad that is asked for reports: USB 2.0 sections 7.1.7.3, 7.1.7.5 and 9.1.2, HID 1.11
 * section 7. usb-host.h carries it out.
 */

#define DESCRIPTOR_MAX_BYTES 2048u

enum device_state {
    DEVICE_ABSENT,        /* nothing is plugged in, or it has not been there for long enough */
    DEVICE_COMES_UP,
    DEVICE_SERVED,        /* a pad; its reports come */
    DEVICE_IS_HUB,
    DEVICE_IS_KEYBOARD,   /* or a mouse, and nothing else */
    DEVICE_IS_OTHER,
    DEVICE_NEEDS_POWER,   /* it has not come up: power off and on may help, once */
    DEVICE_FAILED,        /* nothing helped */
    DEVICE_LEFT           /* it was there and has gone */
};

/*
 * Looks for a device on the lines from now on, as one that has just got power. The host side runs. Reports of a pad go to
 * `take_report`, in the interrupt.
 */
void enumerate_start(usb_take_report *take_report);

/* As enumerate_start(), for a device that was DEVICE_NEEDS_POWER: this is the last try. */
void enumerate_once_more(usb_take_report *take_report);

/* Call it in every round of the main loop. */
enum device_state enumerate_step(uint32_t now_ms);

/* Of a device that is DEVICE_SERVED or refused: who it is, and its report descriptor (`*length` may be 0). */
const struct pad_identity *enumerate_identity(void);
const uint8_t *enumerate_descriptor(uint16_t *length);

#endif
