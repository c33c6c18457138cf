import { LAYOUT_LIMITS } from '../pad/layout/schema.ts'
import { BANKS } from '../profile/schema.ts'
import { prefixedHexWord } from '../words/hexadecimal.ts'

/** The link, byte by byte; LINK.md says what it means. */

const VERSION = { major: 1, minor: 2 }
const MARK = 'Ninepin adapter'
const NAME_BYTES = 24
const MAX_PAYLOAD_BYTES = 240
const OVERHEAD_BYTES = 6
const MAX_BODY_BYTES = MAX_PAYLOAD_BYTES + OVERHEAD_BYTES
const MAX_CHUNK_BYTES = 224
const REPORT_BYTES = LAYOUT_LIMITS.reportBytes
const DESCRIPTOR_BYTES = 2048
const PADS = 8
const LAST = 16
const NO_BANK = 0xff
const TRIAL_SLOT = BANKS.length

const hex = (code: number): string => prefixedHexWord(code, 2)

const FRAME = {
  kind: 'layout',
  fields: [
    { bytes: 1, means: 'type' },
    { bytes: 1, means: 'sequence' },
  ],
} as const

const IDENTITY = {
  kind: 'layout',
  says: 'The reply to identify.',
  typescript: 'IDENTITY_AT',
  c: 'IDENTITY_AT_',
  bytes: 'IDENTITY_BYTES',
  fields: [
    { name: 'mark', bytes: MARK.length + 1, means: `product mark: \`${MARK}\` in ASCII and a zero` },
    { name: 'major', bytes: 1, type: 'u8', means: 'protocol major' },
    { name: 'minor', bytes: 1, type: 'u8', means: 'protocol minor' },
    { name: 'firmware', bytes: 3, means: 'firmware version: major, minor, patch, u8 each' },
    { name: 'banks', bytes: 1, type: 'u8', means: `banks: ${BANKS.length}` },
    { name: 'largestImageBytes', bytes: 2, type: 'u16', means: 'largest image in bytes' },
    { name: 'chunkBytes', bytes: 2, type: 'u16', means: `chunk size in bytes, 1 to ${MAX_CHUNK_BYTES}` },
    {
      name: 'delayStepNs',
      bytes: 1,
      type: 'u8',
      means: 'step of the deliberate delay: a profile’s delay is a multiple of it; 0: of 1 ns',
    },
    {
      name: 'delayStretch',
      bytes: 1,
      type: 'u8',
      means: 'stretch `s`: with a deliberate delay `d` the reply comes up to `s` · `d` later still',
    },
    {
      name: 'replyMinNs',
      bytes: 4,
      type: 'u32',
      means: 'least reply time, from an edge of select at the connector to the settled reply there',
    },
    { name: 'replyMaxNs', bytes: 4, type: 'u32', means: 'greatest reply time' },
    {
      name: 'idleResetMinNs',
      bytes: 4,
      type: 'i32',
      means: 'idle reset as the pins show it: earliest against the profile’s time (negative is early)',
    },
    { name: 'idleResetMaxNs', bytes: 4, type: 'i32', means: 'idle reset: latest against that time' },
    { name: 'board', bytes: NAME_BYTES, means: 'board name, UTF-8, filled up with zeros' },
    { name: 'serial', bytes: NAME_BYTES, means: 'serial number, UTF-8, filled up with zeros' },
  ],
} as const

const STATUS = {
  kind: 'layout',
  says: 'The reply to status; the banks follow.',
  typescript: 'STATUS_AT',
  c: 'STATUS_AT_',
  bytes: 'STATUS_HEAD_BYTES',
  fields: [
    {
      name: 'active',
      bytes: 1,
      type: 'u8',
      means: `active bank, ${prefixedHexWord(NO_BANK, 2)} for none`,
    },
    { name: 'banks', bytes: 1, type: 'u8', means: `number of banks: ${BANKS.length}` },
  ],
} as const
const STATUS_BANK = {
  kind: 'layout',
  says: 'A bank in it.',
  typescript: 'STATUS_BANK_AT',
  c: 'STATUS_BANK_AT_',
  bytes: 'STATUS_BANK_BYTES',
  fields: [
    { name: 'length', bytes: 2, type: 'u16', means: 'length of the image in bank 0; 0 means empty' },
    { name: 'crc32', bytes: 4, type: 'u32', means: 'check value of the image in bank 0 (1.4); 0 if empty' },
  ],
} as const

