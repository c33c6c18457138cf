#include "layers.h"

void layers_load(struct layers *layers, const uint8_t *image)
{
    image_mapping(image, layers->mapping);
    layers->count = image_layers(image, layers->layer);
    layers->on = 0;
    layers->begun = 0;
}

static void turn(struct layers *layers, uint32_t passing)
{
    for (uint8_t k = 0; k < layers->count; k++) {
        const uint8_t bit = (uint8_t)(1u << k);
        const uint8_t begun = layers->layer[k].by & passing ? bit : 0;
        if (!layers->layer[k].toggled) layers->on = (uint8_t)((layers->on & ~bit) | begun);
        else if (begun & ~layers->begun) layers->on ^= bit;
        layers->begun = (uint8_t)((layers->begun & ~bit) | begun);
    }
}

/* The inputs among those named of which a control passes. */
static uint16_t asked_by(const uint32_t mapping[IMAGE_INPUTS], uint32_t passing)
{
    uint16_t asked = 0;
    for (uint8_t k = 0; k < IMAGE_INPUTS; k++)
        if (mapping[k] & passing) asked |= (uint16_t)(1u << k);
    return asked;
}

uint16_t layers_asked(struct layers *layers, uint32_t passing)
{
    turn(layers, passing);
    uint16_t asked = asked_by(layers->mapping, passing);
    for (uint8_t k = 0; k < layers->count; k++) {
        const struct layer *layer = &layers->layer[k];
        if (layers->on >> k & 1) asked = (uint16_t)((asked & ~layer->named) | asked_by(layer->mapping, passing));
    }
    return asked;
}
