import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import type { Finding, FindingKind } from '../../src/bench/judgement.ts'
import { longestUnseen } from '../../src/bench/longest-unseen.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { INPUTS } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Title } from '../../src/title/schema.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbShort, arbTitle } from './arbitrary-title.ts'
import { drawsFrom, limits } from './play.ts'
import type { Draws } from './play.ts'
import { PLAIN } from './plain-titles.ts'
import { withShort } from './short-titles.ts'
import { draws, often } from '../draws.ts'

const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const { 'six-button': six, 'three-button': three } = BUILT_IN_PROFILES

const found = (profile: Profile, title: Title, kind: FindingKind): Finding | undefined =>
  judge(profile, title, options).findings.find((finding) => finding.kind === kind)

/** When a title samples an input, over some frames, by the draws alone. */
function samplesOf(title: ShortTitle, input: Input, draws: Draws, frames: number): number[] {
  const samples: number[] = []
  let placeNs = 0
  for (let frame = 0; frame < frames; frame++) {
    for (let read = 0; read < title.readOffsetsNs.length; read++) {
      let atNs = placeNs + draws.readStart()
      for (let phase = 0; phase < 2 * title.cyclesPerRead; phase++) {
        if (phase > 0) atNs += draws.spacing()
        const isSampled = title.samples.some(
          ({ cycle, level, pins }) =>
            (cycle - 1) * 2 + (level === 'low' ? 1 : 0) === phase && Object.values(pins).includes(input),
        )
        if (isSampled) samples.push(atNs + draws.sample())
      }
      placeNs += draws.toNextRead(read)
    }
  }
  return samples
}

describe('each kind of fault is told as what it is', () => {
  it('presses that nobody makes, and presses that are not seen', () => {
    const burst = PLAIN.burst
    expect(found(six, burst, 'phantom')?.example).toMatchObject({
      held: [],
      phantom: ['up', 'down'],
      missed: [],
    })
    expect(found(six, burst, 'missed')?.example).toMatchObject({ held: ['up'], missed: ['up'] })
    expect(found(three, burst, 'phantom')).toBeUndefined()
  })

  it('a false belief in six buttons', () => {
    expect(found(three, PLAIN.six, 'false-six-buttons')?.example).toMatchObject({
      held: ['up', 'down'],
      cause: 'belief',
    })
  })

  it('a sample that comes before the reply, with how much it is short by', () => {
    const early = withShort(PLAIN.quick, { sampleAfterEdgeNs: { minNs: 20, maxNs: 30 } })
    expect(found(six, early, 'too-early')?.example).toMatchObject({ cause: 'settling', shortNs: 158 })
    expect(found(six, early, 'too-early')?.sentence).toContain('158 ns too early')
  })

  it('opposite directions before a title that does not cope with them, unless the profile keeps them back', () => {
    const strict = { ...PLAIN.once, takesOpposite: false }
    expect(found(six, strict, 'opposite')).toMatchObject({
      weight: 'misread',
      example: { held: ['up', 'down'] },
    })
    const neutral: Profile = { ...six, opposite: { vertical: 'neutral', horizontal: 'as-held' } }
    expect(found(neutral, strict, 'opposite')?.example).toMatchObject({
      held: ['left', 'right'],
      pins: [3, 4],
    })
    const both: Profile = { ...six, opposite: { vertical: 'neutral', horizontal: 'last' } }
    expect(found(both, strict, 'opposite')).toBeUndefined()
    expect(found(six, PLAIN.once, 'opposite')).toBeUndefined()
  })

  it('a misread of any kind makes the verdict one, and a note never does', () => {
    fc.assert(
      fc.property(arbTitle, (title) => {
        const { verdict, findings, counterexample } = judge(six, title, options)
        const misreads = findings.filter(({ weight }) => weight === 'misread')
        expect(verdict === 'misread').toBe(misreads.length > 0)
        expect(counterexample === null).toBe(misreads.length === 0)
        expect(new Set(findings.map(({ kind }) => kind)).size).toBe(findings.length)
        expect(findings.map(({ weight }) => weight).join()).toMatch(/^(misread,?)*(note,?)*$/)
        if (misreads.length > 0) expect(misreads.some(({ example }) => example === counterexample)).toBe(true)
      }),
      { numRuns: draws(100) },
    )
  })
})

