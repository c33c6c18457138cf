import { cellLevel, phaseAt } from '../../src/port/chart.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { PortEngine } from '../../src/port/engine.ts'
import { ALL_INPUTS, inputBit } from '../../src/port/pins.ts'
import type { Input, InputMask, Level, Pin } from '../../src/port/pins.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'

/**
 * A title played in front of the port engine with every time fixed, for holding the bench against. It shares no line with
 * `src/bench`: writes and samples are listed, sorted by time and carried out one by one, and all combinations are tried.
 */
export interface Times {
  readonly edgeSpacingNs: number
  readonly sampleAfterEdgeNs: number
  readonly replyNs: number
  readonly idleResetNs: number
  readonly riseNs: number
}

/** What the pins show at one sample of one read: rises and level. */
export interface Seen {
  readonly index: 'identify' | number
  readonly rises: number
  readonly level: Level
}

/** All reads of the first `frames` frames. */
export function watch(title: ShortTitle, times: Times, frames: number): Seen[][] {
  type Happening = { atNs: number; order: number; do: () => void }
  // The engine is asked for its state through the pins: bit 0 is the level, the rest the rises.
  const engine = new PortEngine(
    {
      idleResetNs: times.idleResetNs,
      delayNs: times.replyNs,
      pinsAt: (rises, level) => rises * 2 + (level === 'high' ? 1 : 0),
      readEnded: () => undefined,
    },
    title.rest,
  )
  const happenings: Happening[] = []
  const reads: Seen[][] = []
  let riseAtNs = Infinity
  const settle = (beforeNs: number) => {
    if (riseAtNs < beforeNs) {
      engine.select(riseAtNs, 'high')
      riseAtNs = Infinity
    }
  }
  for (let frame = 0; frame < frames; frame++) {
    for (const offsetNs of title.readOffsetsNs) {
      const startNs = frame * frameNs(title.standard) + offsetNs
      const seen: Seen[] = []
      reads.push(seen)
      for (let phase = 0; phase <= 2 * title.cyclesPerRead; phase++) {
        const level: Level = phase % 2 === 0 ? 'high' : 'low'
        const atNs = startNs + phase * times.edgeSpacingNs
        const isWrite = title.rest === 'high' ? phase > 0 : phase < 2 * title.cyclesPerRead
        if (isWrite) {
          happenings.push({
            atNs,
            order: 0,
            do: () => {
              if (level === 'low') {
                settle(atNs)
                riseAtNs = Infinity
                engine.select(atNs, 'low')
              } else if (engine.level !== 'high') riseAtNs = atNs + times.riseNs
            },
          })
        }
        if (phase === 2 * title.cyclesPerRead) continue
        const cycle = Math.floor(phase / 2) + 1
        const indices: Seen['index'][] = title.samples.flatMap((s, k) =>
          s.cycle === cycle && s.level === level ? [k] : [],
        )
        const { sixButtons } = title
        if (sixButtons.kind === 'identified' && sixButtons.cycle === cycle && sixButtons.level === level) {
          indices.unshift('identify')
        }
        for (const index of indices) {
          const sampleNs = atNs + times.sampleAfterEdgeNs
          happenings.push({
            atNs: sampleNs,
            order: 1,
            do: () => {
              settle(sampleNs + 1)
              engine.advance(sampleNs)
              const state = engine.pins as number
              seen.push({ index, rises: state >> 1, level: state & 1 ? 'high' : 'low' })
            },
          })
        }
      }
    }
  }
  happenings.sort((p, q) => p.atNs - q.atNs || p.order - q.order)
  for (const happening of happenings) happening.do()
  return reads
}

const lowPins = (profile: Profile, { rises, level }: Seen, held: InputMask): Set<Pin> => {
  const phase = phaseAt(profile.chart, rises, level)
  return new Set(([1, 2, 3, 4, 6, 9] as Pin[]).filter((pin) => cellLevel(phase[pin], held) === 'low'))
}

/** The reads that go wrong with these inputs held: seen otherwise than held, or taken for six buttons now and not then. */
export function wrongWith(
  profile: Profile,
  title: ShortTitle,
  reads: readonly Seen[][],
  held: InputMask,
): boolean {
  const beliefs = new Set<boolean>()
  for (const seen of reads) {
    const identified = seen.find(({ index }) => index === 'identify')
    let six = title.sixButtons.kind === 'assumed'
    if (title.sixButtons.kind === 'identified' && identified !== undefined) {
      const low = lowPins(profile, identified, held)
      six = title.sixButtons.lowPins.every((pin) => low.has(pin))
    }
    beliefs.add(six)
    for (const one of seen) {
      if (one.index === 'identify') continue
      const sample = title.samples[one.index]
      if (sample === undefined || (sample.when === 'six-buttons' && !six)) continue
      const low = lowPins(profile, one, held)
      for (const [pin, input] of Object.entries(sample.pins) as unknown as [string, Input][]) {
        if (low.has(Number(pin) as Pin) !== ((held & inputBit(input)) !== 0)) return true
      }
    }
  }
  if (beliefs.size < 2) return false
  const taken = (when: string) =>
    title.samples.filter((s) => s.when === when).flatMap((s) => Object.values(s.pins))
  const always = new Set(taken('always'))
  return taken('six-buttons').some((input) => !always.has(input) && (held & inputBit(input)) !== 0)
}

/** Every combination that the profile's policies let through. */
export function* combinations(profile: Profile): Generator<InputMask> {
  for (let held = 0; held <= ALL_INPUTS; held++) {
    if (profile.opposite.vertical !== 'as-held' && (held & 3) === 3) continue
    if (profile.opposite.horizontal !== 'as-held' && (held & 12) === 12) continue
    yield held
  }
}
