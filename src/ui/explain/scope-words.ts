import type { Explanation } from '../../bench/explain.ts'
import { timeWord } from '../../words/figures.ts'
import { listWords } from '../../words/lists.ts'
import { ordinalWord } from '../../words/number-texts.ts'
import { clauseWords } from '../../words/sentence-texts.ts'
import { cellWord } from '../../port/input-texts.ts'
import { cellLevel, phaseAt } from '../../port/chart.ts'
import type { Chart } from '../../port/chart.ts'
import { maskOf } from '../../port/pins.ts'
import type { Level, Pin } from '../../port/pins.ts'
import { scheduleOf } from '../../title/schedule.ts'
import type { Title } from '../../title/schema.ts'
import { scopeTexts as t } from './explain-texts.ts'
import { guiltySample, metBy } from './waves.ts'

/** How to find the failing sample on a scope. Falling edges are what to trigger on: they are driven, also where select is released for high. */
export function scopeWords(explanation: Explanation, chart: Chart, title: Title): string {
  const { reads } = explanation.witness
  const read = reads[reads.length - 1]
  if (read === undefined) return ''
  const { atNs } = guiltySample(explanation)
  const falls = fallsOf(read).map((ns) => ns - read.startNs)
  const [first = 0] = falls
  const passed = falls.filter((ns) => ns <= atNs)
  const last = passed[passed.length - 1]
  const pins = pinList(explanation.example.pins)
  const { frame, read: number } = explanation.example.place
  const where = t.where({
    reads: scheduleOf(title).readsPerFrame > 1 ? 'several' : 'one',
    read: number,
    frame,
  })
  const seen = seenWords(explanation, chart, title)
  if (last === undefined) return t.before({ where, pins, time: timeWord(first - atNs), seen })
  const earlier = reads.slice(0, -1).flatMap(fallsOf).length
  const trigger = { nth: ordinalWord(passed.length), where, pins, time: timeWord(atNs - last), seen }
  const sentences = [
    earlier > 0
      ? t.afterCounted({ ...trigger, total: ordinalWord(earlier + passed.length) })
      : t.after(trigger),
    ...(passed.length > 1 ? [t.withoutCount({ time: timeWord(atNs - first) })] : []),
  ]
  return sentences.join(' ')
}

const fallsOf = ({ writes }: Explanation['witness']['reads'][number]): number[] =>
  writes.filter(({ level }) => level === 'low').map(({ atNs }) => atNs)

export const pinList = (pins: readonly Pin[]): string =>
  t.pins({ n: pins.length, pins: listWords(pins.map(String)) })

/** "low instead of high", pin by pin only where they differ. */
function seenWords(explanation: Explanation, chart: Chart, title: Title): string {
  const { pins, place, phantom, missed } = explanation.example
  const { rises, level } = metBy(explanation)
  const phase = phaseAt(chart, rises, level)
  const held = maskOf(explanation.held)
  const taken = scheduleOf(title).samples.find(
    (sample) => sample.place.mode === place.mode - 1 && sample.place.step === place.step - 1,
  )
  const said = (pin: Pin): string => {
    const stands = cellLevel(phase[pin], held)
    const input = taken?.pins[pin]
    const isWrong = input !== undefined && (phantom.includes(input) || missed.includes(input))
    return isWrong ? t.wrong({ level: cellWord(stands), right: cellWord(other(stands)) }) : cellWord(stands)
  }
  const all = pins.map((pin) => ({ pin, words: said(pin) }))
  const kinds = [...new Set(all.map(({ words }) => words))]
  if (kinds.length === 1) return kinds[0] ?? ''
  return clauseWords(
    kinds.map((kind) =>
      t.some({
        pins: pinList(all.filter(({ words }) => words === kind).map(({ pin }) => pin)),
        seen: kind,
      }),
    ),
  )
}

const other = (level: Level): Level => (level === 'low' ? 'high' : 'low')
