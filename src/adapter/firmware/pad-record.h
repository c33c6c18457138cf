#ifndef NINEPIN_PAD_RECORD_H
#define NINEPIN_PAD_RECORD_H

#include <stdbool.h>

#include "bytes.h"
#include "pad-identity.h"

/* A pad and what became of it, in 12 bytes: as LINK.md has it on the line and STORE.md in flash. */
#define PAD_RECORD_BYTES 12u

static inline void put_pad(uint8_t *at, const struct pad_identity *identity, uint8_t outcome)
{
    at[0] = identity->via;
    at[1] = outcome;
    put_u16(at + 2, identity->vendor);
    put_u16(at + 4, identity->product);
    put_u16(at + 6, identity->release);
    put_u32(at + 8, identity->descriptor_crc32);
}

static inline struct pad_identity get_pad(const uint8_t *at)
{
    return (struct pad_identity){
        .via = at[0],
        .vendor = get_u16(at + 2),
        .product = get_u16(at + 4),
        .release = get_u16(at + 6),
        .descriptor_crc32 = get_u32(at + 8),
    };
}

static inline bool same_pad(const struct pad_identity *a, const struct pad_identity *b)
{
    return a->via == b->via && a->vendor == b->vendor && a->product == b->product && a->release == b->release &&
           a->descriptor_crc32 == b->descriptor_crc32;
}

#endif
