#ifndef NINEPIN_FACTORY_IMAGE_H
#define NINEPIN_FACTORY_IMAGE_H

#include <stdint.h>

/* What runs when no bank holds an image: the built-in profile `three-button`. The build makes factory-image.c of it. */
extern const uint8_t factory_image[];

#endif
