#include "identity.h"

#include "flash.h"
#include "image.h"
#include "stated-times.h"

static char serial[2u * FLASH_UNIQUE_ID_BYTES + 1u];

static void put_serial(void)
{
    static const char digit[] = "0123456789ABCDEF";
    uint8_t id[FLASH_UNIQUE_ID_BYTES];
    flash_unique_id(id);
    for (uint32_t k = 0; k < sizeof id; k++) {
        serial[2u * k] = digit[id[k] >> 4];
        serial[2u * k + 1u] = digit[id[k] & 15u];
    }
    serial[sizeof serial - 1u] = 0;
}

const struct link_identity *identity_make(void)
{
    static const struct link_identity identity = {
        .firmware = {FIRMWARE_MAJOR, FIRMWARE_MINOR, FIRMWARE_PATCH},
        .delay_step_ns = IMAGE_DELAY_STEP_NS,
        .delay_stretch = STATED_DELAY_STRETCH,
        .reply_min_ns = STATED_REPLY_MIN_NS,
        .reply_max_ns = STATED_REPLY_MAX_NS,
        .idle_reset_min_ns = STATED_IDLE_RESET_MIN_NS,
        .idle_reset_max_ns = STATED_IDLE_RESET_MAX_NS,
        .board = "Ninepin board",
        .serial = serial,
    };
    put_serial();
    return &identity;
}
