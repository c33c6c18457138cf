import type { Watch } from './watch.ts'

/** So often round the edge is enough. */
export const TURNS_WANTED = 3
/** Out so far, as a share of the way that it was pushed before, a stick counts as at its edge. */
const EDGE = 0.5
const SIDES = 4

/** The lowest and highest that an axis came to. */
export interface Reach {
  readonly least: number
  readonly most: number
}

/** A stick rolled round its edge: how far it comes, and how often round. Pushing it to and fro takes it nowhere. */
export class Roll {
  readonly #axes: readonly { readonly watch: Watch; readonly way: number; readonly values: number[] }[]
  /** The side that it stood at last: right, down, left, up; −1 at first. */
  #side = -1
  /** Sides that it went on by, one way round less the other, and the most of them. */
  #sides = 0
  #most = 0

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
    const side = Math.abs(x) >= Math.abs(y) ? (x > 0 ? 0 : 2) : y > 0 ? 1 : 3
    const step = this.#side < 0 ? 0 : (side - this.#side + SIDES) % SIDES
    // Two sides further may be either way round, or straight across.
    if (step === 1) this.#sides++
    else if (step === 3) this.#sides--
    this.#side = side
    this.#most = Math.max(this.#most, Math.abs(this.#sides))
  }

  get turns(): number {
    return Math.floor(this.#most / SIDES)
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
