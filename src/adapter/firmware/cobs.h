#ifndef NINEPIN_COBS_H
#define NINEPIN_COBS_H

#include <stdint.h>

/*
 * Consistent Overhead Byte Stuffing for blocks of less than 254 bytes, which is all that the link sends.
 * Source: Cheshire and Baker, "Consistent Overhead Byte Stuffing", IEEE/ACM Transactions on Networking 7(2), 1999.
 */

#define COBS_MAX_BYTES 253u

/* Stuffs at most COBS_MAX_BYTES bytes. `into` has room for one byte more. Returns the length: one byte more. */
uint16_t cobs_encode(const uint8_t *bytes, uint16_t count, uint8_t *into);

/*
 * Undoes the stuffing in place, of what stood between two zeros (so that no zero is among the bytes).
 * Returns the length of the content, or -1 when the bytes are empty or cut off.
 */
int32_t cobs_decode(uint8_t *bytes, uint16_t count);

#endif
