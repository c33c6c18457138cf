import { AXIS_FULL } from '../../pad/extract.ts'
import type { StickPosition } from '../../pad/extract.ts'

/** Keys that move a point over the plane of a stick. */

const STEP = AXIS_FULL / 50
const LONG_STEP = AXIS_FULL / 10

const WAYS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
}

const within = (value: number): number => Math.max(-AXIS_FULL, Math.min(AXIS_FULL, Math.round(value)))

/** Where a key moves a point: 2 % of the stick's travel, 10 % with `long`; `Home` to the middle; `null` for other keys. */
export function keyMove({ x, y }: StickPosition, key: string, long: boolean): StickPosition | null {
  if (key === 'Home') return { x: 0, y: 0 }
  const way = WAYS[key]
  if (way === undefined) return null
  const step = long ? LONG_STEP : STEP
  return { x: within(x + way[0] * step), y: within(y + way[1] * step) }
}
