import type { Watch } from './watch.ts'

/** So often round the edge is enough. */
export const TURNS_WANTED = 3
/** Out so far, as a share of the way that it was pushed before, a stick counts as at its edge. */
const EDGE = 0.5

/** The lowest and highest that an axis came to. */
export interface Reach {
  readonly least: number
  readonly most: number
}

/** A stick rolled round its edge: how far it comes, and how often round. */
export class Roll {
  readonly #axes: readonly { readonly watch: Watch; readonly way: number; readonly values: number[] }[]
  #quarter = -1
  #quarters = 0

  /** @param pushed the value that each axis came to when the stick was pushed */
  constructor(axes: readonly { readonly watch: Watch; readonly pushed: number }[]) {
    this.#axes = axes.map(({ watch, pushed }) => ({ watch, way: Math.abs(pushed - watch.rest), values: [] }))
  }

  /** Looks at where the axes are now. */
  take(): void {
    const sides = this.#axes.map(({ watch, way, values }) => {
      const value = watch.value ?? watch.rest
      values.push(value)
      return way === 0 ? 0 : (value - watch.rest) / way
    })
    const [x = 0, y = 0] = sides
    if (Math.hypot(x, y) < EDGE) return
    const quarter = (x < 0 ? 1 : 0) + (y < 0 ? 2 : 0)
    if (quarter !== this.#quarter) this.#quarters++
    this.#quarter = quarter
  }

  get turns(): number {
    return Math.floor(this.#quarters / 4)
  }

  /** The ends of an axis, less the outermost few, which may be spikes. */
  reach(axis: 0 | 1): Reach | null {
    const values = (this.#axes[axis]?.values ?? []).toSorted((a, b) => a - b)
    const out = Math.min(2, Math.floor(values.length / 60))
    const least = values[out]
    const most = values[values.length - 1 - out]
    return least === undefined || most === undefined ? null : { least, most }
  }
}
