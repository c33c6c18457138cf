import { canHideEdges, isOfOnePhase } from '../sampling-step.ts'
import type { SelectLine } from '../select-line.ts'
import type { Burst, Bursts } from './bursts.ts'
import type { Frames } from './frames.ts'

/**
 * Whether each edge of usual reads lies where a steady clock has it, as near as samples tell: then none of them is now of one phase and now of
 * another that samples have missed. It is so where samples lie so close that they miss none.
 */
export function isSteady(
  { timesNs, sampledNs }: SelectLine,
  { whole }: Pick<Bursts, 'whole'>,
  { readsAt, periodNs }: Pick<Frames, 'readsAt' | 'periodNs'>,
): boolean {
  if (sampledNs === null || !canHideEdges(sampledNs)) return true
  const startNs = ({ first }: Burst): number => timesNs[first] ?? 0
  return readsAt.every((reads) => {
    const bursts = reads.map((k) => whole[k] as Burst)
    const [opening] = bursts
    if (opening === undefined) return true
    const places = new Spreads()
    for (const burst of bursts) {
      const framesNs = Math.round((startNs(burst) - startNs(opening)) / periodNs) * periodNs
      for (let edge = 0; edge < burst.edges; edge++)
        places.add(edge, (timesNs[burst.first + edge] ?? 0) - framesNs)
    }
    return isOfOnePhase(places.mostNs, sampledNs)
  })
}

/** From the least to the most of what was added under each number. */
class Spreads {
  readonly #least: number[] = []
  readonly #most: number[] = []

  add(number: number, ns: number): void {
    this.#least[number] = Math.min(this.#least[number] ?? Infinity, ns)
    this.#most[number] = Math.max(this.#most[number] ?? -Infinity, ns)
  }

  get mostNs(): number {
    return Math.max(...this.#most.map((ns, number) => ns - (this.#least[number] ?? 0)))
  }
}
