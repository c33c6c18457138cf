import type { Explanation } from '../../bench/explain.ts'
import { timeWord } from '../../words/figures.ts'
import { listWords } from '../../words/lists.ts'
import { ordinalWord } from '../../words/number-texts.ts'
import { cellLevel, phaseAt } from '../../port/chart.ts'
import type { Chart } from '../../port/chart.ts'
import { maskOf } from '../../port/pins.ts'
import type { Level, Pin } from '../../port/pins.ts'
import type { Title } from '../../title/schema.ts'
import { guiltySample, metBy } from './waves.ts'

/** How to meet the guilty sample on a scope. Falls are what to trigger on: they are driven, also where select is released for high. */
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
  const where = title.readOffsetsNs.length > 1 ? `read ${number} of frame ${frame}` : `frame ${frame}`
  const seen = seenWords(explanation, chart, title)
  if (last === undefined)
    return `Trigger on the first fall of pin 7 in ${where} and look at ${pins}, ${timeWord(first - atNs)} before it: ${seen}.`
  const earlier = reads.slice(0, -1).flatMap(fallsOf).length
  const sincePowerOn = earlier > 0 ? `, the ${ordinalWord(earlier + passed.length)} since power-on,` : ''
  const fromFirst =
    passed.length > 1
      ? ` A scope that does not count triggers on the read’s first fall; the sample is ${timeWord(atNs - first)} after that.`
      : ''
  return (
    `Trigger on the ${ordinalWord(passed.length)} fall of pin 7 in ${where}${sincePowerOn} ` +
    `and look at ${pins}, ${timeWord(atNs - last)} later: ${seen}.${fromFirst}`
  )
}

const fallsOf = ({ writes }: Explanation['witness']['reads'][number]): number[] =>
  writes.filter(({ level }) => level === 'low').map(({ atNs }) => atNs)

export const pinList = (pins: readonly Pin[]): string =>
  `${pins.length === 1 ? 'pin' : 'pins'} ${listWords(pins.map(String))}`

/** "low, where high is right", pin by pin only where they differ. */
function seenWords(explanation: Explanation, chart: Chart, title: Title): string {
  const { pins, place, phantom, missed } = explanation.example
  const { rises, level } = metBy(explanation)
  const phase = phaseAt(chart, rises, level)
  const held = maskOf(explanation.held)
  const taken = title.samples.find((sample) => sample.cycle === place.cycle && sample.level === place.level)
  const said = (pin: Pin): string => {
    const stands = cellLevel(phase[pin], held)
    const input = taken?.pins[pin]
    const isWrong = input !== undefined && (phantom.includes(input) || missed.includes(input))
    return isWrong ? `${stands}, where ${other(stands)} is right` : stands
  }
  const all = pins.map((pin) => ({ pin, words: said(pin) }))
  const kinds = [...new Set(all.map(({ words }) => words))]
  if (kinds.length === 1) return kinds[0] ?? ''
  return kinds
    .map((kind) => `${pinList(all.filter(({ words }) => words === kind).map(({ pin }) => pin))} ${kind}`)
    .join('; ')
}

const other = (level: Level): Level => (level === 'low' ? 'high' : 'low')
