/* How the firmware reads pads, on the machine of the tests. The first byte of a question says what it asks. */

#include "extract.h"
#include "image.h"
#include "messages.h"
#include "pad-reader.h"
#include "stick.h"

enum { ASK_EXTRACT = 'x', ASK_STICK = 's', ASK_READ = 'r' };

/* The entry of a pad, then its reports. After each: the controls that extractors hold, and the four axes. */
static void answer_extract(struct parcel *question, struct parcel *reply)
{
    uint16_t count;
    uint8_t *entry = message_take_copy(question, &count);
    struct extraction extraction;
    memset(&extraction, 0xA5, sizeof extraction);
    extraction_begin(&extraction, entry);
    free(entry);
    while (message_left(question)) {
        uint8_t *report = message_take_copy(question, &count);
        extraction_report(&extraction, report, count);
        free(report);
        message_put_u32(reply, extraction.holds);
        for (uint8_t k = 0; k < PAD_AXES; k++) message_put_u16(reply, (uint16_t)extraction.position[k]);
    }
}

/* Sticks, each with a walk over its plane: what it holds at each place. */
static void answer_stick(struct parcel *question, struct parcel *reply)
{
    while (message_left(question)) {
        const struct stick stick = {
            .gate = message_u8(question),
            .press = message_u16(question),
            .release = message_u16(question),
            .enter = message_u16(question),
            .begin = message_u16(question),
            .leave = message_u16(question),
        };
        uint8_t held = 0;
        for (uint16_t left = message_u16(question); left > 0; left--) {
            const int16_t x = (int16_t)message_u16(question);
            const int16_t y = (int16_t)message_u16(question);
            held = stick_direction(&stick, x, y, held);
            message_put_u8(reply, held);
        }
    }
}

/* An image, a pad that is plugged in under it, then steps. After each: whether the pad is known, and what it holds. */
static void answer_read(struct parcel *question, struct parcel *reply)
{
    uint16_t count;
    uint8_t *image = message_take_copy(question, &count);
    if (!image_check(image, count)) message_fail("that is no image");
    static struct pad_reader reader;
    memset(&reader, 0, sizeof reader);
    while (message_left(question)) {
        switch (message_u8(question)) {
        case 'p': {
            const struct pad_identity identity = {
                .via = message_u8(question),
                .vendor = message_u16(question),
                .product = message_u16(question),
                .release = message_u16(question),
                .descriptor_crc32 = message_u32(question),
            };
            pad_reader_plug(&reader, &identity, image);
            break;
        }
        case 'r': {
            uint8_t *report = message_take_copy(question, &count);
            pad_reader_report(&reader, report, count);
            free(report);
            break;
        }
        case 'l':
            free(image);
            image = message_take_copy(question, &count);
            if (!image_check(image, count)) message_fail("that is no image");
            pad_reader_load(&reader, image);
            break;
        case 'u': pad_reader_unplug(&reader); break;
        default: message_fail("no such step");
        }
        message_put_u8(reply, reader.known);
        message_put_u32(reply, reader.held);
    }
    free(image);
}

static void answer(struct parcel *question, struct parcel *reply)
{
    switch (message_u8(question)) {
    case ASK_EXTRACT: answer_extract(question, reply); break;
    case ASK_STICK: answer_stick(question, reply); break;
    case ASK_READ: answer_read(question, reply); break;
    default: message_fail("no such question");
    }
}

int main(void)
{
    return message_serve(answer);
}
