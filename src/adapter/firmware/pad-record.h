#ifndef NINEPIN_PAD_RECORD_H
#define NINEPIN_PAD_RECORD_H

#include <stdbool.h>

#include "bytes.h"
#include "link-numbers.h"
#include "pad-identity.h"

/* A pad and what became of it: as LINK.md has it on the line and STORE.md in flash. */

static inline void put_pad(uint8_t *at, const struct pad_identity *identity, uint8_t outcome)
{
    at[PAD_RECORD_AT_VIA] = identity->via;
    at[PAD_RECORD_AT_OUTCOME] = outcome;
    put_u16(at + PAD_RECORD_AT_VENDOR, identity->vendor);
    put_u16(at + PAD_RECORD_AT_PRODUCT, identity->product);
    put_u16(at + PAD_RECORD_AT_RELEASE, identity->release);
    put_u32(at + PAD_RECORD_AT_DESCRIPTOR_CRC32, identity->descriptor_crc32);
}

static inline struct pad_identity get_pad(const uint8_t *at)
{
    return (struct pad_identity){
        .via = at[PAD_RECORD_AT_VIA],
        .vendor = get_u16(at + PAD_RECORD_AT_VENDOR),
        .product = get_u16(at + PAD_RECORD_AT_PRODUCT),
        .release = get_u16(at + PAD_RECORD_AT_RELEASE),
        .descriptor_crc32 = get_u32(at + PAD_RECORD_AT_DESCRIPTOR_CRC32),
    };
}

static inline bool same_pad(const struct pad_identity *a, const struct pad_identity *b)
{
    return a->via == b->via && a->vendor == b->vendor && a->product == b->product && a->release == b->release &&
           a->descriptor_crc32 == b->descriptor_crc32;
}

#endif
