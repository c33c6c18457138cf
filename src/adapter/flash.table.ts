import { bytesWord, prefixedHexWord } from '../words/hexadecimal.ts'
/** Where things lie in the adapter's flash, and what the records there are made of; firmware/STORE.md says why. */

const SECTOR_BYTES = 0x1000
const BANK_BYTES = 2 * SECTOR_BYTES
const BANKS_AT = 0x100000
const LOG_AT = 0x110000
const PADS = { at: 0x112000, sectors: 9 }
const ACTIVITY = { at: 0x11b000, sectors: 4 }
const TRIAL = { at: 0x11f000, usedAt: 0xf00, usedBytes: 16 }
const FIRMWARE_BYTES = 0x80000

/** The number whose little-endian bytes spell four letters. */
const magic = (letters: string): number =>
  [...letters].reduceRight((number, letter) => number * 256 + letter.charCodeAt(0), 0)
const bytesOf = (letters: string): string => bytesWord([...letters].map((letter) => letter.charCodeAt(0)))
const spelt = (letters: string): string => `magic: \`${bytesOf(letters)}\` (\`${letters}\`)`

const MAGICS = { bank: 'N9BK', log: 'N9AB', pad: 'N9PD', activity: 'N9SN', trial: 'N9TR' }

const hex = (value: number, digits = 6): string => prefixedHexWord(value, digits)
const sector = hex(SECTOR_BYTES, 4)

const RECORD_FIELDS = [
  { name: 'magic', bytes: 4, means: 'magic' },
  { name: 'sequence', bytes: 4, means: 'sequence number, from 1' },
  { name: 'length', bytes: 2, means: 'length of the content in bytes' },
  { name: 'zero', bytes: 2, means: 'zero' },
  { name: 'contentCrc', bytes: 4, means: 'CRC-32 of the content' },
  { name: 'headerCrc', bytes: 4, means: 'CRC-32 of the 16 bytes before it' },
] as const
const CONTENT = { bytes: 'n', at: '20', means: 'the content' } as const

const BANK_MEANS: Partial<Record<(typeof RECORD_FIELDS)[number]['name'], string>> = {
  magic: spelt(MAGICS.bank),
  length: 'length of the image in bytes, 1 to 2048',
  contentCrc:
    'CRC-32 of the image without its last four bytes, which is what the image carries in these four',
}

const RECORD = {
  kind: 'layout',
  says: 'The header of a record: of a copy of a bank, or of what is kept of pads.',
  typescript: 'RECORD_AT',
  c: 'RECORD_AT_',
  bytes: 'RECORD_HEADER_BYTES',
  fields: RECORD_FIELDS,
} as const

const LOG_ENTRY = {
  kind: 'layout',
  says: 'An entry of the log of the active bank.',
  c: 'LOG_ENTRY_AT_',
  bytes: 'LOG_ENTRY_BYTES',
  fields: [
    { name: 'magic', bytes: 4, means: spelt(MAGICS.log) },
    { name: 'sequence', bytes: 4, means: 'sequence number' },
    { name: 'bank', bytes: 1, means: 'bank, 0 to 3' },
    { name: 'zero', bytes: 3, means: 'zero' },
    { name: 'crc', bytes: 4, means: 'CRC-32 of the 12 bytes before it' },
  ],
} as const

