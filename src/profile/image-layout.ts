// Written by `npm run tables` from src/profile/image.table.ts; change it there.

/** Where things are in an image of version 3, in bytes, and the bounds of what is there: IMAGE.md. */

export const IMAGE_MAGIC = [0x4e, 0x39, 0x50, 0x49] as const

export const IMAGE_VERSION = 3
/** Without late replies. */
export const PLAIN_IMAGE_VERSION = 2
/** A reader still runs these. */
export const OLDEST_IMAGE_VERSION = 1
export const IMAGE_FAMILY_SELECT_LINE = 0
/** A reader may refuse more. */
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
  sweeps: 55,
  repeat: 56,
  mapping: 80,
  chart: 128,
} as const

export const NAME_ROOM = 32
/** Six cells of four bits for each level of select. */
export const ROW_BYTES = 6
/** Of a power-on rule and of a bank change. */
export const RULE_BYTES = 8
export const REPEAT_KINDS_BYTES = 4
export const CRC_BYTES = 4

/** From the beginning of a layer. */
export const LAYER_AT = {
  by: 0,
  named: 4,
  toggled: 6,
  zero: 7,
} as const
export const LAYER_HEAD_BYTES = 8

/** From the beginning of a power-on rule. */
export const POWER_ON_AT = {
  held: 0,
  bank: 4,
  zero: 5,
} as const

/** From the beginning of a bank change. */
export const BANK_CHANGE_AT = {
  held: 0,
  forMs: 4,
  bank: 6,
  zero: 7,
} as const

export const NEXT_BANK_CODE = 5
export const PREVIOUS_BANK_CODE = 6

/** From the beginning of a stick. */
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
export const STICK_BYTES = 16

/** From the beginning of a chord. */
export const CHORD_AT = {
  held: 0,
  inputs: 4,
  ms: 6,
} as const
export const CHORD_BYTES = 8

/** From the beginning of a sweep. */
export const SWEEP_AT = {
  input: 0,
  steps: 1,
  phases: 2,
  first: 4,
  step: 6,
  on: 8,
  off: 9,
  zero: 10,
} as const
export const SWEEP_BYTES = 12

/** From the beginning of a pad. */
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
export const PAD_HEAD_BYTES = 44

/** From the beginning of an extractor. */
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
export const EXTRACTOR_BYTES = 20

export const KIND_CODES = {
  threshold: 1,
  array: 2,
  hat: 3,
  axis: 4,
} as const

export const SIGNED_FLAG = 0x80