const STATUS_TRIAL = {
  kind: 'layout',
  says: 'Behind the banks, since version 1.2: the trial slot.',
  typescript: 'STATUS_TRIAL_AT',
  c: 'STATUS_TRIAL_AT_',
  bytes: 'STATUS_TRIAL_BYTES',
  fields: [
    { name: 'length', bytes: 2, type: 'u16', means: 'length of the image in the trial slot; 0 means empty' },
    { name: 'crc32', bytes: 4, type: 'u32', means: 'its check value (1.4); 0 if empty' },
    { name: 'state', bytes: 1, type: 'u8', means: 'what has become of it' },
  ],
} as const

const TRIAL_STATES = [
  ['empty', 'there is none'],
  ['armed', 'the next session with a console has it'],
  ['in use', 'it answers now'],
  ['used', 'it has had its session'],
] as const

const WRITE = {
  kind: 'layout',
  says: 'The payload of write; the chunk follows.',
  typescript: 'WRITE_AT',
  c: 'WRITE_AT_',
  bytes: 'WRITE_HEAD_BYTES',
  fields: [
    { name: 'bank', bytes: 1, type: 'u8', means: 'bank' },
    { name: 'total', bytes: 2, type: 'u16', means: 'length of the whole image' },
    { name: 'offset', bytes: 2, type: 'u16', means: 'offset of this chunk, a multiple of the chunk size' },
  ],
} as const

const COMMIT = {
  kind: 'layout',
  says: 'The payload of commit.',
  typescript: 'COMMIT_AT',
  c: 'COMMIT_AT_',
  bytes: 'COMMIT_BYTES',
  fields: [
    { name: 'bank', bytes: 1, type: 'u8', means: 'bank' },
    { name: 'length', bytes: 2, type: 'u16', means: 'length of the image' },
    { name: 'crc32', bytes: 4, type: 'u32', means: 'check value of the image' },
  ],
} as const

const readOf = (means: string) => [
  { name: 'which', bytes: 1, type: 'u8', means },
  { name: 'offset', bytes: 2, type: 'u16', means: 'offset' },
  { name: 'count', bytes: 1, type: 'u8', means: 'how many bytes, 1 to chunk size' },
]
const READ = {
  kind: 'layout',
  says: 'The payload of read, with the bank, and of read-stored.',
  typescript: 'READ_AT',
  c: 'READ_AT_',
  bytes: 'READ_BYTES',
  fields: readOf('bank'),
} as const
const PIECE = {
  kind: 'layout',
  says: 'The reply to either; the bytes follow.',
  typescript: 'PIECE_AT',
  c: 'PIECE_AT_',
  bytes: 'PIECE_HEAD_BYTES',
  fields: [
    { name: 'total', bytes: 2, type: 'u16', means: 'length of the whole image' },
    { name: 'count', bytes: 1, type: 'u8', means: 'how many bytes follow: fewer at the end' },
  ],
} as const

const EVENT = {
  kind: 'layout',
  says: 'An input event.',
  typescript: 'EVENT_AT',
  c: 'EVENT_AT_',
  bytes: 'EVENT_BYTES',
  fields: [
    {
      name: 'controls',
      bytes: 4,
      type: 'u32',
      means: 'controls held, of the pad and of the host (bit order: `src/pad/controls.ts`)',
    },
    {
      name: 'inputs',
      bytes: 2,
      type: 'u16',
      means: 'port inputs pressed, 12 bits (bit order: `src/port/pins.ts`)',
    },
    {
      name: 'rises',
      bytes: 2,
      type: 'u16',
      means: 'rises of select since the counter was last reset; 65535 for more',
    },
    { name: 'select', bytes: 1, type: 'u8', means: 'select: 0 low, 1 high, 2 unknown' },
  ],
} as const

