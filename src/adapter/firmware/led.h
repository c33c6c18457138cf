#ifndef NINEPIN_LED_H
#define NINEPIN_LED_H

#include <stdbool.h>
#include <stdint.h>

/* One light tells how the box is. LINK.md has the table for people. */

struct led_news {
    bool fault;
    bool pad;
    bool reading;       /* the console moves select */
    bool six_buttons;   /* it goes on to where the extra buttons answer */
    uint8_t bank;       /* 1 to 4; 0 for the factory image */
    uint32_t bank_since_ms; /* since when that bank answers */
};

/* Whether the light is on. */
bool led_on(const struct led_news *news, uint32_t now_ms);

#endif
