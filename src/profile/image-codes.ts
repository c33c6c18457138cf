import type { PadIdentity } from '../pad/layout/schema.ts'
import type { Gate } from '../pad/stick/settings.ts'
import { GATES } from '../pad/stick/settings.ts'
import { AT, ROW_BYTES } from './image-layout.ts'
import type { OppositePolicy } from './schema.ts'
import { OPPOSITE_POLICIES } from './schema.ts'

/** What words of a profile are in an image. */

/** Where the layers begin behind a chart of so many rows: the next multiple of 4. */
export const layersAt = (rows: number): number => (AT.chart + rows * ROW_BYTES + 3) & ~3

export const oppositeCode = (policy: OppositePolicy): number => OPPOSITE_POLICIES.indexOf(policy)

export const gateCode = (gate: Gate): number => GATES.indexOf(gate)

/** Ways to a pad that have a code: how a browser alone sees it has none. */
export const VIAS = ['hid', 'vendor'] as const satisfies readonly PadIdentity['via'][]

/** The argument of an axis is its place here. */
export const AXIS_SLOTS = [
  { stick: 'left', axis: 'x' },
  { stick: 'left', axis: 'y' },
  { stick: 'right', axis: 'x' },
  { stick: 'right', axis: 'y' },
] as const
