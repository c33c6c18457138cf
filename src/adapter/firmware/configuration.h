#ifndef NINEPIN_CONFIGURATION_H
#define NINEPIN_CONFIGURATION_H

#include <stdbool.h>
#include <stdint.h>

/* What a configuration descriptor says of the interfaces that a pad may have: USB 2.0 section 9.6, HID 1.11 section 6.2.1. */

#define CONFIGURATION_MAX_BYTES 512u
#define MAX_INTERFACES 8u

enum interface_kind {
    INTERFACE_HID,
    INTERFACE_VENDOR, /* class 0xFF, 0x5D, 0x01: pads with reports of 20 bytes (from memory) */
};

struct interface {
    enum interface_kind kind;
    uint8_t number;
    bool boot;                  /* it may come up in the boot protocol (HID 1.11 section 4.2) */
    bool keyboard_or_mouse;     /* by its boot protocol (section 4.3) */
    uint16_t descriptor_bytes;  /* of its report descriptor; HID only */
    uint8_t endpoint;           /* its interrupt IN endpoint, 1 to 15 */
    uint8_t packet_bytes;       /* 1 to 64 */
    uint8_t interval_ms;        /* 1 to 255 */
};

struct configuration {
    uint8_t value; /* for SET_CONFIGURATION */
    bool hub;      /* it has a hub's interface */
    uint8_t count;
    struct interface interfaces[MAX_INTERFACES]; /* those with an interrupt IN endpoint, in the first of their settings */
};

/*
 * Reads a configuration descriptor with all that follows it. Whatever lies about its length is passed over.
 *
 * `most_packet` is the longest packet at the device's speed. Returns false when it is no configuration descriptor.
 */
bool configuration_read(const uint8_t *bytes, uint16_t count, uint8_t most_packet, struct configuration *into);

#endif
