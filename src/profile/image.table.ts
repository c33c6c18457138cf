import { CONTROLS } from '../pad/controls.ts'
import { LAYOUT_LIMITS } from '../pad/layout/schema.ts'
import { GATES, STICK_LIMITS } from '../pad/stick/settings.ts'
import { CELLS, MAX_CYCLES } from '../port/chart.ts'
import { INPUTS, PINS } from '../port/pins.ts'
import { IMAGE_EXTRACTORS, IMAGE_PADS } from './fit-layouts.ts'
import { BANKS, LIMITS, OPPOSITE_POLICIES } from './schema.ts'
import { SWEEP_LIMITS } from './sweep.ts'

/** The image, byte by byte; IMAGE.md says what it means. Bounds that the schemas have are taken from there. */

const MAGIC = 'N9PI'
/** Written with late replies; without them it is 2. */
const VERSION = 3
const MAX_BYTES = 2048

/** Before the chart: the same in every image. */
const HEAD = {
  kind: 'layout',
  typescript: 'AT',
  c: 'AT_',
  fields: [
    { bytes: 4, means: 'magic: `4E 39 50 49` (`N9PI`)' },
    { name: 'version', bytes: 1, means: 'version: 2, or 3 with late replies' },
    { name: 'family', bytes: 1, means: 'port family: 0 = select-line pad' },
    { name: 'length', bytes: 2, means: 'length of the whole image in bytes, CRC included' },
    {
      name: 'idleResetNs',
      bytes: 4,
      means: `idle reset in ns, ${spaced(LIMITS.minIdleResetNs)} to ${spaced(LIMITS.maxIdleResetNs)}`,
    },
    {
      name: 'delayNs',
      bytes: 2,
      means: `deliberate delay in ns: 0, ${LIMITS.delayStepNs}, ${2 * LIMITS.delayStepNs} … ${LIMITS.maxDelayNs}`,
    },
    {
      name: 'cycles',
      bytes: 1,
      means: `cycles \`c\`: 1 to ${MAX_CYCLES['start-again']} with _start again_, 1 to ${MAX_CYCLES.stay} with _stay_`,
    },
    { name: 'after', bytes: 1, means: 'after the last cycle: 0 = start again, 1 = stay' },
    {
      name: 'opposite',
      bytes: 1,
      means: `opposite directions: bits 0–1 vertical, bits 2–3 horizontal (${OPPOSITE_POLICIES.map((name, k) => `${k} ${name.replace('-', ' ')}`).join(', ')}), rest zero`,
    },
    { name: 'layers', bytes: 1, means: `layers \`l\`, 0 to ${LIMITS.layers}` },
    { name: 'powerOnRules', bytes: 1, means: `power-on rules \`p\`, 0 to ${LIMITS.powerOnRules}` },
    { name: 'bankChanges', bytes: 1, means: `bank changes \`b\`, 0 to ${LIMITS.bankChanges}` },
    { name: 'nameBytes', bytes: 1, means: `bytes of the name, 1 to ${LIMITS.nameBytes}` },
    { name: 'name', bytes: LIMITS.nameBytes, means: 'name in UTF-8, filled up with zero' },
    { name: 'pads', bytes: 1, means: `pads \`q\`, 0 to ${IMAGE_PADS}` },
    { name: 'chords', bytes: 1, means: `chords \`h\`, 0 to ${LIMITS.chords}` },
    { name: 'sweeps', bytes: 1, means: 'sweeps: 1 in version 3, else zero' },
    {
      name: 'repeat',
      bytes: 2 * INPUTS.length,
      means: `steady repeat: for each input two bytes, pressed and released (both 1 to ${LIMITS.repeatSteps}, or both 0: no repeat)`,
    },
    {
      name: 'mapping',
      bytes: 4 * INPUTS.length,
      means: 'mapping: for each input the bit set of controls (32 bit) of which any presses it',
    },
    { name: 'chart', bytes: '6·`r`', means: 'chart: `r` rows of 6 bytes; `r` is `c`, plus 1 with _stay_' },
  ],
} as const

