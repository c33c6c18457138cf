#ifndef NINEPIN_PAD_READER_H
#define NINEPIN_PAD_READER_H

#include <stdbool.h>
#include <stdint.h>

#include "extract.h"
#include "image.h"
#include "pad-identity.h"
#include "stick.h"

/* The pad that is plugged in, as the image at work reads it: from its reports to the controls that are held. */

#define STICK_COUNT 2u

struct pad_reader {
    bool plugged;
    bool known; /* there is an entry for it */
    struct pad_identity identity;
    struct extraction extraction;
    struct stick sticks[STICK_COUNT];
    uint8_t pointing[STICK_COUNT]; /* what each stick holds */
    uint32_t held;
    /* The last report, which is read once more when another image comes: a pad that has nothing new to say may stay silent. */
    _Alignas(uint32_t) uint8_t last[REPORT_MAX_BYTES + 1u];
    uint16_t last_count;
};

/* A pad came. Nothing is held until it reports. */
void pad_reader_plug(struct pad_reader *reader, const struct pad_identity *identity, const uint8_t *image);

/* Another image is at work: its entry for the pad, if it has one, says what is held. */
void pad_reader_load(struct pad_reader *reader, const uint8_t *image);

/* What the pad sent; `held` then says what that means. Nothing happens where no pad is known. */
void pad_reader_report(struct pad_reader *reader, const uint8_t *bytes, uint16_t count);

/* The pad has gone, and holds nothing. */
void pad_reader_unplug(struct pad_reader *reader);

#endif
