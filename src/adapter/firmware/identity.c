#include "identity.h"

#include "flash.h"
#include "image.h"

#define CYCLE_NS 8

/*
 * From an edge at the chip's select pin to six settled pins: 4 to 6 cycles, and up to one more because an edge may come
 * anywhere in a cycle. The Schmitt buffer in and the line driver out add what their data sheets allow: none at the least,
 * and 44 ns together at the most with 330 Ohm and the cable behind them (a budget; to be measured on a board).
 */
#define REPLY_MIN_NS (4 * CYCLE_NS)
#define REPLY_MAX_NS (7 * CYCLE_NS + 44)

/* The idle reset is decided never early, and reaches the pins by DMA at most so many cycles after its time. */
#define IDLE_RESET_MIN_NS 0
#define IDLE_RESET_MAX_NS (22 * CYCLE_NS + 44)

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
        .delay_stretch = 1,
        .reply_min_ns = REPLY_MIN_NS,
        .reply_max_ns = REPLY_MAX_NS,
        .idle_reset_min_ns = IDLE_RESET_MIN_NS,
        .idle_reset_max_ns = IDLE_RESET_MAX_NS,
        .board = "Ninepin board",
        .serial = serial,
    };
    put_serial();
    return &identity;
}
