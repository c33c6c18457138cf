import type { Extractor, PadIdentity } from '../pad/layout/schema.ts'
import type { Gate } from '../pad/stick/settings.ts'
import { GATES } from '../pad/stick/settings.ts'
import type { OppositePolicy } from './schema.ts'
import { OPPOSITE_POLICIES } from './schema.ts'

/** Numbers of IMAGE.md, version 2. Offsets and lengths in bytes. */

export const IMAGE_MAGIC = [0x4e, 0x39, 0x50, 0x49] as const
export const IMAGE_VERSION = 2
/** A reader still runs these. */
export const OLDEST_IMAGE_VERSION = 1
export const IMAGE_FAMILY_SELECT_LINE = 0

/** A reader may refuse more than this. */
export const IMAGE_MAX_BYTES = 2048

export const AT = {
  version: 4,
  family: 5,
  length: 6,
  idleResetNs: 8,
  delayNs: 12,
  cycles: 14,
  after: 15,
  opposite: 16,
  layers: 17,
  powerOnRules: 18,
  bankChanges: 19,
  nameBytes: 20,
  name: 21,
  pads: 53,
  chords: 54,
  gap: 55,
  repeat: 56,
  mapping: 80,
  chart: 128,
} as const

export const NAME_ROOM = 32
export const ROW_BYTES = 6
export const RULE_BYTES = 8
export const LAYER_HEAD_BYTES = 8
export const REPEAT_KINDS_BYTES = 4
export const STICK_BYTES = 16
export const CHORD_BYTES = 8
export const PAD_HEAD_BYTES = 44
export const EXTRACTOR_BYTES = 20
export const CRC_BYTES = 4

/** Where the layers begin behind a chart of so many rows: the next multiple of 4. */
export const layersAt = (rows: number): number => (AT.chart + rows * ROW_BYTES + 3) & ~3

export const oppositeCode = (policy: OppositePolicy): number => OPPOSITE_POLICIES.indexOf(policy)

/** Codes behind the bank numbers in a bank change. */
export const NEXT_BANK_CODE = 5
export const PREVIOUS_BANK_CODE = 6

/** Within a stick, from its beginning. */
export const STICK_AT = {
  gate: 0,
  inner: 1,
  outer: 2,
  diagonal: 3,
  hysteresis: 4,
  zero: 5,
  press: 6,
  release: 8,
  enter: 10,
  begin: 12,
  leave: 14,
} as const

export const gateCode = (gate: Gate): number => GATES.indexOf(gate)

/** Within a pad, from its beginning. */
export const PAD_AT = {
  vendor: 0,
  product: 2,
  via: 4,
  extractors: 5,
  nameBytes: 6,
  oneDescriptor: 7,
  descriptorCrc32: 8,
  name: 12,
} as const

/** Ways to a pad that have a code: how a browser alone sees it has none. */
export const VIAS = ['hid', 'vendor'] as const satisfies readonly PadIdentity['via'][]

/** Within an extractor, from its beginning. */
export const EXTRACTOR_AT = {
  kind: 0,
  argument: 1,
  count: 2,
  report: 4,
  bits: 5,
  bit: 6,
  p: 8,
  q: 12,
  r: 16,
} as const

/** Beside the number of bits of a field with sign. */
export const SIGNED_FLAG = 0x80

export const KIND_CODES = { threshold: 1, array: 2, hat: 3, axis: 4 } as const satisfies Record<
  Extractor['kind'],
  number
>

/** The argument of an axis is its place here. */
export const AXIS_SLOTS = [
  { stick: 'left', axis: 'x' },
  { stick: 'left', axis: 'y' },
  { stick: 'right', axis: 'x' },
  { stick: 'right', axis: 'y' },
] as const
