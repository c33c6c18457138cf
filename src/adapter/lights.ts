// Written by `npm run tables` from src/adapter/lights.table.ts; change it there.

/** What the adapter's light says. A pattern is 32 slots of 62.5 ms, two seconds, from bit 0 on. */

/** In the order in which one hides the next. */
export const LIGHTS = [
  {
    name: 'FAULT',
    pattern: 0x55555555,
  },
  {
    name: 'OVER_CURRENT',
    pattern: 0x33333333,
  },
  {
    name: 'HUB',
    pattern: 0x00000005,
  },
  {
    name: 'KEYBOARD',
    pattern: 0x00000015,
  },
  {
    name: 'NOT_A_PAD',
    pattern: 0x00000055,
  },
  {
    name: 'PAD_FAILED',
    pattern: 0x00000155,
  },
  {
    name: 'PAD_UNKNOWN',
    pattern: 0x000100ff,
  },
  {
    name: 'NO_PAD',
    pattern: 0x00000001,
  },
  {
    name: 'TRIAL',
    pattern: 0x0f0f0f0f,
  },
  {
    name: 'PAD_WAITS',
    pattern: 0x0000ffff,
  },
  {
    name: 'READING',
    pattern: 0xffffffff,
  },
  {
    name: 'SIX_BUTTONS',
    pattern: 0xfffffff5,
  },
] as const
