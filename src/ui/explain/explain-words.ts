import type { Explanation } from '../../bench/explain.ts'
import type { FindingKind } from '../../bench/judgement.ts'
import { cellWord, inputList } from '../../port/input-texts.ts'
import { timeWord } from '../../words/figures.ts'
import { ordinalWord } from '../../words/number-texts.ts'
import type { Chart } from '../../port/chart.ts'
import { PINS } from '../../port/pins.ts'
import { guiltySample, spanOf, wavesOf } from './waves.ts'
import { pinList } from './scope-words.ts'

/** What a finding is called above its sentence. */
export const FINDING_WORDS: Readonly<Record<FindingKind, string>> = {
  phantom: 'Sees a press that nobody makes',
  missed: 'Misses a press',
  'false-six-buttons': 'Is wrong about six buttons',
  'too-early': 'Samples before the reply stands',
  opposite: 'Meets both directions of an axis',
  torn: 'Sees a change by halves',
  'short-press': 'Sees a short press by luck only',
}

/** What to hold while looking. */
export const holdWords = ({ held }: Explanation): string =>
  held.length === 0 ? 'Hold nothing' : `Hold ${inputList(held)}`

/** "sees Up and Down", "does not see X". */
export function sawWords({ example: { phantom, missed } }: Explanation): string {
  const said = [
    phantom.length > 0 && `sees ${inputList(phantom)}`,
    missed.length > 0 && `does not see ${inputList(missed)}`,
  ]
  return said.filter(Boolean).join(' and ')
}

/** How much too early, where that is what is wrong. */
export const earlyWords = ({ example: { shortNs } }: Explanation): string | null =>
  shortNs === null
    ? null
    : shortNs === 0
      ? 'in the same instant as the reply'
      : `${timeWord(shortNs)} too early`

/** Where it happens: frame, read, phase, time. */
export function placeWords(explanation: Explanation): string {
  const { frame, read, cycle, level } = explanation.example.place
  return (
    `Frame ${frame}, read ${read}, the ${ordinalWord(cycle)} ${level}: the sample ` +
    `${timeWord(guiltySample(explanation).atNs)} into the read ${sawWords(explanation)}.`
  )
}

/** The diagram in one sentence, for those who do not see it. */
export function diagramWords(explanation: Explanation): string {
  const early = earlyWords(explanation)
  return (
    `Timing diagram of the read, time in µs from its start: select, six pins and ${explanation.samples.length} ` +
    `${explanation.samples.length === 1 ? 'sample' : 'samples'}. ${placeWords(explanation)}` +
    (early === null ? '' : ` That is ${early}.`)
  )
}

/** One line of the diagram told in words. */
export interface ToldEvent {
  readonly atNs: number
  readonly words: string
  readonly isGuilty: boolean
}

/** Everything that the diagram shows, in order of time. */
export function toldEvents(explanation: Explanation, chart: Chart): ToldEvent[] {
  const span = spanOf(explanation)
  const { pins } = wavesOf(explanation, chart, span)
  const event = (atNs: number, words: string, isGuilty = false): ToldEvent => ({ atNs, words, isGuilty })
  const edges = explanation.select.edges.map(({ atNs, level }) =>
    event(atNs, level === 'low' ? 'Select falls.' : 'Select rises.'),
  )
  const startNs = span.fromNs
  const changes = new Map<number, string[]>()
  for (const pin of PINS)
    for (const { fromNs, level, cell } of pins[pin]) {
      const carries = cell === level ? level : `${cellWord(cell)}, ${level}`
      changes.set(fromNs, [...(changes.get(fromNs) ?? []), `pin ${pin} ${carries}`])
    }
  const shown = [...changes].map(([atNs, words]) =>
    event(
      atNs,
      `${atNs === startNs ? `Before the read, select ${explanation.select.start}` : 'Shown'}: ${words.join('; ')}.`,
    ),
  )
  const samples = explanation.samples.map(({ atNs, isGuilty }) =>
    isGuilty
      ? event(
          atNs,
          `Misread: the sample of ${pinList(explanation.example.pins)} ${sawWords(explanation)}.`,
          true,
        )
      : event(atNs, 'A sample.'),
  )
  const due = explanation.dueNs === null ? [] : [event(explanation.dueNs, 'Here the right reply stands.')]
  return [...edges, ...shown, ...samples, ...due].sort((p, q) => p.atNs - q.atNs)
}
