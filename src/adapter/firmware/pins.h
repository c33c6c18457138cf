#ifndef NINEPIN_PINS_H
#define NINEPIN_PINS_H

/* Written by `npm run tables` from src/adapter/board.table.ts; change it there. */

/* Which GPIO carries which signal. */

/* The data pins: the reply engine sets a row of them at once, and the last by side-set. */
#define PIN_DATA_FIRST 2u /* DE9 1, 2, 3, 4, 6 */
#define PIN_DATA_ROW 5u
#define PIN_DATA_SIDE 7u /* DE9 9 */

/*
 * Select is DE9 7, driven by the console, through a 5 V tolerant Schmitt buffer.
 *
 * The six line buffers are on while their enable is low. A pull-up on the board, much stronger than the chip’s own pull-down (50 to
 * 80 kOhm after reset, RP2040 datasheet section 2.19.4 and table of pin characteristics), keeps them off while the chip is in reset,
 * in its boot ROM or in USB boot; pull-ups on the DE9 side then make every line read high, nothing pressed.
 *
 * The VBUS switch, high, gives VBUS to a pad: it limits the current and blocks what would flow back; the chip’s own pull-down keeps it
 * off while nobody drives it. Its fault line is open drain: low while the switch limits, pulled up on the board. VBUS sense is high
 * while VBUS stands at the connector, from outside or from the switch.
 */
#define PIN_SELECT 8u
#define PIN_BUFFERS_OFF 9u
#define PIN_VBUS_SWITCH 10u
#define PIN_VBUS_FAULT 11u
#define PIN_VBUS_SENSE 24u
#define PIN_LED 25u

#endif
