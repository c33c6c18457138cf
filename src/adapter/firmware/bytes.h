#ifndef NINEPIN_BYTES_H
#define NINEPIN_BYTES_H

#include <stdint.h>

/*
 * Little-endian numbers at any address: the core faults on unaligned loads, and the host's order does not
 * matter.
 */

static inline uint16_t get_u16(const uint8_t *at)
{
    return (uint16_t)(at[0] | at[1] << 8);
}

static inline uint32_t get_u32(const uint8_t *at)
{
    return (uint32_t)get_u16(at) | (uint32_t)get_u16(at + 2) << 16;
}

static inline void put_u16(uint8_t *at, uint16_t value)
{
    at[0] = (uint8_t)value;
    at[1] = (uint8_t)(value >> 8);
}

static inline void put_u32(uint8_t *at, uint32_t value)
{
    put_u16(at, (uint16_t)value);
    put_u16(at + 2, (uint16_t)(value >> 16));
}

#endif
