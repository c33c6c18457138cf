#include "cobs.h"

#include <string.h>

uint16_t cobs_encode(const uint8_t *bytes, uint16_t count, uint8_t *into)
{
    uint16_t code_at = 0;
    uint16_t at = 1;
    for (uint16_t k = 0; k < count; k++) {
        if (bytes[k] != 0) {
            into[at++] = bytes[k];
        } else {
            into[code_at] = (uint8_t)(at - code_at);
            code_at = at++;
        }
    }
    into[code_at] = (uint8_t)(at - code_at);
    return at;
}

int32_t cobs_decode(uint8_t *bytes, uint16_t count)
{
    if (count == 0) return -1;
    uint16_t from = 0;
    uint16_t to = 0;
    while (from < count) {
        const uint8_t code = bytes[from];
        const uint16_t next = (uint16_t)(from + code);
        if (code == 0 || next > count) return -1;
        /* The content is never longer than what was read of it, so it fits before the next code byte. */
        memmove(bytes + to, bytes + from + 1, code - 1u);
        to = (uint16_t)(to + code - 1u);
        /* The zero after the last block is the one that the encoder imagined at the end. */
        if (code != 0xFF && next < count) bytes[to++] = 0;
        from = next;
    }
    return to;
}
