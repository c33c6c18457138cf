import { prefixedHexWord } from '../words/hexadecimal.ts'
import { lightTexts, looksTexts } from './light-texts.ts'

/** What the adapter's light says, in the order in which one hides the next. A pattern is 32 slots of 62.5 ms, from bit 0 on. */

const SLOTS = 32
const PATTERN_MS = 2000

const LIGHTS = [
  { name: 'FAULT', pattern: 0x55555555 },
  { name: 'OVER_CURRENT', pattern: 0x33333333 },
  { name: 'HUB', pattern: 0x00000005 },
  { name: 'KEYBOARD', pattern: 0x00000015 },
  { name: 'NOT_A_PAD', pattern: 0x00000055 },
  { name: 'PAD_FAILED', pattern: 0x00000155 },
  { name: 'PAD_UNKNOWN', pattern: 0x000100ff },
  { name: 'NO_PAD', pattern: 0x00000001 },
  { name: 'TRIAL', pattern: 0x0f0f0f0f },
  { name: 'PAD_WAITS', pattern: 0x0000ffff },
  { name: 'READING', pattern: 0xffffffff },
  { name: 'SIX_BUTTONS', pattern: 0xfffffff5 },
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
      of: LIGHTS.map(({ name, pattern }) => ({ name, value: pattern, hex: 8, says: looksTexts[name] })),
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
      of: LIGHTS.map(({ name, pattern }) => ({ name, pattern: { hex: hex(pattern) } })),
    },
  ],
  markdown: {
    path: 'src/adapter/LINK.md',
    tables: [
      {
        mark: 'lights',
        head: ['pattern', 'looks', 'means'],
        rows: LIGHTS.map(({ name, pattern }) => [`\`${hex(pattern)}\``, looksTexts[name], lightTexts[name]]),
      },
    ],
  },
} as const