export const FLASH_TABLE = {
  source: 'src/adapter/flash.table.ts',
  about: 'Where things lie in the serial flash, in bytes from its start, and its records: STORE.md says why.',
  typescript: 'src/adapter/flash-map.ts',
  c: 'src/adapter/firmware/flash-map.h',
  blocks: [
    {
      kind: 'numbers',
      typescript: { object: 'FLASH_MAP' },
      c: { prefix: 'FLASH_', as: 'macros' },
      of: [
        { name: 'bytes', value: 0x200000, hex: 6, says: 'of the smallest that will do' },
        { name: 'sectorBytes', value: SECTOR_BYTES, hex: 4 },
        { name: 'pageBytes', value: 0x100, hex: 3 },
        { name: 'firmwareAt', value: 0, hex: 6 },
        { name: 'firmwareBytes', value: FIRMWARE_BYTES, hex: 6 },
        {
          name: 'banksAt',
          value: BANKS_AT,
          hex: 6,
          says: 'copy A of the first bank; copy B is one sector further',
        },
        { name: 'banks', value: 4 },
        { name: 'bankBytes', value: BANK_BYTES, hex: 4 },
        { name: 'activeLogAt', value: LOG_AT, hex: 6, says: 'which bank is active' },
        { name: 'activeLogSectors', value: 2 },
        { name: 'historyAt', value: PADS.at, hex: 6, says: 'the pad history, one pad a sector' },
        { name: 'historySectors', value: PADS.sectors },
        { name: 'activityAt', value: ACTIVITY.at, hex: 6, says: 'snapshots of the last activity' },
        { name: 'activitySectors', value: ACTIVITY.sectors },
        { name: 'trialAt', value: TRIAL.at, hex: 6, says: 'the trial slot, one sector' },
        {
          name: 'trialUsedAt',
          value: TRIAL.usedAt,
          hex: 3,
          says: 'in that sector: the mark that it was used',
        },
        { name: 'trialUsedBytes', value: TRIAL.usedBytes },
      ],
    },
    {
      kind: 'numbers',
      says: 'What a record or an entry begins with.',
      typescript: { object: 'MAGIC' },
      c: { prefix: 'MAGIC_', as: 'enum' },
      of: [
        { name: 'bank', value: magic(MAGICS.bank), hex: 8, says: MAGICS.bank },
        { name: 'log', value: magic(MAGICS.log), hex: 8, says: MAGICS.log, only: 'c' },
        { name: 'pad', value: magic(MAGICS.pad), hex: 8, says: MAGICS.pad, only: 'c' },
        { name: 'activity', value: magic(MAGICS.activity), hex: 8, says: MAGICS.activity, only: 'c' },
        { name: 'trial', value: magic(MAGICS.trial), hex: 8, says: MAGICS.trial, only: 'c' },
      ],
    },
    RECORD,
    LOG_ENTRY,
  ],
  markdown: {
    path: 'src/adapter/firmware/STORE.md',
    tables: [
      {
        mark: 'flash-map',
        head: ['offset', 'size', 'what'],
        rows: [
          [hex(0), hex(FIRMWARE_BYTES), 'firmware; never erased or programmed by itself'],
          [
            `${hex(BANKS_AT)} + ${hex(BANK_BYTES, 4)} · bank`,
            sector,
            'copy A of the bank (banks count from 0)',
          ],
          [`${hex(BANKS_AT + SECTOR_BYTES)} + ${hex(BANK_BYTES, 4)} · bank`, sector, 'copy B'],
          [`${hex(LOG_AT)}, ${hex(LOG_AT + SECTOR_BYTES)}`, sector, 'log of the active bank, two sectors'],
          [
            `${hex(PADS.at)} + ${sector} · k`,
            sector,
            `a pad of the pad history, k from 0 to ${PADS.sectors - 1}`,
          ],
          [
            `${hex(ACTIVITY.at)} + ${sector} · k`,
            sector,
            `snapshots of the last activity, k from 0 to ${ACTIVITY.sectors - 1}`,
          ],
          [hex(TRIAL.at), sector, 'the trial slot'],
        ],
      },
      {
        mark: 'bank-record',
        head: ['offset', 'size', 'field'],
        rows: {
          kind: 'layout',
          fields: [
            ...RECORD_FIELDS.map((field) => ({ ...field, means: BANK_MEANS[field.name] ?? field.means })),
            { ...CONTENT, means: 'the image' },
          ],
        },
      },
      { mark: 'log-entry', head: ['offset', 'size', 'field'], rows: LOG_ENTRY },
      {
        mark: 'record',
        head: ['offset', 'size', 'field'],
        rows: { kind: 'layout', fields: [...RECORD_FIELDS, CONTENT] },
      },
    ],
  },
} as const
