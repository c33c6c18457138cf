import * as v from 'valibot'
import { frameNs } from '../port/clocks.ts'
import { pathTo } from './clashes.ts'
import type { Clash } from './steps/clash.ts'
import { refusedTime } from './refused-times.ts'
import { shortClashTexts as t } from './title-file-texts.ts'
import { atLeastNs } from './tolerance.ts'
import type { ShortFields } from './short-title.ts'

/** Longest time that a read takes from its first phase to its last edge, in ns. */
const longestReadNs = ({
  cyclesPerRead,
  edgeSpacingNs,
}: Pick<ShortFields, 'cyclesPerRead' | 'edgeSpacingNs'>): number => 2 * cyclesPerRead * edgeSpacingNs.maxNs

/** From the place of a read to where it has ended at the latest. */
const endsByNs = (title: ShortFields): number => title.readJitterNs + longestReadNs(title)

function overlap(title: ShortFields): Clash | null {
  const { readOffsetsNs, clockPpm } = title
  const k = readOffsetsNs.findIndex((offsetNs, at) => {
    const before = readOffsetsNs[at - 1]
    return before !== undefined && atLeastNs(offsetNs - before, clockPpm) <= endsByNs(title)
  })
  if (k === -1) return null
  const startNs = readOffsetsNs[k] ?? 0
  const endNs = (readOffsetsNs[k - 1] ?? 0) + endsByNs(title)
  const told = { start: refusedTime(startNs), end: refusedTime(endNs), ppm: clockPpm }
  // Where only the clock makes the two meet, it is named.
  return { at: ['readOffsetsNs', k], message: startNs > endNs ? t.overlapByClock(told) : t.overlap(told) }
}

function pastFrame(title: ShortFields): Clash | null {
  const last = title.readOffsetsNs.length - 1
  const lastNs = title.readOffsetsNs[last] ?? 0
  const lengthNs = frameNs(title.standard)
  if (lastNs + endsByNs(title) < lengthNs && atLeastNs(lengthNs - lastNs, title.clockPpm) > endsByNs(title))
    return null
  const endNs = lastNs + endsByNs(title)
  const told = { end: refusedTime(endNs), frame: refusedTime(lengthNs), ppm: title.clockPpm }
  return {
    at: ['readOffsetsNs', last],
    message: lengthNs > endNs ? t.pastFrameByClock(told) : t.pastFrame(told),
  }
}

function lateSample({ sampleAfterEdgeNs, edgeSpacingNs }: ShortFields): Clash | null {
  if (sampleAfterEdgeNs.maxNs < edgeSpacingNs.minNs) return null
  const message = t.lateSample({
    spacing: refusedTime(edgeSpacingNs.minNs),
    found: refusedTime(sampleAfterEdgeNs.maxNs),
  })
  return { at: ['sampleAfterEdgeNs', 'maxNs'], message }
}

function sampleOutside({ samples, cyclesPerRead }: ShortFields): Clash | null {
  const k = samples.findIndex(({ cycle }) => cycle > cyclesPerRead)
  const sample = samples[k]
  return sample
    ? { at: ['samples', k, 'cycle'], message: t.noSuchCycle({ cycle: sample.cycle, most: cyclesPerRead }) }
    : null
}

function samePhaseTwice({ samples }: ShortFields): Clash | null {
  const firstIn = ({ cycle, level }: ShortFields['samples'][number]): number =>
    samples.findIndex((other) => other.cycle === cycle && other.level === level)
  const k = samples.findIndex((sample, at) => firstIn(sample) < at)
  const second = samples[k]
  if (second === undefined) return null
  const { cycle, level } = second
  const sample = `samples[${firstIn(second)}]`
  return { at: ['samples', k], message: t.samePhase({ sample, cycle, level }) }
}

function waitsInVain({ samples, sixButtons }: ShortFields): Clash | null {
  const k = sixButtons.kind === 'never' ? samples.findIndex(({ when }) => when === 'six-buttons') : -1
  return k === -1 ? null : { at: ['samples', k, 'when'], message: t.waitsInVain }
}

function identifiesOutside({ sixButtons, cyclesPerRead }: ShortFields): Clash | null {
  if (sixButtons.kind !== 'identified' || sixButtons.cycle <= cyclesPerRead) return null
  return {
    at: ['sixButtons', 'cycle'],
    message: t.noSuchCycle({ cycle: sixButtons.cycle, most: cyclesPerRead }),
  }
}

const CLASHES = [
  overlap,
  pastFrame,
  lateSample,
  sampleOutside,
  samePhaseTwice,
  waitsInVain,
  identifiesOutside,
]

/** The check across the fields of a title; its issue is the first clash and points at the field to change. */
export const noShortClash = v.rawCheck<ShortFields>(({ dataset, addIssue }) => {
  if (!dataset.typed) return
  for (const find of CLASHES) {
    const clash = find(dataset.value)
    if (clash === null) continue
    addIssue({ message: clash.message, path: pathTo(dataset.value, clash.at) })
    return
  }
})
