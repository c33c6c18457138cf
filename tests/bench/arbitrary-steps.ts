import fc from 'fast-check'
import { PINS } from '../../src/port/pins.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'

type Json = Record<string, unknown>

interface Gen {
  whole(min: number, max: number): number
  oneOf<T>(...all: readonly T[]): T
  onceIn(times: number): boolean
}

const LOW = { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }
const HIGH = { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }
const EXTRA = { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' }

/** The least and the most of the times that titles are made with, in ns. */
interface Figures {
  /** Cycles of a read, each as often as it stands here. */
  readonly cycles: readonly number[]
  readonly gap: readonly [number, number]
  /** Of one gap in twelve. */
  readonly longGap: readonly [number, number]
  readonly sample: readonly [number, number]
  readonly extraSample: readonly [number, number]
  /** From the place of a read to that of the next. */
  readonly apart: readonly [number, number]
  readonly interval: readonly [number, number]
  readonly late: readonly [least: number, most: number, spread: number]
  readonly stretch: readonly [number, number]
}

/** Short enough for replies and idle resets of some tens of µs to matter. */
const SHORT: Figures = {
  cycles: [1, 2, 3, 4],
  gap: [700, 3_000],
  longGap: [10_000, 60_000],
  sample: [150, 1_500],
  extraSample: [150, 900],
  apart: [30_000, 120_000],
  interval: [1_000, 90_000],
  late: [0, 5_000, 300],
  stretch: [500, 40_000],
}

/**
 * As programs have them: one cycle reads all of three buttons, more of them are for six; two writes at least 1 µs apart, samples at least 521 ns after an edge (port-facts, from memory), reads from some tenths
 * of a ms to some ms apart.
 */
const USUAL: Figures = {
  cycles: [1, 1, 1, 2, 2, 3, 4],
  gap: [1_050, 3_500],
  longGap: [10_000, 60_000],
  sample: [530, 2_000],
  extraSample: [530, 2_000],
  apart: [300_000, 4_000_000],
  interval: [400_000, 9_000_000],
  late: [0, 5_000, 400_000],
  stretch: [500, 400_000],
}

/** Titles of every shape that a file can say. What contradicts itself is left out: how much that is, the test that uses this says. */
type Values = Parameters<Parameters<ReturnType<typeof fc.gen>['map']>[0]>[0]

function fileFrom(g: Values, figures: Figures): Json {
  const gen: Gen = {
    whole: (min, max) => g(fc.integer, { min, max }),
    oneOf: (...all) => all[g(fc.nat, all.length - 1)] as (typeof all)[number],
    onceIn: (times) => g(fc.nat, times - 1) === times - 1,
  }
  const range = (min: number, max: number, spread = 300): Json => {
    const minNs = gen.whole(min, max)
    return { minNs, maxNs: minNs + (gen.onceIn(2) ? 0 : gen.whole(0, spread)) }
  }
  const isReleased = gen.onceIn(4)
  const isTold = gen.onceIn(2)
  const holds = gen.oneOf('read', 'read', 'onwards')
  const isByTwo = gen.onceIn(4)

  const gap = (): Json => (gen.onceIn(12) ? range(...figures.longGap) : range(...figures.gap))
  const sample = (level: 'low' | 'high', more: Json = {}): Json => {
    const usual: Json = level === 'low' ? LOW : HIGH
    const pins = gen.onceIn(3)
      ? Object.fromEntries(
          PINS.filter(() => gen.onceIn(2))
            .map((pin) => [pin, usual[pin]])
            .filter(([, input]) => input),
        )
      : { ...usual }
    if (gen.onceIn(10)) pins['select'] = gen.oneOf('c', 'start')
    const taken = Object.keys(pins).length > 0 || 'name' in more ? pins : { 1: 'up' }
    return { sample: taken, after: range(...figures.sample), ...more }
  }
  const steps = (tells: boolean): Json[] => {
    const all: Json[] = []
    const edges = gen.oneOf(...figures.cycles)
    let level: 'low' | 'high' = 'high'
    const told = tells ? gen.whole(1, 2 * edges) : -1
    for (let k = 0; k < 2 * edges; k++) {
      level = level === 'high' ? 'low' : 'high'
      const what = level === 'low' ? 'low' : isReleased ? 'release' : 'high'
      const after = k === 0 && gen.onceIn(2) ? { minNs: 0, maxNs: 0 } : gap()
      all.push({ select: what, after, ...(what === 'release' && gen.onceIn(4) && { waits: true }) })
      if (k + 1 === told) all.push(sample(level, { name: 'told' }))
      else if (gen.onceIn(2)) all.push(sample(level, gen.onceIn(6) ? { name: `s${k}` } : {}))
      if (told !== -1 && k + 1 > told && gen.onceIn(3))
        all.push({ sample: EXTRA, after: range(...figures.extraSample), when: 'six-buttons' })
    }
    const names = all.flatMap(({ name }) => (typeof name === 'string' ? [name] : []))
    const believed = all.map((step): Json => {
      const pins = step['sample'] as Json | undefined
      if (pins === undefined || names.length === 0 || !gen.onceIn(4)) return step
      const partner = gen.oneOf(...names)
      const entries = Object.entries(pins).map(([pin, input]) => [
        pin,
        pin === 'select' ? input : { input, ifAgrees: partner },
      ])
      return { ...step, sample: Object.fromEntries(entries) }
    })
    if (told === -1 || holds === 'onwards' || !gen.onceIn(3)) return believed
    const cut = believed.findIndex(({ name }) => name === 'told')
    return [
      ...believed,
      { select: 'low', after: gap(), when: 'six-buttons' },
      { select: 'high', after: gap(), when: 'six-buttons' },
    ].map((step, k) => (k > cut ? step : { ...step, when: 'when' in step && k > cut ? step.when : 'always' }))
  }
  const stretch = (): Json =>
    gen.onceIn(5) ? { stretch: { byNs: gen.whole(...figures.stretch), times: gen.whole(1, 3) } } : {}
  const mode = (name: string, tells: boolean, once: boolean): Json => {
    if (gen.onceIn(4) && !once) {
      const reads = Array.from({ length: gen.whole(1, 2) }, (_, k) => ({
        starts: { kind: 'interval', after: range(...figures.interval) },
        steps: steps(tells && k === 0),
        ...stretch(),
      }))
      return { name, reads }
    }
    let atNs = 1_000
    const reads = Array.from({ length: gen.whole(1, 2) }, (_, k) => {
      const everyFrames = gen.oneOf(1, 1, 1, 2, 3)
      const offsetsNs = Array.from({ length: gen.whole(1, 2) }, () => (atNs += gen.whole(...figures.apart)))
      return {
        starts: {
          kind: 'frame',
          offsetsNs,
          everyFrames,
          inFrame: gen.whole(0, everyFrames - 1),
          late: gen.onceIn(2) ? { minNs: 0, maxNs: 0 } : range(...figures.late),
        },
        steps: steps(tells && k === 0),
        ...stretch(),
      }
    })
    return { name, once, reads }
  }
  const modes = gen.oneOf(1, 1, 2)
  const startsOnce = modes === 2 && gen.onceIn(2)
  const by = [
    { sample: 'told', low: gen.oneOf([1, 2, 3, 4], [1, 2], [3]) },
    ...(isByTwo ? [{ sample: 'told', low: [], high: [6] }] : []),
  ]
  return {
    format: 'ninepin-title',
    version: 3,
    name: 'Made',
    notes: '',
    fragile: false,
    port: 'select-line',
    standard: gen.oneOf('525-line', '625-line'),
    clockPpm: gen.oneOf(0, 100),
    idle: gen.oneOf('high', 'high', 'low'),
    rise: isReleased ? range(200, 12_000) : null,
    modes: Array.from({ length: modes }, (_, k) =>
      mode(`mode ${k}`, isTold && (holds === 'read' || k === 0), startsOnce && k === 0),
    ),
    sixButtons: isTold ? { kind: 'told', by, holds } : { kind: gen.oneOf('never', 'never', 'assumed') },
    takesOpposite: true,
  }
}

/** Only those that go together. Made anew until they do: what `fc.gen` makes cannot be filtered, as it would be made the same again. */
const arbWith = (figures: Figures): fc.Arbitrary<Title> =>
  fc.gen().map((g) => {
    for (;;) {
      const read = readTitle(new TextEncoder().encode(JSON.stringify(fileFrom(g, figures))))
      if (read.ok) return read.value
    }
  })

export const arbSteps = arbWith(SHORT)
export const arbUsualSteps = arbWith(USUAL)
/** The same, with reads of each length as often as the others. */
export const arbEvenSteps = arbWith({ ...USUAL, cycles: [1, 2, 3, 4] })
