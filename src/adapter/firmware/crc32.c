#include "crc32.h"

#define POLYNOMIAL 0xEDB88320u /* 0x04C11DB7 reflected */

/* Four bits at a time: a table that is small enough to read, and fast enough for half a kilobyte. */
#define STEP1(r) ((r) >> 1 ^ ((r) & 1u ? POLYNOMIAL : 0u))
#define STEP4(r) STEP1(STEP1(STEP1(STEP1((uint32_t)(r)))))

static const uint32_t table[16] = {
    STEP4(0), STEP4(1), STEP4(2),  STEP4(3),  STEP4(4),  STEP4(5),  STEP4(6),  STEP4(7),
    STEP4(8), STEP4(9), STEP4(10), STEP4(11), STEP4(12), STEP4(13), STEP4(14), STEP4(15),
};

uint32_t crc32_more(uint32_t before, const uint8_t *bytes, size_t count)
{
    uint32_t crc = ~before;
    for (size_t k = 0; k < count; k++) {
        crc ^= bytes[k];
        crc = crc >> 4 ^ table[crc & 15u];
        crc = crc >> 4 ^ table[crc & 15u];
    }
    return ~crc;
}

uint32_t crc32(const uint8_t *bytes, size_t count)
{
    return crc32_more(0, bytes, count);
}

uint32_t image_crc32(const uint8_t *image, size_t count)
{
    return crc32(image, count < 4 ? 0 : count - 4);
}
