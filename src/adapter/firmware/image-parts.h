#ifndef NINEPIN_IMAGE_PARTS_H
#define NINEPIN_IMAGE_PARTS_H

#include <stdbool.h>
#include <stdint.h>

#include "bytes.h"
#include "image-layout.h"

/* Where the parts of an image begin and end that have no fixed place. For the files that read images. */

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

/* Only version 3 has late replies. */
static inline bool image_has_sweep(const uint8_t *image)
{
    return image[AT_VERSION] == IMAGE_VERSION;
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