const LAYER = {
  kind: 'layout',
  says: 'From the beginning of a layer.',
  typescript: 'LAYER_AT',
  c: 'LAYER_AT_',
  bytes: 'LAYER_HEAD_BYTES',
  fields: [
    { name: 'by', bytes: 4, means: 'bit set of controls, not empty, that turn it on: any of them' },
    { name: 'named', bytes: 2, means: 'bit set of inputs that it names; bits 12 to 15 zero' },
    { name: 'toggled', bytes: 1, means: '0 = on while held, 1 = toggled' },
    { name: 'zero', bytes: 1, means: 'zero' },
  ],
} as const

const POWER_ON_RULE = {
  kind: 'layout',
  says: 'From the beginning of a power-on rule.',
  typescript: 'POWER_ON_AT',
  c: 'POWER_ON_AT_',
  fields: [
    { name: 'held', bytes: 4, means: 'bit set of controls, not empty: all of them held' },
    {
      name: 'bank',
      bytes: 1,
      means: `0 = keep to the first cycle, 1 to ${BANKS.length} = that bank`,
    },
    { name: 'zero', bytes: 3, means: 'zero' },
  ],
} as const

const NEXT_BANK = BANKS.length + 1
const PREVIOUS_BANK = BANKS.length + 2

const BANK_CHANGE = {
  kind: 'layout',
  says: 'From the beginning of a bank change.',
  typescript: 'BANK_CHANGE_AT',
  c: 'BANK_CHANGE_AT_',
  fields: [
    { name: 'held', bytes: 4, means: 'bit set of controls, not empty: all of them held' },
    { name: 'forMs', bytes: 2, means: `for so many milliseconds, 0 to ${spaced(LIMITS.maxHoldMs)}` },
    {
      name: 'bank',
      bytes: 1,
      means: `1 to ${BANKS.length} = that bank, ${NEXT_BANK} = next, ${PREVIOUS_BANK} = previous`,
    },
    { name: 'zero', bytes: 1, means: 'zero' },
  ],
} as const

const STICK = {
  kind: 'layout',
  says: 'From the beginning of a stick.',
  typescript: 'STICK_AT',
  c: 'STICK_AT_',
  bytes: 'STICK_BYTES',
  fields: [
    { name: 'gate', bytes: 1, means: `gate: ${GATES.map((gate, k) => `${k} ${gate}`).join(', ')}` },
    {
      name: 'inner',
      bytes: 1,
      means: `press threshold in per cent, ${STICK_LIMITS.minInner} to ${STICK_LIMITS.maxInner}`,
    },
    {
      name: 'outer',
      bytes: 1,
      means: `full travel in per cent, ${STICK_LIMITS.minOuter} to ${STICK_LIMITS.maxOuter}`,
    },
    { name: 'diagonal', bytes: 1, means: `diagonal share in per cent, 0 to ${STICK_LIMITS.maxDiagonal}` },
    {
      name: 'hysteresis',
      bytes: 1,
      means: `hysteresis in per cent, 1 to ${STICK_LIMITS.maxHysteresis} and below the press threshold`,
    },
    { name: 'zero', bytes: 1, means: 'zero' },
    { name: 'press', bytes: 2, means: '`press`; this and the others follow from what is set (see _Sticks_)' },
    { name: 'release', bytes: 2, means: '`release`' },
    { name: 'enter', bytes: 2, means: '`enter`' },
    { name: 'begin', bytes: 2, means: '`begin`' },
    { name: 'leave', bytes: 2, means: '`leave`' },
  ],
} as const

const CHORD = {
  kind: 'layout',
  says: 'From the beginning of a chord.',
  typescript: 'CHORD_AT',
  c: 'CHORD_AT_',
  bytes: 'CHORD_BYTES',
  fields: [
    { name: 'held', bytes: 4, means: 'bit set of controls, two of them at least' },
    { name: 'inputs', bytes: 2, means: 'bit set of inputs, not empty; bits 12 to 15 zero' },
    { name: 'ms', bytes: 2, means: `milliseconds, 0 to ${LIMITS.maxChordMs}` },
  ],
} as const

