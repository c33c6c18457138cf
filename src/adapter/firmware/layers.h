#ifndef NINEPIN_LAYERS_H
#define NINEPIN_LAYERS_H

#include <stdint.h>

#include "image.h"

/* Mapping and layers of an image at work: from controls that pass to inputs that are asked for. */
struct layers {
    uint32_t mapping[IMAGE_INPUTS];
    struct layer layer[IMAGE_MAX_LAYERS];
    uint8_t count;
    uint8_t on;    /* bit k: layer k */
    uint8_t begun; /* bit k: any control that turns layer k on passes */
};

/* Every toggled layer is off, and nothing passes. */
void layers_load(struct layers *layers, const uint8_t *image);

/* The inputs that these controls ask for, before opposite directions and repeat. Call it whenever what passes has changed. */
uint16_t layers_asked(struct layers *layers, uint32_t passing);

#endif
