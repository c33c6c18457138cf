import { repliesOf } from '../port/chart.ts'
import type { Chart } from '../port/chart.ts'
import { PINS } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { sameJson as same } from '../document/same-json.ts'
import { t } from './difference-texts.ts'

/** Cells that differ between two charts; a cycle that one of them lacks differs in all of its cells. */
function cellDifferences(a: Chart, b: Chart): number {
  const [rows, others] = [repliesOf(a), repliesOf(b)]
  let count = 0
  for (let k = 0; k < Math.max(rows.length, others.length); k++) {
    for (const level of ['high', 'low'] as const) {
      for (const pin of PINS) if (rows[k]?.[level][pin] !== others[k]?.[level][pin]) count++
    }
  }
  return count
}

/**
 * In what two profiles differ, in a few words each; empty when their images are equal. Notes are no part of an image
 * and are not compared.
 */
export function differences(a: Profile, b: Profile): string[] {
  const words: string[] = []
  const say = (differs: boolean, word: string) => {
    if (differs) words.push(word)
  }
  const cells = cellDifferences(a.chart, b.chart)
  const mapped = Object.keys(a.mapping).filter(
    (input) =>
      !same(a.mapping[input as keyof Profile['mapping']], b.mapping[input as keyof Profile['mapping']]),
  ).length
  say(a.name !== b.name, t.name)
  say(cells > 0, t.cells({ n: cells }))
  say(a.chart.after.kind !== b.chart.after.kind, t.after)
  say(mapped > 0, t.inputs({ n: mapped }))
  say(!same(a.sticks, b.sticks), t.sticks)
  say(!same(a.layers, b.layers), t.layers)
  say(!same(a.chords, b.chords), t.chords)
  say(!same(a.opposite, b.opposite), t.opposite)
  say(!sameRepeat(a, b), t.repeat)
  say(!same(a.powerOn, b.powerOn), t.powerOn)
  say(!same(a.bankChange, b.bankChange), t.bankChange)
  say(a.idleResetNs !== b.idleResetNs, t.idleReset)
  say(a.delayNs !== b.delayNs, t.delay)
  return words
}

/** The order in which inputs were given a repeat means nothing. */
const sameRepeat = (a: Profile, b: Profile): boolean =>
  Object.keys({ ...a.repeat, ...b.repeat }).every((input) =>
    same(a.repeat[input as keyof Profile['repeat']], b.repeat[input as keyof Profile['repeat']]),
  )
