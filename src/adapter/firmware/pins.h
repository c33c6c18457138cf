#ifndef NINEPIN_PINS_H
#define NINEPIN_PINS_H

/*
 * Which GPIO stands on which contact of the DE9. The emulated chip mirrors this in ../emulator/pins.ts.
 *
 * The reply engine sets the five data pins 1 2 3 4 6 at once and pin 9 by side-set, so the five stand in a row.
 * DE9 5 is +5 V and DE9 8 ground: neither meets the chip.
 */

#define PIN_DE9_1 2
#define PIN_DE9_2 3
#define PIN_DE9_3 4
#define PIN_DE9_4 5
#define PIN_DE9_6 6
#define PIN_DE9_9 7

#define PIN_DATA_FIRST PIN_DE9_1
#define PIN_DATA_ROW 5
#define PIN_DATA_SIDE PIN_DE9_9

/* Select, driven by the console, through a 5 V tolerant Schmitt buffer. */
#define PIN_DE9_7 8
#define PIN_SELECT PIN_DE9_7

/*
 * Enables the six line buffers while low. A pull-up on the board, much stronger than the chip's own pull-down (50 to
 * 80 kOhm after reset, RP2040 datasheet section 2.19.4 and table of pin characteristics), keeps them off while the chip is in
 * reset, in its boot ROM or in USB boot; pull-ups on the DE9 side then make every line read high, nothing pressed.
 */
#define PIN_BUFFERS_OFF 9

/*
 * High gives VBUS to a pad, through a switch that limits the current and blocks what would flow back; the chip's own pull-down
 * keeps it off while nobody drives it. The fault line is open drain: low while the switch limits, pulled up on the board.
 */
#define PIN_VBUS_SWITCH 10
#define PIN_VBUS_FAULT 11

/* High while VBUS stands at the connector, from outside or from the switch. */
#define PIN_VBUS_SENSE 24
#define PIN_LED 25

#endif
