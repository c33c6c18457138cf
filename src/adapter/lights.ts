// Written by `npm run tables` from src/adapter/lights.table.ts; change it there.

/** What the adapter's light says. A pattern is 32 slots of 62.5 ms, two seconds, from bit 0 on. */

/** In the order in which one hides the next. */
export const LIGHTS = [
  {
    name: 'FAULT',
    pattern: 0x55555555,
    looks: 'flickers, eight times a second',
    means:
      'fault: the watchdog had to reset the chip, or the memory is worn; flash again, and replace the board if it stays',
  },
  {
    name: 'OVER_CURRENT',
    pattern: 0x33333333,
    looks: 'flickers, four times a second',
    means: 'the pad draws too much current: unplug it; the adapter tries again every two seconds',
  },
  {
    name: 'HUB',
    pattern: 0x00000005,
    looks: 'two short flashes every two seconds',
    means: 'a hub is plugged in: plug the pad in without it',
  },
  {
    name: 'KEYBOARD',
    pattern: 0x00000015,
    looks: 'three short flashes every two seconds',
    means: 'a keyboard or mouse is plugged in, and no pad',
  },
  {
    name: 'NOT_A_PAD',
    pattern: 0x00000055,
    looks: 'four short flashes every two seconds',
    means: 'the device is not a pad the adapter can read',
  },
  {
    name: 'PAD_FAILED',
    pattern: 0x00000155,
    looks: 'five short flashes every two seconds',
    means:
      'the pad does not answer as it should: try another cable or port, or charge it; the adapter keeps trying',
  },
  {
    name: 'PAD_UNKNOWN',
    pattern: 0x000100ff,
    looks: 'a long flash and a short one every two seconds',
    means:
      'the active bank has no layout for this pad: connect the adapter to the computer, and learn the pad there',
  },
  {
    name: 'NO_PAD',
    pattern: 0x00000001,
    looks: 'one short flash every two seconds',
    means: 'no pad has reported yet',
  },
  {
    name: 'PAD_WAITS',
    pattern: 0x0000ffff,
    looks: 'a second on, a second off',
    means: 'the pad is there, and no console reads it',
  },
  {
    name: 'READING',
    pattern: 0xffffffff,
    looks: 'steady',
    means: 'the console reads the pad',
  },
  {
    name: 'SIX_BUTTONS',
    pattern: 0xfffffff5,
    looks: 'steady, with two short gaps every two seconds',
    means: 'the console reads on to where the extra buttons answer',
  },
] as const

/** For two seconds after a bank has become the active one. */
export const BANK_FLASHES = [
  {
    looks: 'one to four flashes, once',
    means: 'that bank is active now',
  },
] as const
