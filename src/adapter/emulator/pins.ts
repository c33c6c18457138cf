// Written by `npm run tables` from src/adapter/board.table.ts; change it there.

/** Which GPIO carries which signal. */

/** GPIOs of the six data pins, in the order of `PINS` in src/port/pins.ts: DE9 1, 2, 3, 4, 6, 9. */
export const DATA_GPIOS = [2, 3, 4, 5, 6, 7] as const

/**
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
export const GPIO = {
  select: 8,
  buffersOff: 9,
  vbusSwitch: 10,
  vbusFault: 11,
  vbusSense: 24,
  led: 25,
} as const
