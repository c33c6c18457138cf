import type { Input } from '../port/pins.ts'
import { IDENTIFIES } from '../title/schedule.ts'
import type { TakenSample } from '../title/schedule.ts'
import type { Beliefs } from './beliefs.ts'
import { levelOf, rowOf } from './reach/counting.ts'
import type { PinCounts, Sight } from './sight.ts'
import type { MetReply } from './weigh.ts'

/**
 * Samples of which a title believes what they show only if another sample shows the same. A misread of one is a misread of the title where
 * the other can go wrong in the same way, in whatever timing: that can make the judge stricter, never laxer.
 */
export interface Agreements {
  /** Which pins of a sample count by themselves, or have a partner that can go wrong in the same way; nothing where all count by themselves. */
  readonly countsOf: (sample: number) => PinCounts | undefined
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
  const erring = new Set<string>()
  const partners = new Set(all.flatMap(({ agreesWith }) => Object.values(agreesWith)))
  for (const reply of samples)
    for (const use of reply.awayNs > 0 ? [] : reply.sample.uses) {
      if (use === IDENTIFIES || !partners.has(use)) continue
      const { when, pins } = all[use] as TakenSample
      const [rises, level] = [rowOf(reply.code), levelOf(reply.code)]
      for (const belief of when === 'six-buttons' ? beliefs.ofWaiting(reply) : [0])
        for (const input of belief === 'never' ? [] : new Set<Input>(Object.values(pins)))
          for (const kind of ['phantom', 'missed'] as const)
            if (sight.errs(use, rises, level, belief as number, kind, input))
              erring.add(`${use} ${kind} ${input}`)
    }
  return {
    countsOf(sample) {
      const one = all[sample] as TakenSample
      if (isAlone(one)) return undefined
      return (pin, kind) => {
        const partner = one.agreesWith[pin]
        return partner === undefined || erring.has(`${partner} ${kind} ${one.pins[pin]}`)
      }
    },
  }
}
