#ifndef NINEPIN_STAGING_H
#define NINEPIN_STAGING_H

#include <stdbool.h>
#include <stdint.h>

/*
 * Where an image gathers before it is committed. There is no "begin": a chunk of another bank or another length
 * starts again, a chunk that is already there is simply written again.
 */

/* Puts one chunk down; false when it is not exactly a chunk of that image. */
bool staging_put(uint8_t bank, uint16_t total, uint16_t offset, const uint8_t *bytes, uint16_t count);

/* The image, when every chunk of it is here; else NULL. */
const uint8_t *staging_whole(uint8_t bank, uint16_t total);

/* Forgets what is here. The bytes stay until the next chunk: the memory may still be at work on them. */
void staging_clear(void);

#endif
