import { PINS } from '../port/pins.ts'
import type { Input } from '../port/pins.ts'
import { IDENTIFIES } from '../title/schedule.ts'
import type { TakenSample } from '../title/schedule.ts'
import { ALWAYS } from './beliefs.ts'
import type { Beliefs } from './beliefs.ts'
import { levelOf, rowOf } from './reach/counting.ts'
import type { PinCounts, Sight, WrongKind } from './sight.ts'
import type { MetReply } from './weigh.ts'

/**
 * Samples of which a title believes what they show only if another sample shows the same. A misread of one is a misread of the title where
 * the other can go wrong in the same way, in whatever timing: that can make the judge stricter, never laxer. What moves the one can move the
 * other as far, as a slower adapter does, so what there is to spare is that of whichever of the two has more.
 */
export interface Agreements {
  /**
   * Which pins of a sample count by themselves, or have a partner that goes wrong in the same way if it moves by so much; nothing where all
   * count by themselves.
   */
  readonly countsOf: (sample: number, movedNs: number) => PinCounts | undefined
  /** By how much partners of a sample have to move to go wrong, the least first; nothing where all of its pins count by themselves. */
  readonly movesOf: (sample: number) => readonly number[] | undefined
}

/** `null` where no sample waits for another. */
export function agreementsOf(
  samples: readonly MetReply[],
  sight: Sight,
  beliefs: Beliefs,
): Agreements | null {
  const all = sight.schedule.samples
  const isAlone = ({ agreesWith }: TakenSample): boolean => Object.keys(agreesWith).length === 0
  if (all.every(isAlone)) return null
  /** The least by which a sample has to move to show an input wrongly; 0 where it can as it is. */
  const erring = new Map<string, number>()
  const errsAt = (sample: number, kind: WrongKind, input: Input | undefined): number =>
    erring.get(`${sample} ${kind} ${input}`) ?? Infinity
  const partners = new Set(all.flatMap(({ agreesWith }) => Object.values(agreesWith)))
  for (const reply of samples)
    for (const use of reply.sample.uses) {
      if (use === IDENTIFIES || !partners.has(use)) continue
      const { when, pins } = all[use] as TakenSample
      const [rises, level] = [rowOf(reply.code), levelOf(reply.code)]
      for (const { belief, movedNs } of when === 'six-buttons' ? beliefs.ofWaiting(reply) : ALWAYS) {
        const awayNs = Math.max(reply.awayNs, movedNs)
        for (const input of belief === 'never' ? [] : new Set<Input>(Object.values(pins)))
          for (const kind of ['phantom', 'missed'] as const)
            if (
              awayNs < errsAt(use, kind, input) &&
              sight.errs(use, rises, level, belief as number, kind, input)
            )
              erring.set(`${use} ${kind} ${input}`, awayNs)
      }
    }
  return {
    countsOf(sample, movedNs) {
      const one = all[sample] as TakenSample
      if (isAlone(one)) return undefined
      return (pin, kind) => {
        const partner = one.agreesWith[pin]
        return partner === undefined || errsAt(partner, kind, one.pins[pin]) <= movedNs
      }
    },
    movesOf(sample) {
      const one = all[sample] as TakenSample
      if (isAlone(one)) return undefined
      const moves = PINS.flatMap((pin) => {
        const partner = one.agreesWith[pin]
        if (partner === undefined) return one.pins[pin] === undefined ? [] : [0]
        return (['phantom', 'missed'] as const).map((kind) => errsAt(partner, kind, one.pins[pin]))
      })
      return [...new Set(moves)].filter((ns) => ns < Infinity).sort((p, q) => p - q)
    },
  }
}
