#ifndef NINEPIN_LED_H
#define NINEPIN_LED_H

#include <stdbool.h>
#include <stdint.h>

/* One light tells how the adapter is. LINK.md has the table for people. */

/* What is wrong with what is plugged in. */
enum led_trouble {
    LED_NO_TROUBLE,
    LED_OVER_CURRENT,
    LED_HUB,
    LED_KEYBOARD,
    LED_NOT_A_PAD,
    LED_PAD_FAILED,
    LED_PAD_UNKNOWN
};

struct led_state {
    bool fault;
    enum led_trouble trouble;
    bool pad;
    bool trial;         /* the trial slot answers */
    bool reading;       /* the console moves select */
    bool six_buttons;   /* it goes on to where the extra buttons answer */
    uint8_t bank;       /* 1 to 4; 0 for the factory image */
    uint32_t bank_since_ms; /* since when that bank answers */
};

/* Whether the light is on. */
bool led_on(const struct led_state *state, uint32_t now_ms);

#endif
