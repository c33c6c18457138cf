#include "pad-reader.h"

#include <stddef.h>
#include <string.h>

#include "vendor-pad.h"

enum { FIRST_CONTROL_OF_LEFT_STICK = 17, FIRST_CONTROL_OF_RIGHT_STICK = 21 };

static void look_up(struct pad_reader *reader, const uint8_t *image)
{
    const uint8_t *entry = image_pad(image, &reader->identity);
    if (entry == NULL && reader->identity.via == PAD_VIA_VENDOR_CLASS) entry = vendor_pad;
    reader->known = entry != NULL;
    reader->held = 0;
    memset(reader->pointing, 0, sizeof reader->pointing);
    if (!reader->known) return;
    extraction_begin(&reader->extraction, entry);
    image_stick(image, STICK_OF_LEFT_HAND, &reader->sticks[STICK_OF_LEFT_HAND]);
    image_stick(image, STICK_OF_RIGHT_HAND, &reader->sticks[STICK_OF_RIGHT_HAND]);
}

static uint32_t point(struct pad_reader *reader, enum stick_side side, uint8_t x_axis, uint8_t first_control)
{
    const int16_t *at = reader->extraction.position + x_axis;
    reader->pointing[side] = stick_direction(&reader->sticks[side], at[0], at[1], reader->pointing[side]);
    return (uint32_t)reader->pointing[side] << first_control;
}

static void read(struct pad_reader *reader, const uint8_t *bytes, uint16_t count)
{
    extraction_report(&reader->extraction, bytes, count);
    reader->held = reader->extraction.holds |
                   point(reader, STICK_OF_LEFT_HAND, AXIS_LEFT_X, FIRST_CONTROL_OF_LEFT_STICK) |
                   point(reader, STICK_OF_RIGHT_HAND, AXIS_RIGHT_X, FIRST_CONTROL_OF_RIGHT_STICK);
}

void pad_reader_plug(struct pad_reader *reader, const struct pad_identity *identity, const uint8_t *image)
{
    reader->plugged = true;
    reader->identity = *identity;
    reader->last_count = 0;
    look_up(reader, image);
}

void pad_reader_load(struct pad_reader *reader, const uint8_t *image)
{
    if (!reader->plugged) return;
    look_up(reader, image);
    if (reader->known && reader->last_count > 0) read(reader, reader->last, reader->last_count);
}

void pad_reader_report(struct pad_reader *reader, const uint8_t *bytes, uint16_t count)
{
    /* A packet without anything in it says nothing. */
    if (!reader->plugged || count == 0) return;
    const uint16_t copied = count < sizeof reader->last ? count : (uint16_t)sizeof reader->last;
    memcpy(reader->last, bytes, copied);
    reader->last_count = copied;
    if (reader->known) read(reader, reader->last, copied);
}

void pad_reader_unplug(struct pad_reader *reader)
{
    reader->plugged = false;
    reader->known = false;
    reader->held = 0;
}
