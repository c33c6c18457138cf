import { AXES } from '../profile/opposite.ts'
import type { Profile } from '../profile/schema.ts'
import { INPUTS, PINS, inputsIn } from '../port/pins.ts'
import type { Input } from '../port/pins.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { TakenSample } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import type { Box } from './box.ts'
import { FINDING_KINDS } from './judgement.ts'
import type { Counterexample, Finding } from './judgement.ts'
import { longestUnseen } from './longest-unseen.ts'
import { sampledSpan } from './sampled-span.ts'
import { t } from './reason-texts.ts'
import { misreadReason } from './reason.ts'
import { inOrder, simplest } from './weigh.ts'
import type { WeighedTitle } from './weigh-title.ts'
import { inputList, inputWord } from '../port/input-texts.ts'
import { timeWord } from '../words/figures.ts'
import { numberWord } from '../words/number-texts.ts'

/** Everything that can go wrong, each kind once, misreads first. */
export function findingsOf(
  { weighed: { wrongs }, leftOver, stays, isWhole }: WeighedTitle,
  profile: Profile,
  title: Title,
  box: Box,
): Finding[] {
  const reasonOf = (example: Counterexample): string => {
    const reason = misreadReason(example, profile, title, box.reply.maxNs)
    // No timing makes opposite directions worse.
    return isWhole || example.cause === 'opposite' ? reason : t.canBeWorse({ reason })
  }
  const misread = (kind: Finding['kind'], example: Counterexample, isProved: boolean): Finding => {
    const reason = reasonOf(example)
    return isProved
      ? { kind, weight: 'misread', sentence: reason, example }
      : { kind, weight: 'doubt', sentence: t.notProved({ reason }), example }
  }
  const found = FINDING_KINDS.flatMap((kind) => {
    const shown = wrongs.get(kind)
    return shown ? [misread(kind, shown.example, shown.sample?.isExact ?? true)] : []
  })
  const opposite = letsOppositeThrough(profile, title)
  if (opposite) found.push(misread('opposite', opposite, true))
  const left = stays && simplest(inOrder(stays).map(({ example }) => example))
  if (left) {
    const reason = reasonOf(left)
    const isProved = leftOver?.kind === 'stays' && leftOver.isProved
    found.push({
      kind: 'left-over',
      weight: isProved ? 'misread' : 'doubt',
      sentence: isProved ? t.leftOverStays({ reason }) : t.leftOverUnknown({ reason }),
      example: left,
    })
  }
  const settles = leftOver?.kind === 'settles' && leftOver.reads > 0 ? [settlesNote(leftOver.reads)] : []
  return [...found, ...settles, ...notesOf(title)]
}

/** Reads that what was counted before power-on can spoil, and then no more. */
const settlesNote = (n: number): Finding => ({
  kind: 'left-over',
  weight: 'note',
  sentence: t.leftOverSettles({ n, count: numberWord(n) }),
  example: null,
})

/** What holds of a title with any profile and adapter is worked out once. */
const NOTES = new WeakMap<Title, readonly Finding[]>()

function notesOf(title: Title): readonly Finding[] {
  const known = NOTES.get(title)
  if (known) return known
  const notes = [...tornNote(title), ...shortPressNote(title)]
  NOTES.set(title, notes)
  return notes
}

/** Both directions of an axis held, before a title that does not cope with them and reads both. */
export function letsOppositeThrough(profile: Profile, title: Title): Counterexample | null {
  return title.takesOpposite ? null : oppositeExample(profile, title)
}

/** Both directions of an axis held, before a title that reads both. */
export function oppositeExample(profile: Profile, title: Title): Counterexample | null {
  for (const axis of ['vertical', 'horizontal'] as const) {
    if (profile.opposite[axis] !== 'as-held') continue
    const [first, second] = AXES[axis]
    const held = inputsIn(first | second)
    const samples = held.map((input) => sampleOf(title, input))
    const [one, other] = samples
    if (one === undefined || other === undefined) continue
    const { mode, read, step, cycle, level } = one.place
    return {
      held,
      place: {
        mode: mode + 1,
        readOfMode: read + 1,
        frame: 1,
        read: readOfFrame(title, one) + 1,
        step: step + 1,
        cycle,
        level,
        rises: cycle - 1,
        shownLevel: level,
        atNs: 0,
        afterEdgeNs: 0,
      },
      pins: PINS.filter((pin) => samples.some((sample) => held.includes(sample?.pins[pin] as Input))),
      phantom: [],
      missed: [],
      cause: 'opposite',
      shortNs: null,
    }
  }
  return null
}

const sampleOf = (title: Title, input: Input) =>
  scheduleOf(title).samples.find(({ pins }) => Object.values(pins).includes(input))

function readOfFrame(title: Title, sample: TakenSample): number {
  const { nodes, samples } = scheduleOf(title)
  const use = samples.indexOf(sample)
  return nodes.find((node) => node.samples.some(({ uses }) => uses.includes(use)))?.readOfFrame ?? 0
}

/** An input, or an axis, that a read samples more than once may change between two samples. */
function tornNote(title: Title): Finding[] {
  const said = (text: typeof t.torn, inputs: readonly Input[], spanNs: number): Finding[] => [
    {
      kind: 'torn',
      weight: 'note',
      sentence: text({ inputs: inputList(inputs), span: timeWord(spanNs) }),
      example: null,
    },
  ]
  const axis = Object.values(AXES)
    .map(([first, second]) => inputsIn(first | second))
    .find((pair) => pair.every((input) => sampledSpan(title, [input]) === 0) && sampledSpan(title, pair) > 0)
  if (axis && !title.takesOpposite) return said(t.tornAxis, axis, sampledSpan(title, axis))
  const again = INPUTS.filter((input) => sampledSpan(title, [input]) > 0)
  if (again.length === 0) return []
  return said(t.torn, again, Math.max(...again.map((input) => sampledSpan(title, [input]))))
}

/** A press that falls between two samples is not seen. */
function shortPressNote(title: Title): Finding[] {
  const worst = longestUnseen(title)
  if (worst === null) return []
  return [
    {
      kind: 'short-press',
      weight: 'note',
      sentence: t.shortPress({ input: inputWord(worst.input), length: timeWord(worst.ns) }),
      example: null,
    },
  ]
}
