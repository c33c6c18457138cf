import type { Explanation } from '../../bench/explain.ts'
import { cellWord, inputList } from '../../port/input-texts.ts'
import { timeWord } from '../../words/figures.ts'
import { clauseWords } from '../../words/sentence-texts.ts'
import type { Chart } from '../../port/chart.ts'
import { PINS } from '../../port/pins.ts'
import { t } from './explain-texts.ts'
import { guiltySample, spanOf, wavesOf } from './waves.ts'
import { pinList } from './scope-words.ts'

/** What to hold. */
export const holdWords = ({ held }: Explanation): string =>
  t.hold({ any: held.length > 0, inputs: inputList(held) })

/** What the failing sample reads, as messages take it. */
function sawOf({ example: { phantom, missed } }: Explanation) {
  const saw: 'phantom' | 'missed' | 'both' =
    missed.length === 0 ? 'phantom' : phantom.length === 0 ? 'missed' : 'both'
  return { saw, phantom: inputList(phantom), missed: inputList(missed) }
}

/** "sees Up and Down", "does not see X". */
export const sawWords = (explanation: Explanation): string => t.saw(sawOf(explanation))

/** How much too early, as messages take it; `null` where it is not the time that is wrong. */
function earlyOf({ example: { shortNs } }: Explanation) {
  if (shortNs === null) return null
  const when: 'at' | 'before' = shortNs === 0 ? 'at' : 'before'
  return { when, short: timeWord(shortNs) }
}

/** How much too early, where that is what is wrong. */
export function earlyWords(explanation: Explanation): string | null {
  const early = earlyOf(explanation)
  return early && t.early(early)
}

/** Beside the right reply. */
export function replyWords(explanation: Explanation): string {
  const early = earlyOf(explanation)
  return early === null ? t.reply : t.earlyReply(early)
}

/** Where it happens: frame, read, phase, time. */
export function placeWords(explanation: Explanation): string {
  const { frame, read, cycle, level } = explanation.example.place
  return t.place({
    frame,
    read,
    cycle,
    level: cellWord(level),
    at: timeWord(guiltySample(explanation).atNs),
    ...sawOf(explanation),
  })
}

/** The diagram in words, for those who do not see it. */
export function diagramWords(explanation: Explanation): string {
  const early = earlyOf(explanation)
  const sentences = [t.diagram({ n: explanation.samples.length }), placeWords(explanation)]
  return [...sentences, ...(early === null ? [] : [t.isEarly(early)])].join(' ')
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
  const edges = explanation.select.edges.map(({ atNs, level }) => event(atNs, t.edge({ level })))
  const startNs = span.fromNs
  const changes = new Map<number, string[]>()
  for (const pin of PINS)
    for (const { fromNs, level, cell } of pins[pin]) {
      const at = { pin, cell: cellWord(cell), level: cellWord(level) }
      const carries = cell === level ? t.pinAt(at) : t.pinCarries(at)
      changes.set(fromNs, [...(changes.get(fromNs) ?? []), carries])
    }
  const shown = [...changes].map(([atNs, words]) => {
    const said = clauseWords(words)
    const atStart = atNs === startNs
    return event(
      atNs,
      atStart ? t.atStart({ level: explanation.select.start, pins: said }) : t.change({ pins: said }),
    )
  })
  const samples = explanation.samples.map(({ atNs, isGuilty }) =>
    isGuilty
      ? event(atNs, t.misread({ pins: pinList(explanation.example.pins), ...sawOf(explanation) }), true)
      : event(atNs, t.sample),
  )
  const due = explanation.dueNs === null ? [] : [event(explanation.dueNs, t.due)]
  return [...edges, ...shown, ...samples, ...due].sort((p, q) => p.atNs - q.atNs)
}
