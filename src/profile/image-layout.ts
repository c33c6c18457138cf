import type { OppositePolicy } from './schema.ts'
import { OPPOSITE_POLICIES } from './schema.ts'

/** Numbers of IMAGE.md, version 1. Offsets and lengths in bytes. */

export const IMAGE_MAGIC = [0x4e, 0x39, 0x50, 0x49] as const
export const IMAGE_VERSION = 1
export const IMAGE_FAMILY_SELECT_LINE = 0

/** A reader may refuse more than this. */
export const IMAGE_MAX_BYTES = 512

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
  gap: 53,
  repeat: 56,
  mapping: 80,
  chart: 128,
} as const

export const NAME_ROOM = 32
export const ROW_BYTES = 6
export const RULE_BYTES = 8
export const LAYER_HEAD_BYTES = 8
export const CRC_BYTES = 4

/** Where the layers begin behind a chart of so many rows: the next multiple of 4. */
export const layersAt = (rows: number): number => (AT.chart + rows * ROW_BYTES + 3) & ~3

export const oppositeCode = (policy: OppositePolicy): number => OPPOSITE_POLICIES.indexOf(policy)

/** Codes behind the bank numbers in a bank change. */
export const NEXT_BANK_CODE = 5
export const PREVIOUS_BANK_CODE = 6