const SWEEP = {
  kind: 'layout',
  says: 'From the beginning of a sweep.',
  typescript: 'SWEEP_AT',
  c: 'SWEEP_AT_',
  bytes: 'SWEEP_BYTES',
  fields: [
    { name: 'input', bytes: 1, means: 'input, 0 to 11' },
    { name: 'steps', bytes: 1, means: 'steps, 1 to 255' },
    {
      name: 'phases',
      bytes: 2,
      means: 'bit set of late phases, not empty: bit 2·`k` high and bit 2·`k` + 1 low of row `k`',
    },
    { name: 'first', bytes: 2, means: 'late by so many cycles of 8 ns in step 0, 2 to 3750' },
    {
      name: 'step',
      bytes: 2,
      means: 'cycles of 8 ns that each step adds, 1 to 3750; in the last step 3750 in all at most',
    },
    { name: 'on', bytes: 1, means: 'tens of milliseconds pressed in a step, 1 to 255' },
    { name: 'off', bytes: 1, means: 'tens of milliseconds released, 1 to 255' },
    { name: 'zero', bytes: 2, means: 'zero' },
  ],
} as const

const PAD = {
  kind: 'layout',
  says: 'From the beginning of a pad.',
  typescript: 'PAD_AT',
  c: 'PAD_AT_',
  bytes: 'PAD_HEAD_BYTES',
  fields: [
    { name: 'vendor', bytes: 2, means: 'vendor number' },
    { name: 'product', bytes: 2, means: 'product number' },
    { name: 'via', bytes: 1, means: '0 = HID, 1 = vendor class' },
    { name: 'extractors', bytes: 1, means: `extractors \`e\`, 1 to ${LAYOUT_LIMITS.extractors}` },
    { name: 'nameBytes', bytes: 1, means: `bytes of the name, 1 to ${LAYOUT_LIMITS.nameBytes}` },
    { name: 'oneDescriptor', bytes: 1, means: '1 = for one report descriptor only, 0 = for any' },
    {
      name: 'descriptorCrc32',
      bytes: 4,
      means: 'CRC-32 of that report descriptor; zero for any',
    },
    {
      name: 'name',
      bytes: LAYOUT_LIMITS.nameBytes,
      means: 'name, filled up with zero, under the rules of the profile’s name',
    },
  ],
} as const

const EXTRACTOR = {
  kind: 'layout',
  says: 'From the beginning of an extractor.',
  typescript: 'EXTRACTOR_AT',
  c: 'EXTRACTOR_AT_',
  bytes: 'EXTRACTOR_BYTES',
  fields: [
    { name: 'kind', bytes: 1, means: 'kind' },
    { name: 'argument', bytes: 1, means: 'argument' },
    { name: 'count', bytes: 2, means: 'count' },
    { name: 'report', bytes: 1, means: 'field: number of the report' },
    {
      name: 'bits',
      bytes: 1,
      means: 'field: bits, 1 to 32, plus 128 where it is signed (without sign 31 bits at most)',
    },
    { name: 'bit', bytes: 2, means: 'field: offset of its first bit' },
    { name: 'p', bytes: 4, means: '`p`, signed' },
    { name: 'q', bytes: 4, means: '`q`, signed' },
    { name: 'r', bytes: 4, means: '`r`, signed' },
  ],
} as const

const KINDS = [
  ['threshold', 'control', 'zero', 'press', 'release', 'zero'],
  ['array', 'control', `1 to ${LAYOUT_LIMITS.arrayFields}`, 'value', 'zero', 'zero'],
  ['hat', 'cross: 0 dpad, 1 left stick, 2 right stick', '4 or 8', 'first', 'step', 'zero'],
  ['axis', '0 left stick x, 1 left stick y, 2 right stick x, 3 its y', 'zero', 'low', 'centre', 'high'],
] as const

function spaced(count: number): string {
  return String(count).replace(/\B(?=(\d{3})+$)/g, ' ')
}

const FIELD_HEAD = ['offset', 'bytes', 'what']

