/*
 * The player of the firmware on the machine of the tests: host, pad and banks in, what the reply engine is given out.
 *
 * A question begins with the images of the four banks; power comes on with bank 0 as the active one. Then steps, a letter and the
 * time each. After each: the inputs that the reply engine has, whether the pad is known, whether anybody reports, and the bank.
 */

#define NINEPIN_CHIP_H /* there is no chip here */
#include <stdbool.h>
#include <stdint.h>

#include "messages.h"

static bool interrupts_are_off;

static void interrupts_off(void)
{
    if (interrupts_are_off) message_fail("interrupts are off already");
    interrupts_are_off = true;
}

static void interrupts_on(void)
{
    if (!interrupts_are_off) message_fail("interrupts are on already");
    interrupts_are_off = false;
}

#include "player.c"

static struct {
    const uint8_t *bytes;
    uint16_t count;
} banks[IMAGE_BANKS];
static uint16_t given; /* to the reply engine */

/* A report of the host that comes while a bank is being fetched. */
static struct {
    bool comes;
    uint32_t held;
    uint32_t now_ms;
} meanwhile;

/* ---- What is around the player ---- */

/* Nothing is armed here. */
uint16_t trial_slot_length(void)
{
    return 0;
}

void trial_slot_read(uint16_t offset, uint8_t *into, uint16_t count)
{
    (void)offset, (void)into, (void)count;
}

uint8_t store_active(void)
{
    return 0;
}

uint16_t store_length(uint8_t of)
{
    return banks[of].count;
}

void store_read(uint8_t of, uint16_t offset, uint8_t *into, uint16_t count)
{
    memcpy(into, banks[of].bytes + offset, count);
    if (!meanwhile.comes) return;
    meanwhile.comes = false;
    player_report(meanwhile.held, meanwhile.now_ms);
}

void reply_set_inputs(uint16_t inputs)
{
    if (!interrupts_are_off) message_fail("an idle reset may come in between");
    given = inputs;
}

void reply_set_late(uint16_t cycles)
{
    (void)cycles;
}

void reply_load(const struct chart *chart, uint16_t inputs)
{
    (void)chart;
    given = inputs;
}

void reply_keep_first_cycle(void)
{
}

bool reply_take_reset(void)
{
    return true;
}

struct reply_state reply_state(void)
{
    return (struct reply_state){.rises = 0, .high = true};
}

/* ---- Steps ---- */

static void plug(struct parcel *question, uint32_t now_ms)
{
    const struct pad_identity identity = {
        .via = message_u8(question),
        .vendor = message_u16(question),
        .product = message_u16(question),
        .descriptor_crc32 = message_u32(question),
    };
    player_pad_plugged(&identity, now_ms);
}

static void report_of(struct parcel *question, uint32_t now_ms)
{
    uint16_t count;
    uint8_t *bytes = message_take_copy(question, &count);
    player_pad_report(bytes, count, now_ms);
    free(bytes);
}

static void change_bank(struct parcel *question, uint32_t now_ms)
{
    meanwhile.comes = message_u8(question) != 0;
    meanwhile.held = message_u32(question);
    meanwhile.now_ms = now_ms;
    player_change_bank(now_ms);
    meanwhile.comes = false;
}

static void answer(struct parcel *question, struct parcel *reply)
{
    for (uint8_t k = 0; k < IMAGE_BANKS; k++) {
        banks[k].count = message_u16(question);
        banks[k].bytes = message_take(question, banks[k].count);
    }
    memset(&pad, 0, sizeof pad);
    host_holds = false;
    held_by_host = 0;
    player_start(0);
    while (message_left(question)) {
        const uint8_t step = message_u8(question);
        const uint32_t now_ms = message_u32(question);
        switch (step) {
        case 'h': player_report(message_u32(question), now_ms); break;
        case 'g': player_let_go(now_ms); break;
        case 'p': plug(question, now_ms); break;
        case 'r': report_of(question, now_ms); break;
        case 'u': player_pad_gone(now_ms); break;
        case 't': player_tick(now_ms); break;
        case 'i':
            interrupts_off(); /* it is one itself */
            player_idle_reset();
            interrupts_on();
            break;
        case 'l': player_load(message_u8(question), now_ms); break;
        case 'c': change_bank(question, now_ms); break;
        default: message_fail("no such step");
        }
        message_put_u16(reply, given);
        message_put_u8(reply, player_pad_known());
        message_put_u8(reply, player_has_pad());
        message_put_u8(reply, player_bank());
    }
}

int main(void)
{
    return message_serve(answer);
}
