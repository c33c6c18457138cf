#ifndef NINEPIN_BYTE_RING_H
#define NINEPIN_BYTE_RING_H

#include <stdbool.h>
#include <stdint.h>

/* Bytes in the order they came. Counters run on and wrap; the size is a power of two. */

#define BYTE_RING_BYTES 256u

struct byte_ring {
    uint8_t bytes[BYTE_RING_BYTES];
    uint16_t put;
    uint16_t taken;
};

static inline uint16_t ring_count(const struct byte_ring *ring)
{
    return (uint16_t)(ring->put - ring->taken);
}

static inline uint16_t ring_room(const struct byte_ring *ring)
{
    return (uint16_t)(BYTE_RING_BYTES - ring_count(ring));
}

static inline void ring_put(struct byte_ring *ring, uint8_t byte)
{
    ring->bytes[ring->put++ % BYTE_RING_BYTES] = byte;
}

static inline uint8_t ring_take(struct byte_ring *ring)
{
    return ring->bytes[ring->taken++ % BYTE_RING_BYTES];
}

static inline void ring_clear(struct byte_ring *ring)
{
    ring->taken = ring->put;
}

#endif
