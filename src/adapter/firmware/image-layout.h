#ifndef NINEPIN_IMAGE_LAYOUT_H
#define NINEPIN_IMAGE_LAYOUT_H

#include <stdbool.h>
#include <stdint.h>

#include "bytes.h"

/* Where things are in an image: the numbers of IMAGE.md, in bytes. For the files that read images. */

enum {
    AT_VERSION = 4,
    AT_FAMILY = 5,
    AT_LENGTH = 6,
    AT_IDLE_RESET_NS = 8,
    AT_DELAY_NS = 12,
    AT_CYCLES = 14,
    AT_AFTER = 15,
    AT_OPPOSITE = 16,
    AT_LAYERS = 17,
    AT_POWER_ON_RULES = 18,
    AT_BANK_CHANGES = 19,
    AT_NAME_BYTES = 20,
    AT_NAME = 21,
    AT_PADS = 53,
    AT_CHORDS = 54,
    AT_GAP = 55,
    AT_REPEAT = 56,
    AT_MAPPING = 80,
    AT_CHART = 128,

    NAME_ROOM = 32,
    ROW_BYTES = 6,
    PHASE_BYTES = 3,
    RULE_BYTES = 8,
    LAYER_HEAD_BYTES = 8,
    REPEAT_KINDS_BYTES = 4,
    STICK_BYTES = 16,
    STICKS = 2,
    CHORD_BYTES = 8,
    PAD_HEAD_BYTES = 44,
    EXTRACTOR_BYTES = 20,
    CRC_BYTES = 4,
};

/* From the beginning of a layer. */
enum { LAYER_AT_NAMED = 4, LAYER_AT_TOGGLED = 6, LAYER_AT_ZERO = 7 };

/* From the beginning of a stick. */
enum {
    STICK_AT_GATE = 0,
    STICK_AT_INNER = 1,
    STICK_AT_OUTER = 2,
    STICK_AT_DIAGONAL = 3,
    STICK_AT_HYSTERESIS = 4,
    STICK_AT_ZERO = 5,
    STICK_AT_PRESS = 6,
    STICK_AT_RELEASE = 8,
    STICK_AT_ENTER = 10,
    STICK_AT_BEGIN = 12,
    STICK_AT_LEAVE = 14,
};

/* From the beginning of a chord. */
enum { CHORD_AT_INPUTS = 4, CHORD_AT_MS = 6 };

/* From the beginning of a pad. */
enum {
    PAD_AT_VENDOR = 0,
    PAD_AT_PRODUCT = 2,
    PAD_AT_VIA = 4,
    PAD_AT_EXTRACTORS = 5,
    PAD_AT_NAME_BYTES = 6,
    PAD_AT_ONE_DESCRIPTOR = 7,
    PAD_AT_DESCRIPTOR_CRC32 = 8,
    PAD_AT_NAME = 12,
};

/* From the beginning of an extractor. */
enum {
    EXTRACTOR_AT_KIND = 0,
    EXTRACTOR_AT_ARGUMENT = 1,
    EXTRACTOR_AT_COUNT = 2,
    EXTRACTOR_AT_REPORT = 4,
    EXTRACTOR_AT_BITS = 5,
    EXTRACTOR_AT_BIT = 6,
    EXTRACTOR_AT_P = 8,
    EXTRACTOR_AT_Q = 12,
    EXTRACTOR_AT_R = 16,
};

enum { KIND_THRESHOLD = 1, KIND_ARRAY = 2, KIND_HAT = 3, KIND_AXIS = 4 };
enum { FIELD_SIGNED = 128 }; /* beside the number of its bits */

static inline bool image_stays(const uint8_t *image)
{
    return image[AT_AFTER] == 1;
}

static inline uint8_t image_rows(const uint8_t *image)
{
    return (uint8_t)(image[AT_CYCLES] + (image_stays(image) ? 1 : 0));
}

/* Version 1 ends behind the bank changes. */
static inline bool image_has_tail(const uint8_t *image)
{
    return image[AT_VERSION] >= 2;
}

static inline uint16_t chart_end(uint8_t rows)
{
    return (uint16_t)(AT_CHART + rows * ROW_BYTES);
}

static inline uint16_t layers_at(uint8_t rows)
{
    return (uint16_t)((chart_end(rows) + 3u) & ~3u);
}

static inline uint16_t layer_named(const uint8_t *layer)
{
    return get_u16(layer + LAYER_AT_NAMED);
}

/* How many bytes a layer takes that names these inputs. */
static inline uint16_t layer_bytes(uint16_t named)
{
    uint16_t bytes = LAYER_HEAD_BYTES;
    for (uint16_t left = named; left != 0; left &= (uint16_t)(left - 1u)) bytes = (uint16_t)(bytes + 4u);
    return bytes;
}

static inline uint16_t pad_bytes(uint8_t extractors)
{
    return (uint16_t)(PAD_HEAD_BYTES + extractors * EXTRACTOR_BYTES);
}

#endif
