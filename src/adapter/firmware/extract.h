#ifndef NINEPIN_EXTRACT_H
#define NINEPIN_EXTRACT_H

#include <stdbool.h>
#include <stdint.h>

#include "image.h"

/*
 * From a pad's reports to controls and axes, as an entry of an image says: IMAGE.md, "From a report to controls". Everything that
 * takes a division or a look at the entry is done when the pad is plugged in, so that a report takes little more than a
 * look at each field.
 */

/* Of a report, behind its number. */
#define REPORT_MAX_BYTES IMAGE_MAX_REPORT_BYTES

enum { AXIS_LEFT_X, AXIS_LEFT_Y, AXIS_RIGHT_X, AXIS_RIGHT_Y, PAD_AXES };

/* Where a value stands in a report that has been laid out in words of 32 bits. */
struct field {
    uint8_t report;  /* its number */
    uint8_t ends_at; /* bytes of the report, behind its number, that are needed */
    uint8_t word;
    uint8_t down; /* shift of that word, to the right, */
    uint8_t up;   /* and of the next one, to the left, less 1 */
    uint32_t mask;
    uint32_t sign; /* the last bit where that counts negative, else zero */
};

struct threshold {
    struct field field;
    uint32_t control;
    uint32_t holds;
    int32_t flip; /* -1 where it is held downwards: it turns the order of all values round */
    int32_t press;
    int32_t let_go;
};

/* All arrays that stand in the same place: one look at each field does for them. */
struct array {
    struct field field; /* the first; its end is that of the last */
    uint16_t bit;
    uint8_t bits;
    uint8_t fields;
    uint8_t first; /* of its values */
    uint8_t count;
    uint32_t holds;
};
struct array_value { /* within an array in rising order, none twice */
    int32_t value;
    uint32_t controls;
};

struct hat {
    struct field field;
    int32_t first;
    uint32_t step;
    uint8_t positions;
    uint8_t cross; /* number of its first control */
    uint32_t holds;
};

struct pad_axis {
    struct field field;
    uint8_t number;
    int32_t centre;
    struct side { /* of the centre */
        int32_t end;
        uint32_t factor;
        uint8_t shift;
        bool negative;
    } below, above;
};

struct extraction {
    bool numbered; /* a report begins with its number */
    uint8_t thresholds;
    uint8_t arrays;
    uint8_t array_values;
    uint8_t hats;
    uint8_t axes;
    struct threshold threshold[IMAGE_MAX_EXTRACTORS];
    struct array array[IMAGE_MAX_EXTRACTORS];
    struct array_value array_value[IMAGE_MAX_EXTRACTORS];
    struct hat hat[IMAGE_MAX_EXTRACTORS];
    struct pad_axis axis[PAD_AXES];

    uint32_t holds;             /* controls that any extractor holds */
    int16_t position[PAD_AXES]; /* -32767 to 32767; x to the right, y downwards */
};

/* Every control is let go, every axis at its centre. `entry`: a pad of an image that image_check() found sound. */
void extraction_begin(struct extraction *extraction, const uint8_t *entry);

/* What the pad sent. What it does not tell stays as it was. */
void extraction_report(struct extraction *extraction, const uint8_t *bytes, uint16_t count);

#endif
