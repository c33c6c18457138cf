#ifndef NINEPIN_USB_CONTROL_H
#define NINEPIN_USB_CONTROL_H

#include <stdbool.h>
#include <stdint.h>

#include "usb-descriptors.h"

/*
 * What is asked over endpoint 0, apart from the controller that carries it: the standard requests of USB 2.0
 * section 9.4 and those of a serial port (PSTN 1.2 section 6.3).
 */

struct usb_setup {
    uint8_t request_type; /* bmRequestType */
    uint8_t request;
    uint16_t value;
    uint16_t index;
    uint16_t length;
};

/* Bits of the endpoints that can be halted. */
enum usb_halt { USB_HALT_NOTICE_IN = 1, USB_HALT_DATA_OUT = 2, USB_HALT_DATA_IN = 4 };

struct usb_control {
    const char *serial;
    uint8_t address; /* takes effect after the status stage */
    uint8_t configuration;
    uint8_t halted;      /* enum usb_halt */
    uint8_t line_coding[7];
    bool terminal_ready; /* DTR */
    uint8_t scratch[USB_MAX_STRING_BYTES];
};

enum usb_stage {
    USB_REFUSED,  /* stall */
    USB_GIVES,    /* `data`, `count` bytes, go to the host */
    USB_TAKES,    /* `count` bytes come from the host; give them to usb_control_take() */
    USB_DONE      /* nothing but the status stage */
};

/* What a setup packet calls for, and what of it concerns the controller. */
struct usb_answer {
    enum usb_stage stage;
    const uint8_t *data;
    uint16_t count;
    enum {
        USB_CHANGED_NOTHING,
        USB_CHANGED_ADDRESS,
        USB_CHANGED_CONFIGURATION,
        USB_CHANGED_HALTS, /* `endpoints` were halted or let go */
        USB_CHANGED_LINE   /* DTR fell or rose */
    } changed;
    uint8_t endpoints; /* enum usb_halt */
};

/* The bus was reset, or power came on. */
void usb_control_reset(struct usb_control *control);

struct usb_answer usb_control_setup(struct usb_control *control, const struct usb_setup *setup);

/* The data stage of a request that takes some. False: it is not what the request asked for. */
bool usb_control_take(struct usb_control *control, const uint8_t *data, uint16_t count);

#endif
