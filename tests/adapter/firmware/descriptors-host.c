/* What a host reads of a device's descriptors, on the machine of the tests: descriptors in, what was read out. */

#include "configuration.h"
#include "hid-scan.h"
#include "messages.h"

enum { SCAN, CONFIGURATION };

static void answer(struct parcel *question, struct parcel *reply)
{
    const uint8_t what = message_u8(question);
    const uint8_t most_packet = message_u8(question);
    uint16_t count;
    uint8_t *bytes = message_take_copy(question, &count);
    if (what == SCAN) {
        const struct hid_scan scan = hid_scan(bytes, count);
        message_put_u8(reply, (uint8_t)scan.kind);
        message_put_u16(reply, scan.report_bytes);
    } else {
        struct configuration read;
        message_put_u8(reply, configuration_read(bytes, count, most_packet, &read));
        message_put_u8(reply, read.value);
        message_put_u8(reply, read.hub);
        message_put_u8(reply, read.count);
        for (uint8_t k = 0; k < read.count; k++) {
            const struct interface *interface = &read.interfaces[k];
            message_put_u8(reply, (uint8_t)interface->kind);
            message_put_u8(reply, interface->number);
            message_put_u8(reply, interface->boot);
            message_put_u8(reply, interface->keyboard_or_mouse);
            message_put_u16(reply, interface->descriptor_bytes);
            message_put_u8(reply, interface->endpoint);
            message_put_u8(reply, interface->packet_bytes);
            message_put_u8(reply, interface->interval_ms);
        }
    }
    free(bytes);
}

int main(void)
{
    return message_serve(answer);
}
