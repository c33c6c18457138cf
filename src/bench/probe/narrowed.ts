import { possibilitiesOf } from '../../title/possible.ts'
import { ruledOutInEveryWay } from '../../title/rule-out.ts'
import type { Possibility } from '../../title/rule-out.ts'
import type { Title } from '../../title/schema.ts'
import type { Left } from './weighing.ts'

/** What is left of a group, in some way of telling six buttons that is left. */
export const choicesLeft = ({ ways }: Left, group: number): number[] => [
  ...new Set(ways.flatMap(({ choices }) => choices[group] ?? [])),
]

/**
 * The title as it is known after the answers: what they refute is ruled out, and what they told carries how many did. What is refuted is so in
 * every way of telling six buttons that is left. Where a file cannot say it, as of samples that hang together, it stays open.
 */
export function narrowed(title: Title, left: Left): Title {
  const { detections, groups } = possibilitiesOf(title) ?? { detections: [], groups: [] }
  const choices = groups.map((_, g) => choicesLeft(left, g))
  const detected = left.ways.map(({ way }) => way.detection)
  const gone = detections.flatMap((_, detection): Possibility[] =>
    detected.includes(detection) ? [] : [{ kind: 'six-buttons', detection }],
  )
  const told = gone.length > 0 ? ruledOutInEveryWay(title, gone, atLeastOne(left.detectionTrials)) : title
  return groups.reduce((now, { samples: [first], choices: all }, g) => {
    const refuted = all.flatMap((_, choice): Possibility[] =>
      first === undefined || choices[g]?.includes(choice) ? [] : [{ kind: 'sample', at: first.at, choice }],
    )
    return refuted.length > 0
      ? ruledOutInEveryWay(now, refuted, atLeastOne(left.groupTrials[g] ?? { trials: 0, against: 0 }))
      : now
  }, told)
}

/** Answers about other samples can tell it, too, by leaving nothing else. */
const atLeastOne = <T extends { readonly trials: number }>(trials: T): T => ({
  ...trials,
  trials: Math.max(1, trials.trials),
})