const PAD = {
  kind: 'layout',
  says: 'A pad of the pad history.',
  typescript: 'PAD_RECORD_AT',
  c: 'PAD_RECORD_AT_',
  bytes: 'PAD_RECORD_BYTES',
  fields: [
    {
      name: 'via',
      bytes: 1,
      type: 'u8',
      means: 'how its reports are had: 0 by a HID interface, 1 by a vendor-class interface',
    },
    { name: 'outcome', bytes: 1, type: 'u8', means: 'what became of it' },
    {
      name: 'vendor',
      bytes: 2,
      type: 'u16',
      means: 'idVendor of its device descriptor (USB 2.0 section 9.6.1)',
    },
    { name: 'product', bytes: 2, type: 'u16', means: 'idProduct' },
    { name: 'release', bytes: 2, type: 'u16', means: 'bcdDevice' },
    {
      name: 'descriptorCrc32',
      bytes: 4,
      type: 'u32',
      means: 'CRC-32 of its report descriptor; 0 where it has none',
    },
  ],
} as const
const PAD_BYTES = 12
const LISTED_PAD_BYTES = PAD_BYTES + 2

const OUTCOMES = [
  ['served', 'served'],
  ['no layout', 'no layout for it in the active bank'],
  ['hub', 'refused: a hub'],
  ['keyboard', 'refused: a keyboard and nothing else'],
  ['no pad', 'refused: something else'],
  ['failed', 'failed to come up'],
] as const

const ACTIVITY = {
  kind: 'layout',
  says: 'The last activity; reads and reports follow.',
  typescript: 'ACTIVITY_AT',
  c: 'ACTIVITY_AT_',
  bytes: 'ACTIVITY_HEAD_BYTES',
  fields: [
    { name: 'pad', bytes: PAD_BYTES, means: 'the pad, as in pad-history without the length' },
    {
      name: 'mostRises',
      bytes: 2,
      type: 'u16',
      means: 'most rises of select in one read; 65535 for more',
    },
    { name: 'reads', bytes: 1, type: 'u8', means: `n, how many reads follow, ${LAST} at most` },
    { name: 'reports', bytes: 1, type: 'u8', means: `m, how many reports follow, ${LAST} at most` },
    {
      name: 'takenMs',
      bytes: 4,
      type: 'u32',
      means: 'when this was taken; when the pad went, if it has gone',
    },
    { name: 'reportCount', bytes: 4, type: 'u32', means: 'reports of the pad' },
    {
      name: 'readCount',
      bytes: 4,
      type: 'u32',
      means: 'reads of the console: with at least one rising edge, ended by an idle reset',
    },
    { name: 'controls', bytes: 4, type: 'u32', means: 'controls held' },
    { name: 'inputs', bytes: 2, type: 'u16', means: 'port inputs pressed' },
    { name: 'there', bytes: 1, type: 'u8', means: '1: the pad was there; 0: it had gone' },
    { name: 'zero', bytes: 1, type: 'u8', means: 'zero' },
  ],
} as const
const ACTIVITY_HEAD_BYTES = 36
const ACTIVITY_READ_BYTES = 6
const ACTIVITY_REPORT_BYTES = 5 + REPORT_BYTES

const ERROR = {
  kind: 'layout',
  says: 'A refusal.',
  typescript: 'ERROR_AT',
  c: 'ERROR_AT_',
  bytes: 'ERROR_BYTES',
  fields: [
    { name: 'code', bytes: 1, type: 'u8', means: 'code' },
    { name: 'type', bytes: 1, type: 'u8', means: 'type of the request' },
  ],
} as const

/** Types of requests count from 1; a new one is appended. */
const REQUESTS = [
  ['identify', '2'],
  ['status', '0'],
  ['write', '6 and more'],
  ['commit', '7'],
  ['read', '4'],
  ['select-bank', '1'],
  ['monitor', '1'],
  ['set-controls', '4'],
  ['pad-history', '0'],
  ['read-stored', '4'],
  ['forget-pads', '0'],
  ['forget-trial', '0'],
] as const
const REPLY_BIT = 0x80
const EVENT_TYPE = 0xc0
const ERROR_TYPE = 0xff
const LAST_REQUEST = 0x3f

