#include "usb-descriptors.h"

#include <stddef.h>

#define LOW(word) ((word) & 0xFFu)
#define HIGH(word) ((word) >> 8 & 0xFFu)

/* Descriptor types: USB 2.0 table 9-5; CDC 1.2 table 12. */
enum { DEVICE = 1, CONFIGURATION = 2, STRING = 3, INTERFACE = 4, ENDPOINT = 5, CS_INTERFACE = 0x24 };

/* Class codes: CDC 1.2 tables 2, 4, 5, 6. */
enum { COMMUNICATIONS = 0x02, ABSTRACT_CONTROL = 0x02, CDC_DATA = 0x0A, NO_PROTOCOL = 0 };

/* Functional descriptor subtypes: CDC 1.2 table 13. */
enum { HEADER = 0x00, CALL_MANAGEMENT = 0x01, ACM = 0x02, UNION = 0x06 };

enum { BULK = 2, INTERRUPT = 3 };
enum { LANGUAGES = 0, MAKER = 1, PRODUCT = 2, SERIAL = 3 };

#define USB_RELEASE 0x0200u
#define CDC_RELEASE 0x0120u
#define DEVICE_RELEASE 0x0010u /* 0.1.0, binary-coded */
#define ENGLISH 0x0409u

const uint8_t usb_device_descriptor[USB_DEVICE_DESCRIPTOR_BYTES] = {
    USB_DEVICE_DESCRIPTOR_BYTES,
    DEVICE,
    LOW(USB_RELEASE),
    HIGH(USB_RELEASE),
    COMMUNICATIONS,
    0,
    0,
    USB_PACKET_BYTES,
    LOW(USB_VENDOR_ID),
    HIGH(USB_VENDOR_ID),
    LOW(USB_PRODUCT_ID),
    HIGH(USB_PRODUCT_ID),
    LOW(DEVICE_RELEASE),
    HIGH(DEVICE_RELEASE),
    MAKER,
    PRODUCT,
    SERIAL,
    1, /* configuration */
};

/* clang-format off */
const uint8_t usb_configuration_descriptor[USB_CONFIGURATION_BYTES] = {
    9, CONFIGURATION, LOW(USB_CONFIGURATION_BYTES), HIGH(USB_CONFIGURATION_BYTES), USB_INTERFACES, USB_CONFIGURATION, 0,
    0x80, /* powered by the bus, wakes nobody */
    50,   /* in units of 2 mA */

    9, INTERFACE, USB_CONTROL_INTERFACE, 0, 1, COMMUNICATIONS, ABSTRACT_CONTROL, NO_PROTOCOL, 0,
    5, CS_INTERFACE, HEADER, LOW(CDC_RELEASE), HIGH(CDC_RELEASE),
    5, CS_INTERFACE, CALL_MANAGEMENT, 0x00, USB_DATA_INTERFACE,
    4, CS_INTERFACE, ACM, 0x02, /* line coding and control line state */
    5, CS_INTERFACE, UNION, USB_CONTROL_INTERFACE, USB_DATA_INTERFACE,
    7, ENDPOINT, USB_NOTICE_IN, INTERRUPT, LOW(USB_NOTICE_BYTES), HIGH(USB_NOTICE_BYTES), 255, /* ms */

    9, INTERFACE, USB_DATA_INTERFACE, 0, 2, CDC_DATA, 0, NO_PROTOCOL, 0,
    7, ENDPOINT, USB_DATA_OUT, BULK, LOW(USB_PACKET_BYTES), HIGH(USB_PACKET_BYTES), 0,
    7, ENDPOINT, USB_DATA_IN, BULK, LOW(USB_PACKET_BYTES), HIGH(USB_PACKET_BYTES), 0,
};
/* clang-format on */

static uint8_t put_text(const char *text, uint8_t into[USB_MAX_STRING_BYTES])
{
    uint8_t at = 2;
    for (const char *from = text; *from != 0 && at < USB_MAX_STRING_BYTES; from++) {
        into[at++] = (uint8_t)*from; /* UTF-16, of which ASCII is a part */
        into[at++] = 0;
    }
    return at;
}

uint8_t usb_string_descriptor(uint8_t index, const char *serial, uint8_t into[USB_MAX_STRING_BYTES])
{
    const char *const texts[] = {[LANGUAGES] = NULL, [MAKER] = "Ninepin", [PRODUCT] = "Ninepin adapter", [SERIAL] = serial};
    if (index >= sizeof texts / sizeof texts[0]) return 0;
    uint8_t bytes = 4;
    if (index == LANGUAGES) {
        into[2] = LOW(ENGLISH);
        into[3] = HIGH(ENGLISH);
    } else {
        bytes = put_text(texts[index], into);
    }
    into[0] = bytes;
    into[1] = STRING;
    return bytes;
}
