import { cellWord } from '../port/input-texts.ts'
import type { Profile } from '../profile/schema.ts'
import { groupAt, possibilitiesOf } from '../title/possible.ts'
import type { Detection, OpenGroup, OpenSample, Possibilities, Taking } from '../title/possible.ts'
import { placeOfSample } from '../title/place-of-sample.ts'
import type { Title } from '../title/schema.ts'
import { timeWord } from '../words/figures.ts'
import { eitherWords, listWords } from '../words/lists.ts'
import { decidingTrial } from './deciding-trial.ts'
import { detectsWords, placeWords } from './does-words.ts'
import { t } from './doubt-texts.ts'
import type { Doubts, FoundDoubt } from './doubts.ts'
import type { Counterexample, Doubt, HangsOn, JudgeOptions, TitleAssumption } from './judgement.ts'
import { simplest } from './weigh.ts'

type OpenDoubts = Extract<Doubts, { readonly kind: 'open' }>

/** What an undecided verdict hangs on, in words. */
export function hangsOn(
  profile: Profile,
  options: JudgeOptions,
  title: Title,
  { detection, found }: OpenDoubts,
  left: readonly Doubt[],
): HangsOn {
  const inOrder = simplestFirst(found)
  const misreadIf = inOrder.map((doubt): Doubt => ({
    assumes: doubt.assumes,
    condition: conditionWords(title, doubt),
    reason: doubt.judgement.reason,
    example: doubt.judgement.counterexample as Counterexample,
  }))
  return {
    kind: 'title',
    misreadIf: [...misreadIf, ...left],
    cleanIf: cleanWords(title, detection, inOrder, left),
    trial: decidingTrial(profile, options, inOrder),
  }
}

/** "Not decided: clean if …; misread if …". */
export function undecidedReason({ misreadIf, cleanIf }: HangsOn): string {
  const [first, ...others] = misreadIf
  if (first === undefined) return ''
  const said = { clean: cleanIf, condition: first.condition, reason: first.reason }
  return others.length === 0 ? t.undecided(said) : t.undecidedMore({ ...said, n: others.length })
}

function simplestFirst(found: readonly FoundDoubt[]): FoundDoubt[] {
  const left = [...found]
  const sorted: FoundDoubt[] = []
  while (left.length > 0) {
    const best = simplest(left.map(({ judgement }) => judgement.counterexample as Counterexample))
    const at = left.findIndex(({ judgement }) => judgement.counterexample === best)
    sorted.push(...left.splice(at, 1))
  }
  return sorted
}

function conditionWords(title: Title, { assumes, judgement }: FoundDoubt): string {
  const possibilities = possibilitiesOf(title)
  switch (assumes.kind) {
    case 'sample':
      return sampleWords(title, possibilities as Possibilities, assumes)
    case 'six-buttons':
      return detectionWords(title, possibilities as Possibilities, assumes.detection)
    case 'times':
      return timesWords(judgement.counterexample as Counterexample)
  }
}

function sampleWords(
  title: Title,
  { detections }: Possibilities,
  { at, choice, detection }: Extract<TitleAssumption, { readonly kind: 'sample' }>,
): string {
  const { samples, choices } = groupAt(title, at) as OpenGroup
  const takings = samples.map(({ takings }, k) => takings[choices[choice]?.[k] ?? 0] as Taking)
  // Of those that hang together the first one that is taken for something.
  const which = Math.max(
    0,
    takings.findIndex(({ sample }) => Object.keys(sample).length > 0),
  )
  const one = samples[which] as OpenSample
  const { sample, when } = takings[which] as Taking
  const inputs = Object.values(sample).map((taken) => (typeof taken === 'string' ? taken : taken.input))
  const place = placeWords(title, one)
  if (when === 'always') return t.usesSample({ place })
  return t.usesExtra({
    place,
    inputs: listWords(inputs.map(cellWord)),
    detects: detectsWords(title, detections[detection] as Detection),
  })
}

const detectionWords = (title: Title, { detections }: Possibilities, detection: number): string =>
  detectsWords(title, detections[detection] as Detection)

function timesWords({ place, shortNs }: Counterexample): string {
  const after = timeWord(place.afterEdgeNs)
  return shortNs === null
    ? t.guessedTimes
    : t.samplesSoon({ after, cycle: place.cycle, level: cellWord(place.level) })
}

/** What it takes to read right: the way of telling six buttons that can be, none of its doubts. */
function cleanWords(
  title: Title,
  detection: number,
  found: readonly FoundDoubt[],
  left: readonly Doubt[],
): string {
  const possibilities = possibilitiesOf(title)
  const conditions: string[] = []
  if (possibilities !== null && found.some(({ assumes }) => assumes.kind === 'six-buttons'))
    conditions.push(detectionWords(title, possibilities, detection))
  const groups = found.flatMap(({ assumes }) =>
    assumes.kind === 'sample' ? (groupAt(title, assumes.at) ?? []) : [],
  )
  const wrong = [...new Set(groups)].flatMap(({ samples }) => samples)
  if (wrong.length > 0) conditions.push(avoids(title, wrong))
  const timed = found.find(({ assumes }) => assumes.kind === 'times')
  if (timed) {
    const { place, shortNs } = timed.judgement.counterexample as Counterexample
    conditions.push(
      shortNs === null ? t.otherTimes : t.samplesLater({ after: timeWord(place.afterEdgeNs + shortNs) }),
    )
  }
  const isLeft = (kind: Doubt['assumes']['kind']): boolean =>
    left.some(({ assumes }) => assumes.kind === kind)
  if (isLeft('left-over')) conditions.push(t.usesNoLeftOver)
  if (isLeft('asks-six')) conditions.push(t.detects({ how: 'never' }))
  return listWords(conditions)
}

/** "it only uses its first cycle": enough, where several samples after it are wrong; of one alone it is said that it is not used. */
function avoids(title: Title, wrong: readonly OpenSample[]): string {
  const first = Math.min(...wrong.map(({ at }) => placeOfSample(title, at).cycle))
  // Where select idles low, no sample is in cycle 1 but before the rise that opens the read.
  const n = first - (title.idle === 'low' ? 2 : 1)
  if (wrong.length > 1 && n > 0) return t.onlyFirst({ n })
  return t.ignores({ places: eitherWords(wrong.map((one) => placeWords(title, one))) })
}
