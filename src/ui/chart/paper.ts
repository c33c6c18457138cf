import type { Level } from '../../port/pins.ts'

/* Everything here is in whole CSS pixels. */

export interface Point {
  readonly x: number
  readonly y: number
}
export interface Rectangle extends Point {
  readonly width: number
  readonly height: number
}
/** Where something that lies over the drawing stands. */
export const styleOf = ({ x, y, width, height }: Rectangle): string =>
  `left:${x}px;top:${y}px;width:${width}px;height:${height}px`

export interface Label extends Point {
  readonly text: string
  readonly anchor: 'start' | 'middle' | 'end'
}

/** Along time, then across the lanes. */
export type Spot = readonly [along: number, across: number]

/** Turns (along time, across lanes) into (x, y), and is the one place that knows the direction. */
export class Paper {
  readonly #turned: boolean
  constructor(turned: boolean) {
    this.#turned = turned
  }

  at = (along: number, across: number): Point =>
    this.#turned ? { x: across, y: along } : { x: along, y: across }

  box = (along: number, across: number, length: number, depth: number): Rectangle =>
    this.#turned
      ? { x: across, y: along, width: depth, height: length }
      : { x: along, y: across, width: length, height: depth }

  path = (points: readonly Spot[], closed = false): string =>
    points
      .map(([along, across], k) => {
        const { x, y } = this.at(along, across)
        return `${k === 0 ? 'M' : 'L'}${x} ${y}`
      })
      .join('') + (closed ? 'Z' : '')

  /** Where a level stands across a lane. */
  level = (lane: { start: number; size: number }, level: Level): number =>
    (level === 'high') === this.#turned ? lane.start + lane.size : lane.start
}
