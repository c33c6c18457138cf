import { mapSteps } from '../../title/map-steps.ts'
import { possibilitiesOf } from '../../title/possible.ts'
import type { OpenGroup } from '../../title/possible.ts'
import { takenFor } from '../../title/rule-out.ts'
import type { Possibility } from '../../title/rule-out.ts'
import type { Title } from '../../title/schema.ts'
import type { Left } from './weighing.ts'

/** The title as it is known after the answers: what they rule out is gone, and what they told carries how many did. */
export function narrowed(title: Title, left: Left): Title {
  const { detections, groups } = possibilitiesOf(title) ?? { detections: [], groups: [] }
  const choices = groups.map((_, g) => [...new Set(left.ways.flatMap((way) => way.choices[g] ?? []))])
  const ways = left.ways.map(({ way }) => way.detection)
  const detected = waits(title, groups, choices) ? ways : neverFirst(detections, ways)
  const asked = (all: readonly number[]): Possibility[] =>
    all.map((detection) => ({ kind: 'six-buttons', detection }))
  const isTold = detected.length < detections.length
  const told = isTold ? takenFor(title, asked(detected), atLeastOne(left.detectionTrials)) : title
  return groups.reduce((now, { samples: [first], choices: all }, g) => {
    const kept = choices[g] ?? []
    if (first === undefined || kept.length === all.length) return now
    const taken = kept.map((choice): Possibility => ({ kind: 'sample', at: first.at, choice }))
    return takenFor(now, taken, atLeastOne(left.groupTrials[g] ?? { trials: 0, against: 0 }))
  }, told)
}

/** Answers about other samples can tell it, too, by leaving nothing else. */
const atLeastOne = <T extends { readonly trials: number }>(trials: T): T => ({
  ...trials,
  trials: Math.max(1, trials.trials),
})

/** Whether something that is left waits for six buttons: otherwise it does not matter how they are told. */
function waits(title: Title, groups: readonly OpenGroup[], choices: readonly (readonly number[])[]): boolean {
  const isOpen = groups.some(({ samples, choices: all }, g) =>
    (choices[g] ?? []).some((choice) =>
      samples.some(({ takings }, k) => takings[all[choice]?.[k] ?? 0]?.when === 'six-buttons'),
    ),
  )
  let isStated = false
  mapSteps(title, (step) => {
    const isMeant = 'select' in step || step.possible === undefined
    if (isMeant && step.when !== 'always') isStated = true
    return step
  })
  return isOpen || isStated
}

/** That it never looks for six buttons, where that is one of the ways that are left. */
function neverFirst(
  detections: readonly { readonly kind: string }[],
  ways: readonly number[],
): readonly number[] {
  const never = ways.find((way) => detections[way]?.kind === 'never')
  return never === undefined ? ways : [never]
}
