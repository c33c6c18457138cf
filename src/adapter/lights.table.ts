import { prefixedHexWord } from '../words/hexadecimal.ts'
/** What the adapter's light says, in the order in which one hides the next. A pattern is 32 slots of 62.5 ms, from bit 0 on. */

const SLOTS = 32
const PATTERN_MS = 2000

const LIGHTS = [
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

/** For two seconds after a bank has become the active one: so many flashes as its number says. */
const BANK_FLASHES = [0x00000007, 0x000001c7, 0x000071c7, 0x001c71c7]

const hex = (pattern: number): string => prefixedHexWord(pattern, 8)

export const LIGHTS_TABLE = {
  source: 'src/adapter/lights.table.ts',
  about: `What the adapter's light says. A pattern is ${SLOTS} slots of ${PATTERN_MS / SLOTS} ms, two seconds, from bit 0 on.`,
  typescript: 'src/adapter/lights.ts',
  c: 'src/adapter/firmware/light-patterns.h',
  blocks: [
    {
      kind: 'numbers',
      c: { prefix: '', as: 'macros' },
      of: [
        { name: 'slots', value: SLOTS },
        { name: 'patternMs', value: PATTERN_MS },
      ],
    },
    {
      kind: 'numbers',
      says: 'In the order in which one hides the next.',
      c: { prefix: '', as: 'macros' },
      of: LIGHTS.map(({ name, pattern, looks }) => ({ name, value: pattern, hex: 8, says: looks })),
    },
    {
      kind: 'numbers',
      says: 'As many flashes as the bank’s number, in the two seconds after it has become the active one.',
      c: { prefix: 'BANK_', as: 'macros' },
      of: BANK_FLASHES.map((value, k) => ({ name: `flashes${k + 1}`, value, hex: 8 })),
    },
    {
      kind: 'list',
      says: 'In the order in which one hides the next.',
      typescript: 'LIGHTS',
      of: LIGHTS.map(({ name, pattern, looks, means }) => ({
        name,
        pattern: { hex: hex(pattern) },
        looks,
        means,
      })),
    },
    {
      kind: 'list',
      says: 'For two seconds after a bank has become the active one.',
      typescript: 'BANK_FLASHES',
      of: [{ looks: 'one to four flashes, once', means: 'that bank is active now' }],
    },
  ],
  markdown: {
    path: 'src/adapter/LINK.md',
    tables: [
      {
        mark: 'lights',
        head: ['pattern', 'looks', 'means'],
        rows: LIGHTS.map(({ pattern, looks, means }) => [`\`${hex(pattern)}\``, looks, means]),
      },
    ],
  },
} as const
