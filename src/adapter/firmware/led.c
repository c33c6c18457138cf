#include "led.h"

/* A pattern is 32 slots of 62.5 ms, two seconds, from bit 0 on. */
#define SLOTS 32u
#define PATTERN_MS 2000u

#define FAULT 0x55555555u        /* eight flashes a second */
#define OVER_CURRENT 0x33333333u /* four flashes a second */
#define HUB 0x00000005u          /* two short flashes */
#define KEYBOARD 0x00000015u     /* three */
#define NOT_A_PAD 0x00000055u    /* four */
#define PAD_FAILED 0x00000155u   /* five */
#define PAD_UNKNOWN 0x000100FFu  /* a long flash and a short one */
#define NO_PAD 0x00000001u       /* one short flash */
#define PAD_WAITS 0x0000FFFFu    /* half on, half off */
#define READING 0xFFFFFFFFu      /* on */
#define SIX_BUTTONS 0xFFFFFFF5u  /* on, with two short gaps */

/* As many flashes as the bank's number, in the two seconds after it has become the one that answers. */
static const uint32_t bank_flashes[5] = {0, 0x00000007u, 0x000001C7u, 0x000071C7u, 0x001C71C7u};

static uint32_t pattern_of(const struct led_news *news)
{
    if (news->fault) return FAULT;
    switch (news->trouble) {
    case LED_NO_TROUBLE: break;
    case LED_OVER_CURRENT: return OVER_CURRENT;
    case LED_HUB: return HUB;
    case LED_KEYBOARD: return KEYBOARD;
    case LED_NOT_A_PAD: return NOT_A_PAD;
    case LED_PAD_FAILED: return PAD_FAILED;
    case LED_PAD_UNKNOWN: return PAD_UNKNOWN;
    }
    if (!news->pad) return NO_PAD;
    if (!news->reading) return PAD_WAITS;
    return news->six_buttons ? SIX_BUTTONS : READING;
}

static bool slot_on(uint32_t pattern, uint32_t since_ms)
{
    return (pattern >> (since_ms % PATTERN_MS * SLOTS / PATTERN_MS) & 1u) != 0;
}

bool led_on(const struct led_news *news, uint32_t now_ms)
{
    const uint32_t since_bank_ms = now_ms - news->bank_since_ms;
    if (!news->fault && news->bank != 0 && since_bank_ms < PATTERN_MS)
        return slot_on(bank_flashes[news->bank], since_bank_ms);
    return slot_on(pattern_of(news), now_ms);
}
