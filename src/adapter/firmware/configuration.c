#include "configuration.h"

#include <stddef.h>

#include "bytes.h"

enum { CONFIGURATION = 2, INTERFACE = 4, ENDPOINT = 5, HID = 0x21, REPORT = 0x22 };
enum { CLASS_HID = 3, CLASS_HUB = 9, CLASS_VENDOR = 0xFF };
enum { SUBCLASS_BOOT = 1, SUBCLASS_VENDOR_PAD = 0x5D, PROTOCOL_VENDOR_PAD = 0x01 };
enum { PROTOCOL_KEYBOARD = 1, PROTOCOL_MOUSE = 2 };

#define ENDPOINT_IN 0x80u
#define ENDPOINT_TYPE 3u
#define ENDPOINT_INTERRUPT 3u

/* The interface of which the descriptors speak that come next; NULL when it is of no use here. */
static struct interface *begin_interface(struct configuration *into, const uint8_t *at)
{
    const uint8_t setting = at[3];
    const uint8_t class = at[5];
    const uint8_t subclass = at[6];
    const uint8_t protocol = at[7];
    if (class == CLASS_HUB) into->hub = true;
    const bool hid = class == CLASS_HID;
    const bool vendor = class == CLASS_VENDOR && subclass == SUBCLASS_VENDOR_PAD && protocol == PROTOCOL_VENDOR_PAD;
    if (setting != 0 || (!hid && !vendor) || into->count == MAX_INTERFACES) return NULL;
    struct interface *interface = &into->interfaces[into->count];
    const bool boot = hid && subclass == SUBCLASS_BOOT;
    *interface = (struct interface){
        .kind = hid ? INTERFACE_HID : INTERFACE_VENDOR,
        .number = at[2],
        .boot = boot,
        .keyboard_or_mouse = boot && (protocol == PROTOCOL_KEYBOARD || protocol == PROTOCOL_MOUSE),
    };
    return interface;
}

/* HID 1.11 section 6.2.1: a list of descriptors that belong to the interface, with their lengths. */
static void take_hid(struct interface *interface, const uint8_t *at)
{
    const uint8_t length = at[0];
    for (uint8_t k = 0; length >= 6u && k < at[5] && 6u + 3u * k + 3u <= length; k++) {
        const uint8_t *entry = at + 6u + 3u * k;
        if (entry[0] == REPORT) interface->descriptor_bytes = get_u16(entry + 1);
    }
}

/* Returns whether this makes the interface complete. */
static bool take_endpoint(struct interface *interface, const uint8_t *at, uint8_t most_packet)
{
    const bool fits = (at[2] & ENDPOINT_IN) && (at[3] & ENDPOINT_TYPE) == ENDPOINT_INTERRUPT && (at[2] & 15u) != 0;
    if (!fits || interface->endpoint != 0) return false;
    /* Bits 11 and 12 are of high speed only. */
    const uint16_t packet = get_u16(at + 4) & 0x7FFu;
    if (packet == 0) return false;
    interface->endpoint = at[2] & 15u;
    interface->packet_bytes = (uint8_t)(packet < most_packet ? packet : most_packet);
    interface->interval_ms = at[6] > 0 ? at[6] : 1;
    return true;
}

bool configuration_read(const uint8_t *bytes, uint16_t count, uint8_t most_packet, struct configuration *into)
{
    *into = (struct configuration){0};
    if (count < 9 || bytes[0] < 9 || bytes[1] != CONFIGURATION) return false;
    into->value = bytes[5];
    const uint16_t stated = get_u16(bytes + 2);
    const uint16_t end = stated < count ? stated : count;
    struct interface *interface = NULL;
    for (uint16_t at = bytes[0]; at + 2 <= end;) {
        const uint8_t length = bytes[at];
        if (length < 2 || at + length > end) break;
        const uint8_t type = bytes[at + 1];
        if (type == INTERFACE && length >= 9) interface = begin_interface(into, bytes + at);
        else if (type == HID && length >= 9 && interface != NULL) take_hid(interface, bytes + at);
        else if (type == ENDPOINT && length >= 7 && interface != NULL) {
            if (take_endpoint(interface, bytes + at, most_packet)) into->count++;
        }
        at = (uint16_t)(at + length);
    }
    return true;
}
