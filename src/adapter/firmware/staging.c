#include "staging.h"

#include <string.h>

#include "image.h"
#include "link.h"

#define MAX_CHUNKS (IMAGE_MAX_BYTES / LINK_CHUNK_BYTES)
#define NO_BANK 0xFFu

_Static_assert(IMAGE_MAX_BYTES % LINK_CHUNK_BYTES == 0 && MAX_CHUNKS <= 16, "one bit for each chunk");

static struct {
    uint8_t bytes[IMAGE_MAX_BYTES];
    uint8_t bank;
    uint16_t total;
    uint16_t chunks; /* bit k: the chunk at k times the chunk size is here */
} staged = {.bank = NO_BANK};

bool staging_put(uint8_t bank, uint16_t total, uint16_t offset, const uint8_t *bytes, uint16_t count)
{
    if (total > IMAGE_MAX_BYTES || offset >= total || offset % LINK_CHUNK_BYTES != 0) return false;
    const uint16_t left = (uint16_t)(total - offset);
    if (count != (left < LINK_CHUNK_BYTES ? left : LINK_CHUNK_BYTES)) return false;
    if (bank != staged.bank || total != staged.total) staging_clear();
    staged.bank = bank;
    staged.total = total;
    memcpy(staged.bytes + offset, bytes, count);
    staged.chunks |= (uint16_t)(1u << offset / LINK_CHUNK_BYTES);
    return true;
}

const uint8_t *staging_whole(uint8_t bank, uint16_t total)
{
    const uint16_t chunks = (uint16_t)((total + LINK_CHUNK_BYTES - 1u) / LINK_CHUNK_BYTES);
    const bool complete = bank == staged.bank && total == staged.total && staged.chunks == (1u << chunks) - 1u;
    return complete ? staged.bytes : NULL;
}

void staging_clear(void)
{
    staged.bank = NO_BANK;
    staged.chunks = 0;
}