const ERRORS = [
  ['unknown message', 'a type that this device does not know'],
  ['wrong length', 'a payload of another length than listed'],
  ['identify first', 'anything before identify'],
  ['no such bank', `bank ${TRIAL_SLOT + 1} and above; ${TRIAL_SLOT} in select-bank`],
  ['image too large', 'an image longer than the largest'],
  ['out of range', 'a chunk or a read that does not fit; see 3.3, 3.5 and 3.10'],
  ['incomplete', 'a commit before all chunks are there'],
  ['checksum differs', 'a commit with another CRC than that of the staged bytes'],
  ['not an image', 'a commit of bytes that the device cannot run'],
  ['bank empty', 'read or select-bank on an empty bank'],
  ['memory failed', 'the memory refused; the bank and the active bank are as before'],
  ['busy', 'not now; ask again with a new sequence number'],
  ['nothing stored', 'read-stored of something that is not there'],
] as const

const FIELD_HEAD = ['offset', 'size', 'field']

export const LINK_TABLE = {
  source: 'src/adapter/link.table.ts',
  about: `Numbers of the link, version ${VERSION.major}.${VERSION.minor}; LINK.md is its specification.`,
  typescript: 'src/adapter/constants.ts',
  c: 'src/adapter/firmware/link-numbers.h',
  blocks: [
    {
      kind: 'numbers',
      says: 'A newer major changes what old programs rely on and is refused; a newer minor only adds.',
      typescript: { object: 'PROTOCOL' },
      c: { prefix: 'PROTOCOL_', as: 'enum' },
      of: [
        { name: 'major', value: VERSION.major },
        { name: 'minor', value: VERSION.minor },
      ],
    },
    {
      kind: 'text',
      says: `What every adapter that speaks this link answers first: ${MARK.length + 1} bytes.`,
      name: 'PRODUCT_MARK',
      text: MARK,
    },
    {
      kind: 'list',
      typescript: 'BANK_NUMBERS',
      type: 'BankNumber',
      typeSays: 'A bank as people count it. On the wire it is one less.',
      of: BANKS,
    },
    {
      kind: 'numbers',
      typescript: 'constants',
      c: { prefix: 'LINK_', as: 'macros' },
      of: [
        { name: 'banks', value: BANKS.length, only: 'c' },
        { name: 'noBank', value: NO_BANK, hex: 2, says: 'on the wire, the active bank when there is none' },
        {
          name: 'trialSlot',
          value: TRIAL_SLOT,
          says: 'in the place of a bank, in write, commit and read: the trial slot',
        },
        { name: 'nameBytes', value: NAME_BYTES, says: 'of the board’s name, and of its serial number' },
        { name: 'maxPayloadBytes', value: MAX_PAYLOAD_BYTES },
        { name: 'bodyHeadBytes', value: FRAME.fields.length, says: 'type and sequence number', only: 'c' },
        { name: 'frameOverheadBytes', value: OVERHEAD_BYTES, says: 'type, sequence number, CRC-32' },
        { name: 'maxBodyBytes', value: MAX_BODY_BYTES },
        {
          name: 'maxEncodedBytes',
          value: MAX_BODY_BYTES + 1,
          says: 'a body is shorter than 254 bytes, so COBS always adds exactly one',
        },
        {
          name: 'maxChunkBytes',
          value: MAX_CHUNK_BYTES,
          says: 'the largest chunk that an adapter may ask for; fits a frame with the write header, with room to spare',
          only: 'typescript',
        },
        {
          name: 'lastingBytes',
          value: MARK.length + 3,
          says: 'mark and protocol version: the same in every version there will ever be',
          only: 'typescript',
        },
        {
          name: 'replyTimeoutMs',
          value: 250,
          says: 'what an identified adapter is given: one sending and the repeats',
          only: 'typescript',
        },
        {
          name: 'commitTimeoutMs',
          value: 2000,
          says: 'a commit, and forgetting pads, erases and programs flash memory: 400 ms at most for a sector of a usual serial flash chip (from memory)',
          only: 'typescript',
        },
        { name: 'attempts', value: 5, only: 'typescript' },
        {
          name: 'identifyTimeoutMs',
          value: 400,
          says: 'a stranger gets fewer and slower tries: it may be starting up, or may not be ours at all',
          only: 'typescript',
        },
        { name: 'identifyAttempts', value: 3, only: 'typescript' },
      ],
    },
    {
      kind: 'numbers',
      says: 'Types of requests.',
      typescript: { object: 'REQUEST_TYPES' },
      c: { prefix: 'TYPE_', as: 'enum' },
      of: REQUESTS.map(([name], k) => ({ name, value: k + 1, hex: 2 })),
    },
    {
      kind: 'numbers',
      typescript: 'constants',
      c: { prefix: '', as: 'enum' },
      of: [
        {
          name: 'replyBit',
          value: REPLY_BIT,
          hex: 2,
          says: 'a reply has the type of its request with this bit set',
        },
        { name: 'inputEventType', value: EVENT_TYPE, hex: 2 },
        { name: 'errorType', value: ERROR_TYPE, hex: 2 },
      ],
    },
    {
      kind: 'names',
      says: 'Why a device refused. The order is the code on the wire, from 1: append, never reorder.',
      typescript: 'DEVICE_ERRORS',
      c: { prefix: 'ERROR_' },
      from: 1,
      names: ERRORS.map(([name]) => name),
    },
    IDENTITY,
    STATUS,
    STATUS_BANK,
    STATUS_TRIAL,
    {
      kind: 'names',
      says: 'What has become of the image in the trial slot. The order is the number on the wire: append, never reorder.',
      typescript: 'TRIAL_STATES',
      c: { prefix: 'TRIAL_', tag: 'trial_state' },
      from: 0,
      names: TRIAL_STATES.map(([name]) => name),
    },
    WRITE,
    COMMIT,
    READ,
    PIECE,
    EVENT,
    ERROR,
    {
      kind: 'numbers',
      says: 'The pad history and the last activity.',
      typescript: 'constants',
      c: { prefix: '', as: 'macros' },
      of: [
        { name: 'historyMaxPads', value: PADS },
        { name: 'historyMaxDescriptorBytes', value: DESCRIPTOR_BYTES, says: 'of a report descriptor' },
        {
          name: 'activityMaxReportBytes',
          value: REPORT_BYTES,
          says: 'a full-speed interrupt packet (USB 2.0 section 5.7.3)',
        },
        { name: 'activityLast', value: LAST, says: 'reports, and reads, in the last activity' },
      ],
    },
    {
      kind: 'names',
      says: 'What became of a pad. The order is the number on the wire: append, never reorder.',
      typescript: 'PAD_OUTCOMES',
      c: { prefix: 'OUTCOME_', tag: 'pad_outcome' },
      from: 0,
      names: OUTCOMES.map(([name]) => name),
    },
    PAD,
    ACTIVITY,
    {
      kind: 'numbers',
      typescript: 'constants',
      c: { prefix: '', as: 'enum' },
      of: [
        {
          name: 'listedPadBytes',
          value: LISTED_PAD_BYTES,
          says: 'a pad, and how much of its report descriptor is kept',
        },
        { name: 'activityReadBytes', value: ACTIVITY_READ_BYTES, says: 'time of its end and rises' },
        { name: 'activityReportBytes', value: ACTIVITY_REPORT_BYTES, says: 'time, length and content' },
        {
          name: 'maxActivityBytes',
          value: ACTIVITY_HEAD_BYTES + LAST * (ACTIVITY_READ_BYTES + ACTIVITY_REPORT_BYTES),
        },
      ],
    },
  ],
  markdown: {
    path: 'src/adapter/LINK.md',
    tables: [
      {
        mark: 'types',
        head: ['type', 'name', 'from', 'payload in bytes', 'answered with'],
        rows: [
          ...REQUESTS.map(([name, bytes], k) => [hex(k + 1), name, 'host', bytes, hex((k + 1) | REPLY_BIT)]),
          [`${hex(REQUESTS.length + 1)} to ${hex(LAST_REQUEST)}`, 'kept for later versions', '', '', ''],
          [
            `${hex(LAST_REQUEST + 1)} to ${hex(REPLY_BIT - 1)}`,
            'for makers’ own experiments; never given a meaning here',
            '',
            '',
            '',
          ],
          [hex(EVENT_TYPE), 'input event', 'device', '9', 'nothing'],
          [
            `${hex(EVENT_TYPE + 1)} to ${hex(ERROR_TYPE - 1)}`,
            'events of later versions',
            'device',
            '',
            'nothing',
          ],
          [hex(ERROR_TYPE), 'error', 'device', '2', ''],
        ],
      },
      { mark: 'identity', head: FIELD_HEAD, rows: IDENTITY },
      {
        mark: 'status',
        head: FIELD_HEAD,
        rows: {
          kind: 'layout',
          fields: [
            ...STATUS.fields,
            ...STATUS_BANK.fields,
            { bytes: 6 * (BANKS.length - 1), means: 'the same for banks 1, 2 and 3' },
            ...STATUS_TRIAL.fields,
          ],
        },
      },
      {
        mark: 'write',
        head: FIELD_HEAD,
        rows: {
          kind: 'layout',
          fields: [
            ...WRITE.fields,
            { bytes: 'n', means: 'the chunk: chunk size, or what is left at the end' },
          ],
        },
      },
      { mark: 'commit', head: FIELD_HEAD, rows: COMMIT },
      { mark: 'read', head: FIELD_HEAD, rows: READ },
      {
        mark: 'piece',
        head: FIELD_HEAD,
        rows: {
          kind: 'layout',
          fields: [...PIECE.fields, { bytes: 'n', means: 'bytes of the image from the offset' }],
        },
      },
      { mark: 'event', head: FIELD_HEAD, rows: EVENT },
      {
        mark: 'pad-history',
        head: FIELD_HEAD,
        rows: {
          kind: 'layout',
          fields: [
            {
              bytes: 1,
              type: 'u8',
              means: `how many pads follow, 0 to ${PADS}; the one that was written down last is first`,
            },
            { bytes: `${LISTED_PAD_BYTES} · n`, means: 'the pads' },
          ],
        },
      },
      {
        mark: 'pad',
        head: FIELD_HEAD,
        rows: {
          kind: 'layout',
          fields: [
            ...PAD.fields,
            {
              bytes: 2,
              type: 'u16',
              means: `how many bytes of its report descriptor are kept, ${DESCRIPTOR_BYTES} at most; 0 where none are`,
            },
          ],
        },
      },
      {
        mark: 'outcomes',
        head: ['number', 'what became of it'],
        rows: OUTCOMES.map(([, means], k) => [String(k), means]),
      },
      {
        mark: 'trial-states',
        head: ['number', 'state', 'what it means'],
        rows: TRIAL_STATES.map(([name, means], k) => [String(k), name, means]),
      },
      {
        mark: 'read-stored',
        head: FIELD_HEAD,
        rows: {
          kind: 'layout',
          fields: readOf(`0: the last activity; 1 to ${PADS}: the report descriptor of that pad`),
        },
      },
      {
        mark: 'activity',
        head: FIELD_HEAD,
        rows: {
          kind: 'layout',
          fields: [
            ...ACTIVITY.fields,
            {
              bytes: `${ACTIVITY_READ_BYTES} · n`,
              means: 'the last reads, oldest first: u32 time of the end, u16 rises',
            },
            {
              at: `${ACTIVITY_HEAD_BYTES} + ${ACTIVITY_READ_BYTES} · n`,
              bytes: `${ACTIVITY_REPORT_BYTES} · m`,
              means: `the last reports that differed from the one before, oldest first: u32 time, u8 length, ${REPORT_BYTES} bytes, of which those behind the length are zero`,
            },
          ],
        },
      },
      { mark: 'error', head: FIELD_HEAD, rows: ERROR },
      {
        mark: 'errors',
        head: ['code', 'name', 'when'],
        rows: ERRORS.map(([name, when], k) => [String(k + 1), name, when]),
      },
    ],
  },
} as const
