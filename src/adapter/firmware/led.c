#include "led.h"

#include "light-patterns.h"

static const uint32_t bank_flashes[5] = {0, BANK_FLASHES1, BANK_FLASHES2, BANK_FLASHES3, BANK_FLASHES4};

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
