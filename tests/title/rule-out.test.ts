import fc from 'fast-check'
import { expect, test } from 'vitest'
import { courseOf } from '../../src/bench/play/course.ts'
import { playReads, seen } from '../../src/bench/symptoms/play-reads.ts'
import { usualTiming } from '../../src/bench/symptoms/timings.ts'
import { maskOf } from '../../src/port/pins.ts'
import { judge } from '../../src/bench/judge.ts'
import { readTitle, writeTitle } from '../../src/title/file.ts'
import { possibilitiesOf } from '../../src/title/possible.ts'
import { canSettle, ruledOut, takenFor } from '../../src/title/rule-out.ts'
import type { Possibility } from '../../src/title/rule-out.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbOpen } from '../bench/arbitrary-open.ts'
import { arbAdapter, arbTypicalProfile } from '../bench/arbitrary-profile.ts'
import { everyPossibility } from '../reference/every-possibility.ts'
import { draws, often } from '../draws.ts'

/** Without what only says where it comes from. */
const meaning = (title: Title): string =>
  JSON.stringify(title, (key, value: unknown) =>
    key === 'source' || (key === 'possible' && Array.isArray(value) && value.length === 0)
      ? undefined
      : value,
  )

const whole = (title: Title): Title => {
  const read = readTitle(new TextEncoder().encode(writeTitle(title)))
  if (!read.ok) throw new Error(`${read.error.place} ${read.error.message}`)
  return read.value
}

test('a trial parts what a title may be: what it does and what it does not, and nothing that it could not be before', () => {
  let settled = 0
  fc.assert(
    fc.property(arbTypicalProfile, arbOpen, arbAdapter, (profile, title, adapter) => {
      const { hangsOn } = judge(profile, title, { adapter, marginNs: 200 })
      for (const { assumes } of hangsOn?.misreadIf ?? []) {
        if (assumes.kind !== 'sample' && assumes.kind !== 'six-buttons') continue
        const asked: Possibility[] = [assumes]
        if (!canSettle(title, assumes)) continue
        settled++
        const before = everyPossibility(title).map(meaning)
        const [not, does] = [ruledOut(title, asked), takenFor(title, asked)].map((one) =>
          everyPossibility(whole(one)).map(meaning),
        ) as [string[], string[]]
        expect([...not, ...does].filter((one) => !before.includes(one))).toEqual([])
        expect(new Set([...not, ...does]).size).toBe(new Set(before).size)
      }
    }),
    { numRuns: draws(320) },
  )
  expect(settled).toBeGreaterThan(often(15))
})

test('a title that does not show what a trial asks about is never ruled out by it', () => {
  let asked = 0
  fc.assert(
    fc.property(arbTypicalProfile, arbOpen, arbAdapter, (profile, title, adapter) => {
      const options = { adapter, marginNs: 200 }
      const { hangsOn } = judge(profile, title, options)
      const trial = hangsOn?.trial
      if (!hangsOn || !trial) return
      const settles = trial.settles.flatMap((k): Possibility[] => {
        const assumes = hangsOn.misreadIf[k]?.assumes
        const isKept = assumes?.kind === 'sample' || assumes?.kind === 'six-buttons'
        return isKept && canSettle(title, assumes) ? [assumes] : []
      })
      if (settles.length === 0) return
      asked++
      const left = everyPossibility(whole(ruledOut(title, settles))).map(meaning)
      const held = maskOf(trial.held)
      for (const truth of everyPossibility(title)) {
        const course = courseOf(profile, truth, adapter)
        const reads = playReads(profile, truth, usualTiming(profile, truth, options), course)
        const shows = seen(truth, reads, held).pressed & maskOf(trial.phantom) & ~held
        if (shows === 0) expect(left).toContain(meaning(truth))
      }
    }),
    { numRuns: draws(200) },
  )
  expect(asked).toBeGreaterThan(often(3))
})

test('says that it was found with the adapter, and how often', () => {
  const title = fc
    .sample(arbOpen, 300)
    .find((one) => (possibilitiesOf(one)?.detections.length ?? 0) > 2) as Title
  const once = ruledOut(title, [{ kind: 'six-buttons', detection: 1 }])
  expect(once.sixButtons.source).toEqual({ kind: 'found', trials: 1 })
  const twice = takenFor(once, [{ kind: 'six-buttons', detection: 0 }])
  expect(twice.sixButtons.source).toEqual({ kind: 'found', trials: 2 })
  expect(twice.sixButtons.possible).toBeUndefined()
})

test('a sample that only told six buttons, in a way that is ruled out, takes nothing and is a title still', () => {
  const told = { kind: 'told', by: [{ sample: 'told', low: [1, 2] }], holds: 'read' }
  const step = (more: object, ns: number) => ({ ...more, after: { minNs: ns, maxNs: ns } })
  const steps = [
    step({ select: 'low' }, 0),
    step({ sample: {}, name: 'told' }, 900),
    step({ select: 'high' }, 2_000),
    step({ sample: { 1: 'up' } }, 900),
  ]
  const starts = { kind: 'frame', offsetsNs: [1_000], late: { minNs: 0, maxNs: 0 } }
  const file = {
    ...JSON.parse(writeTitle(fc.sample(arbOpen, 1)[0] as Title)),
    sixButtons: { ...told, possible: [{ kind: 'never' }] },
    idle: 'high',
    rise: null,
    modes: [{ reads: [{ starts, steps }] }],
  } as object
  const read = readTitle(new TextEncoder().encode(JSON.stringify(file)))
  if (!read.ok) throw new Error(`${read.error.place} ${read.error.message}`)
  const left = whole(ruledOut(read.value, [{ kind: 'six-buttons', detection: 0 }]))
  expect(left.sixButtons.kind).toBe('never')
})
