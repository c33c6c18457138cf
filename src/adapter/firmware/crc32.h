#ifndef NINEPIN_CRC32_H
#define NINEPIN_CRC32_H

#include <stddef.h>
#include <stdint.h>

/* CRC-32/ISO-HDLC, as images, frames and bank records carry it. Specified in IMAGE.md. */

/* CRC-32 of some bytes. */
uint32_t crc32(const uint8_t *bytes, size_t count);

/* CRC-32 of what was read before and of the bytes that follow it; begin with 0. */
uint32_t crc32_more(uint32_t before, const uint8_t *bytes, size_t count);

/*
 * What identifies an image, on the link and in a bank: the CRC-32 of all but its last four bytes, which a sound
 * image carries in these four. Over the whole, its own CRC included, the number would be the same for every
 * image.
 */
uint32_t image_crc32(const uint8_t *image, size_t count);

#endif