export const IMAGE_TABLE = {
  source: 'src/profile/image.table.ts',
  about: `Where things are in an image of version ${VERSION}, in bytes, and the bounds of what is there: IMAGE.md.`,
  typescript: 'src/profile/image-layout.ts',
  c: 'src/adapter/firmware/image-layout.h',
  blocks: [
    {
      kind: 'list',
      typescript: 'IMAGE_MAGIC',
      hex: 2,
      of: [...MAGIC].map((letter) => letter.charCodeAt(0)),
    },
    {
      kind: 'numbers',
      typescript: 'constants',
      c: { prefix: '', as: 'macros' },
      of: [
        { name: 'IMAGE_VERSION', value: VERSION },
        { name: 'PLAIN_IMAGE_VERSION', value: 2, says: 'without late replies' },
        { name: 'OLDEST_IMAGE_VERSION', value: 1, says: 'a reader still runs these' },
        { name: 'IMAGE_FAMILY_SELECT_LINE', value: 0 },
        { name: 'IMAGE_MAX_BYTES', value: MAX_BYTES, says: 'a reader may refuse more' },
      ],
    },
    {
      kind: 'numbers',
      c: { prefix: 'IMAGE_MAGIC_', as: 'enum' },
      of: [...MAGIC].map((letter, k) => ({ name: String(k), value: letter.charCodeAt(0), hex: 2 })),
    },
    HEAD,
    {
      kind: 'numbers',
      typescript: 'constants',
      c: { prefix: '', as: 'enum' },
      of: [
        { name: 'NAME_ROOM', value: LIMITS.nameBytes },
        { name: 'ROW_BYTES', value: PINS.length, says: 'six cells of four bits for each level of select' },
        { name: 'PHASE_BYTES', value: PINS.length / 2, only: 'c' },
        { name: 'RULE_BYTES', value: 8, says: 'of a power-on rule and of a bank change' },
        { name: 'REPEAT_KINDS_BYTES', value: 4 },
        { name: 'STICKS', value: 2, only: 'c' },
        { name: 'CRC_BYTES', value: 4 },
      ],
    },
    LAYER,
    POWER_ON_RULE,
    BANK_CHANGE,
    {
      kind: 'numbers',
      says: 'Behind the numbers of the banks in a bank change.',
      typescript: 'constants',
      c: { prefix: '', as: 'enum' },
      of: [
        { name: 'NEXT_BANK_CODE', value: NEXT_BANK },
        { name: 'PREVIOUS_BANK_CODE', value: PREVIOUS_BANK },
      ],
    },
    STICK,
    CHORD,
    SWEEP,
    PAD,
    EXTRACTOR,
    {
      kind: 'numbers',
      typescript: { object: 'KIND_CODES' },
      c: { prefix: 'KIND_', as: 'enum' },
      of: KINDS.map(([name], k) => ({ name, value: k + 1 })),
    },
    {
      kind: 'numbers',
      says: 'Beside the number of bits of a field with sign.',
      typescript: 'constants',
      c: { prefix: '', as: 'enum' },
      of: [{ name: 'SIGNED_FLAG', value: 0x80, hex: 2 }],
    },
    {
      kind: 'numbers',
      says: 'Bounds.',
      c: { prefix: 'IMAGE_', as: 'macros' },
      of: [
        { name: 'controls', value: CONTROLS.length },
        { name: 'inputs', value: INPUTS.length },
        { name: 'banks', value: BANKS.length },
        { name: 'maxCyclesStartAgain', value: MAX_CYCLES['start-again'] },
        { name: 'maxCyclesStay', value: MAX_CYCLES.stay },
        { name: 'maxLayers', value: LIMITS.layers },
        { name: 'maxPowerOnRules', value: LIMITS.powerOnRules },
        { name: 'maxBankChanges', value: LIMITS.bankChanges },
        { name: 'maxHoldMs', value: LIMITS.maxHoldMs },
        { name: 'maxChords', value: LIMITS.chords },
        { name: 'maxChordMs', value: LIMITS.maxChordMs },
        { name: 'minIdleResetNs', value: LIMITS.minIdleResetNs },
        { name: 'maxIdleResetNs', value: LIMITS.maxIdleResetNs },
        { name: 'delayStepNs', value: LIMITS.delayStepNs },
        { name: 'maxDelayNs', value: LIMITS.maxDelayNs },
        { name: 'minLateCycles', value: SWEEP_LIMITS.minLateNs / SWEEP_LIMITS.cycleNs },
        { name: 'maxLateCycles', value: SWEEP_LIMITS.maxLateNs / SWEEP_LIMITS.cycleNs },
        { name: 'sweepUnitMs', value: SWEEP_LIMITS.stepMs },
        {
          name: 'replyWords',
          value: SWEEP_LIMITS.words,
          says: 'of the reply table, for rows and late phases',
        },
        { name: 'rowWords', value: SWEEP_LIMITS.rowWords },
        { name: 'lateWords', value: SWEEP_LIMITS.lateWords },
        { name: 'maxPads', value: IMAGE_PADS },
        { name: 'maxExtractors', value: LAYOUT_LIMITS.extractors, says: 'of one pad' },
        { name: 'maxExtractorsInAll', value: IMAGE_EXTRACTORS },
        { name: 'maxArrayFields', value: LAYOUT_LIMITS.arrayFields },
        { name: 'maxHatStep', value: LAYOUT_LIMITS.hatStep },
        { name: 'maxReportBytes', value: LAYOUT_LIMITS.reportBytes },
      ],
    },
    {
      kind: 'numbers',
      says: 'Percentages of a stick.',
      c: { prefix: 'STICK_', as: 'enum' },
      of: Object.entries(STICK_LIMITS).map(([name, value]) => ({ name, value })),
    },
    { kind: 'names', c: { prefix: 'GATE_', tag: 'gate' }, from: 0, names: GATES },
    { kind: 'names', c: { prefix: 'OPPOSITE_', tag: 'opposite' }, from: 0, names: OPPOSITE_POLICIES },
    {
      kind: 'numbers',
      says: 'Codes of cells behind those of the inputs.',
      c: { prefix: 'CELL_', as: 'enum' },
      of: (['low', 'high'] as const).map((name) => ({ name, value: CELLS.indexOf(name) })),
    },
  ],
  markdown: {
    path: 'src/profile/IMAGE.md',
    tables: [
      {
        mark: 'image',
        head: FIELD_HEAD,
        rows: {
          kind: 'layout',
          fields: [
            ...HEAD.fields,
            { at: '…', bytes: '0 or 2', means: 'zero, up to a multiple of 4' },
            { at: '…', bytes: '…', means: '`l` layers' },
            { at: '…', bytes: '8·`p`', means: 'power-on rules' },
            { at: '…', bytes: '8·`b`', means: 'bank changes' },
            {
              at: '…',
              bytes: 2,
              means:
                'bit set of the inputs whose repeat counts milliseconds; the others count reads. Only inputs that have a repeat',
            },
            { at: '…', bytes: 2, means: 'zero' },
            { at: '…', bytes: 32, means: 'left stick, then right stick' },
            { at: '…', bytes: '8·`h`', means: 'chords' },
            { at: '…', bytes: '0 or 12', means: 'version 3: the sweep' },
            {
              at: '…',
              bytes: '…',
              means: `\`q\` pads, ${IMAGE_EXTRACTORS} extractors at most in all of them together`,
            },
            { at: 'end − 4', bytes: 4, means: 'CRC-32 over everything before it' },
          ],
        },
      },
      { mark: 'layer', head: FIELD_HEAD, rows: LAYER },
      { mark: 'power-on-rule', head: FIELD_HEAD, rows: POWER_ON_RULE },
      { mark: 'bank-change', head: FIELD_HEAD, rows: BANK_CHANGE },
      { mark: 'stick', head: FIELD_HEAD, rows: STICK },
      { mark: 'chord', head: FIELD_HEAD, rows: CHORD },
      { mark: 'sweep', head: FIELD_HEAD, rows: SWEEP },
      { mark: 'pad', head: FIELD_HEAD, rows: PAD },
      { mark: 'extractor', head: FIELD_HEAD, rows: EXTRACTOR },
      {
        mark: 'kinds',
        head: ['kind', 'what', 'argument', 'count', '`p`', '`q`', '`r`'],
        rows: KINDS.map((row, k) => [String(k + 1), ...row]),
      },
    ],
  },
} as const
