/** Which GPIO carries which signal; mirrors firmware/pins.h. */

/** GPIOs of the six data pins, in the order of `PINS` in src/port/pins.ts: DE9 1, 2, 3, 4, 6, 9. */
export const DATA_GPIOS = [2, 3, 4, 5, 6, 7] as const
export const SELECT_GPIO = 8
/** Low switches the buffers on; a pull-up on the board switches them off while nobody drives it. */
export const BUFFER_ENABLE_GPIO = 9
export const VBUS_SWITCH_GPIO = 10
export const VBUS_FAULT_GPIO = 11
export const VBUS_SENSE_GPIO = 24
export const LED_GPIO = 25
