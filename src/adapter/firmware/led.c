#include "led.h"

#include "light-patterns.h"

static const uint32_t bank_flashes[5] = {0, BANK_FLASHES1, BANK_FLASHES2, BANK_FLASHES3, BANK_FLASHES4};

static uint32_t pattern_of(const struct led_state *state)
{
    if (state->fault) return FAULT;
    switch (state->trouble) {
    case LED_NO_TROUBLE: break;
    case LED_OVER_CURRENT: return OVER_CURRENT;
    case LED_HUB: return HUB;
    case LED_KEYBOARD: return KEYBOARD;
    case LED_NOT_A_PAD: return NOT_A_PAD;
    case LED_PAD_FAILED: return PAD_FAILED;
    case LED_PAD_UNKNOWN: return PAD_UNKNOWN;
    }
    if (!state->pad) return NO_PAD;
    if (state->trial) return TRIAL;
    if (!state->reading) return PAD_WAITS;
    return state->six_buttons ? SIX_BUTTONS : READING;
}

static bool slot_on(uint32_t pattern, uint32_t since_ms)
{
    return (pattern >> (since_ms % PATTERN_MS * SLOTS / PATTERN_MS) & 1u) != 0;
}

bool led_on(const struct led_state *state, uint32_t now_ms)
{
    const uint32_t since_bank_ms = now_ms - state->bank_since_ms;
    if (!state->fault && state->bank != 0 && since_bank_ms < PATTERN_MS)
        return slot_on(bank_flashes[state->bank], since_bank_ms);
    return slot_on(pattern_of(state), now_ms);
}