describe('a press that is too short', () => {
  it('is one that is shorter than the longest time between two samples, which no timing exceeds and some timing reaches', () => {
    fc.assert(
      fc.property(arbShort, fc.nat(), (title, seed) => {
        const longest = longestUnseen(titleOfShort(title))
        if (longest === null) throw new Error('a title samples something')
        const within = limits(six, title, REFERENCE_ADAPTER)
        const gaps = (input: Input, draws: Draws): number[] => {
          const samples = samplesOf(title, input, draws, 4)
          return samples.slice(1).map((ns, k) => ns - (samples[k] ?? 0))
        }
        for (let k = 0; k < 8; k++) {
          for (const input of INPUTS)
            for (const gapNs of gaps(input, drawsFrom(within, seed + k, k / 7)))
              expect(gapNs).toBeLessThanOrEqual(longest.ns)
        }
        expect(
          gaps(longest.input, widest(title, longest.input, within)).concat(
            widestWithin(title, longest.input, within),
          ),
        ).toContain(longest.ns)
      }),
      { numRuns: draws(200) },
    )
  })
})

/** Every second read as early and short as it can be, the others as late and long: the samples between stand furthest apart. */
function widest(title: ShortTitle, input: Input, within: ReturnType<typeof limits>): Draws {
  const phases = title.samples
    .filter(({ pins }) => Object.values(pins).includes(input))
    .map(({ cycle, level }) => (cycle - 1) * 2 + (level === 'low' ? 1 : 0))
  const reads = title.readOffsetsNs.length
  // Where the number of reads is odd, every read is early in one frame and late in the next; else one frame is as good as another.
  let read = -1
  let samples = 0
  const isLate = () => read % 2 === 1
  return {
    readStart: () => {
      read++
      samples = 0
      return isLate() ? within.readStart.maxNs : within.readStart.minNs
    },
    toNextRead: (k) => within.toNextRead[k % reads]?.maxNs ?? 0,
    spacing: () => (isLate() ? within.spacing.maxNs : within.spacing.minNs),
    sample: () => {
      const isFirst = samples++ === 0
      return isLate() && isFirst ? within.sample.maxNs : phases.length > 0 ? within.sample.minNs : 0
    },
    rise: () => 0,
    reply: () => 0,
    idle: () => 0,
  }
}

/** The longest times between two samples of one read, and across reads in the order that `widest` does not reach. */
function widestWithin(title: ShortTitle, input: Input, within: ReturnType<typeof limits>): number[] {
  const phases = title.samples
    .filter(({ pins }) => Object.values(pins).includes(input))
    .map(({ cycle, level }) => (cycle - 1) * 2 + (level === 'low' ? 1 : 0))
    .sort((p, q) => p - q)
  const spread = within.sample.maxNs - within.sample.minNs
  const inside = phases.slice(1).map((phase, k) => (phase - (phases[k] ?? 0)) * within.spacing.maxNs + spread)
  const turned = widest(title, input, within)
  // Once more with early and late reads the other way round.
  turned.readStart()
  const samples = samplesOf(title, input, turned, 5)
  return [...inside, ...samples.slice(1).map((ns, k) => ns - (samples[k] ?? 0))]
}

describe('a change in the middle of a read', () => {
  it('is seen by halves only where the bench says so', () => {
    let torn = 0
    fc.assert(
      fc.property(
        arbShort,
        fc.nat({ max: 4095 }),
        fc.nat({ max: 4095 }),
        fc.nat({ max: 40 }),
        (title, before, after, changesIn) => {
          const says = judge(six, titleOfShort(title), options).findings.some(({ kind }) => kind === 'torn')
          const phaseOf = ({ cycle, level }: { cycle: number; level: string }) =>
            (cycle - 1) * 2 + (level === 'low' ? 1 : 0)
          // The title sees what is held at each of its samples; the change comes before one of them.
          const seen = new Map<Input, Set<boolean>>()
          for (const sample of title.samples) {
            const held = phaseOf(sample) < changesIn % (2 * title.cyclesPerRead) ? before : after
            for (const input of Object.values(sample.pins)) {
              const isHeld = ((held >> INPUTS.indexOf(input)) & 1) === 1
              seen.set(input, (seen.get(input) ?? new Set()).add(isHeld))
            }
          }
          const byHalves = [...seen.values()].some((values) => values.size > 1)
          if (byHalves) {
            torn++
            expect(says).toBe(true)
          }
        },
      ),
      { numRuns: draws(500) },
    )
    expect(torn).toBeGreaterThan(often(20))
  })

  it('matters to a title that reads the two directions of an axis at two times and does not cope with both', () => {
    const apart = withShort(PLAIN.once, {
      cyclesPerRead: 2,
      samples: [
        { cycle: 1, level: 'high', pins: { 3: 'left' }, when: 'always' },
        { cycle: 2, level: 'high', pins: { 4: 'right' }, when: 'always' },
      ],
      takesOpposite: false,
    })
    expect(found(six, apart, 'torn')?.sentence).toContain('Left and Right')
    expect(found(six, { ...apart, takesOpposite: true }, 'torn')).toBeUndefined()
  })
})
