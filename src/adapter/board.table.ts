import { PINS } from '../port/pins.ts'

/** Which GPIO carries which signal on the adapter's board. DE9 5 is +5 V and DE9 8 ground: neither meets the chip. */

/** The reply engine sets a row of five data pins at once and the last by side-set, so the six stand in a row. */
const DATA_FIRST = 2
const DATA = PINS.map((_, k) => DATA_FIRST + k)

export const BOARD_TABLE = {
  source: 'src/adapter/board.table.ts',
  about: 'Which GPIO carries which signal.',
  typescript: 'src/adapter/emulator/pins.ts',
  c: 'src/adapter/firmware/pins.h',
  blocks: [
    {
      kind: 'list',
      says: `GPIOs of the six data pins, in the order of \`PINS\` in src/port/pins.ts: DE9 ${PINS.join(', ')}.`,
      typescript: 'DATA_GPIOS',
      of: DATA,
    },
    {
      kind: 'numbers',
      says: 'The data pins: the reply engine sets a row of them at once, and the last by side-set.',
      c: { prefix: 'PIN_DATA_', as: 'macros' },
      of: [
        { name: 'first', value: DATA_FIRST, says: `DE9 ${PINS.slice(0, -1).join(', ')}` },
        { name: 'row', value: DATA.length - 1 },
        { name: 'side', value: DATA_FIRST + DATA.length - 1, says: `DE9 ${PINS.at(-1) ?? ''}` },
      ],
    },
    {
      kind: 'numbers',
      says: [
        'Select is DE9 7, driven by the console, through a 5 V tolerant Schmitt buffer.',
        '',
        'The six line buffers are on while their enable is low. A pull-up on the board, much stronger than the chip’s own pull-down (50 to',
        '80 kOhm after reset, RP2040 datasheet section 2.19.4 and table of pin characteristics), keeps them off while the chip is in reset,',
        'in its boot ROM or in USB boot; pull-ups on the DE9 side then make every line read high, nothing pressed.',
        '',
        'The VBUS switch, high, gives VBUS to a pad: it limits the current and blocks what would flow back; the chip’s own pull-down keeps it',
        'off while nobody drives it. Its fault line is open drain: low while the switch limits, pulled up on the board. VBUS sense is high',
        'while VBUS stands at the connector, from outside or from the switch.',
      ].join('\n'),
      typescript: { object: 'GPIO' },
      c: { prefix: 'PIN_', as: 'macros' },
      of: [
        { name: 'select', value: 8 },
        { name: 'buffersOff', value: 9 },
        { name: 'vbusSwitch', value: 10 },
        { name: 'vbusFault', value: 11 },
        { name: 'vbusSense', value: 24 },
        { name: 'led', value: 25 },
      ],
    },
  ],
} as const
