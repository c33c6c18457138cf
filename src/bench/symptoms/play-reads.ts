import { cellLevel, phaseAt } from '../../port/chart.ts'
import type { Phase } from '../../port/chart.ts'
import { frameNs } from '../../port/clocks.ts'
import { PortEngine } from '../../port/engine.ts'
import { PINS, inputBit, maskOf } from '../../port/pins.ts'
import type { InputMask, Level } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import { takenInputs } from '../sight.ts'

/** Every time that is in doubt, at one value. */
export interface Times {
  readonly edgeSpacingNs: number
  readonly sampleAfterEdgeNs: number
  /** From select at the pad to the pins, deliberate delay included. */
  readonly replyNs: number
  readonly idleResetNs: number
  /** From the release of select to its rise; 0 where it is driven. */
  readonly riseNs: number
  /** How much later than its place a read begins, by its number since power-on. */
  readonly lateNs: (read: number) => number
  /** How far the console's clock is off, in parts per million. */
  readonly clockPpm: number
}

/** One read as the title had it: what stood on the pins when it asked for six buttons, and at each of its samples. */
export interface PlayedRead {
  readonly identification: Phase | null
  readonly samples: readonly Phase[]
}

/** Enough for what a frame leaves behind to show in the next. */
const FRAMES = 4

/** A title in front of a profile for some frames from power-on. What is held does not matter yet: see {@link seen}. */
export function play(profile: Profile, title: Title, times: Times): PlayedRead[] {
  const port = countingPort(title.rest, times)
  const startsNs = readStarts(title, times)
  const edges = selectEdges(title, times, startsNs)
  let next = 0
  const phaseAtNs = (atNs: number): Phase => {
    for (let edge = edges[next]; edge !== undefined && edge.atNs <= atNs; edge = edges[++next])
      port.select(edge.atNs, edge.level)
    port.advance(atNs)
    const count = port.pins ?? 0
    return phaseAt(profile.chart, count >> 1, count & 1 ? 'high' : 'low')
  }
  return startsNs.map((startNs) => playRead(title, times, startNs, phaseAtNs))
}

/** The count itself stands in for the pins, twice the rises and one more at high: cells are looked up when the title samples. */
const countingPort = (rest: Level, { idleResetNs, replyNs }: Times): PortEngine =>
  new PortEngine(
    {
      idleResetNs,
      delayNs: replyNs,
      pinsAt: (rises, level) => rises * 2 + (level === 'high' ? 1 : 0),
      readEnded: () => undefined,
    },
    rest,
  )

function readStarts({ readOffsetsNs, standard }: Title, { clockPpm, lateNs }: Times): number[] {
  const scale = 1 + clockPpm / 1_000_000
  const places = Array.from({ length: FRAMES }).flatMap((_, frame) =>
    readOffsetsNs.map((offsetNs) => frame * frameNs(standard) + offsetNs),
  )
  return places.map((placeNs, read) => Math.round(placeNs * scale) + lateNs(read))
}

interface Edge {
  readonly atNs: number
  readonly level: Level
}

/** Edges at the pad. From rest high the first phase needs none; a released line that is not up by the next fall never rises. */
function selectEdges(title: Title, times: Times, startsNs: readonly number[]): Edge[] {
  const first = title.rest === 'high' ? 1 : 0
  const writes = startsNs.flatMap((startNs) =>
    Array.from({ length: 2 * title.cyclesPerRead }, (_, k): Edge => {
      const level = (first + k) % 2 === 0 ? 'high' : 'low'
      const riseNs = level === 'high' ? times.riseNs : 0
      return { atNs: startNs + (first + k) * times.edgeSpacingNs + riseNs, level }
    }),
  )
  return writes.filter(({ atNs, level }, k) => level === 'low' || atNs < (writes[k + 1]?.atNs ?? Infinity))
}

/** @param phaseAtNs what stands on the pins at a time; times must not go backwards */
function playRead(
  title: Title,
  times: Times,
  startNs: number,
  phaseAtNs: (atNs: number) => Phase,
): PlayedRead {
  const sampleNs = ({ cycle, level }: { readonly cycle: number; readonly level: Level }) =>
    startNs + ((cycle - 1) * 2 + (level === 'low' ? 1 : 0)) * times.edgeSpacingNs + times.sampleAfterEdgeNs
  const { sixButtons, samples } = title
  const identifiedNs = sixButtons.kind === 'identified' ? sampleNs(sixButtons) : null
  const sampleTimesNs = [...samples.map(sampleNs), ...(identifiedNs === null ? [] : [identifiedNs])]
  const phases = new Map(sampleTimesNs.sort((p, q) => p - q).map((atNs) => [atNs, phaseAtNs(atNs)]))
  return {
    identification: identifiedNs === null ? null : (phases.get(identifiedNs) ?? null),
    samples: samples.map((sample) => phases.get(sampleNs(sample)) as Phase),
  }
}

/** What a title makes of all its reads while something is held. */
export interface InputsSeen {
  /** Inputs that some sample takes for pressed. */
  readonly pressed: InputMask
  /** Of these, the ones that other samples take for let go. */
  readonly flickering: InputMask
  /** Inputs that the title sampled, in one read at least. */
  readonly sampled: InputMask
}

/** @param held what reaches the port */
export function seen(title: Title, reads: readonly PlayedRead[], held: InputMask): InputsSeen {
  const always = maskOf(takenInputs(title, 'always'))
  let pressed = 0
  let letGo = 0
  let sampled = 0
  for (const { identification, samples } of reads) {
    const six = believes(title, identification, held)
    title.samples.forEach(({ pins, when }, k) => {
      const takes = when === 'always' || six
      for (const pin of PINS) {
        const taken = pins[pin]
        if (taken === undefined) continue
        const input = inputBit(taken)
        if (takes && cellLevel(samples[k]?.[pin] ?? 'high', held) === 'low') pressed |= input
        // A read without six buttons lets the extra ones go, and no others.
        else if (takes || !(always & input)) letGo |= input
        if (takes) sampled |= input
      }
    })
  }
  return { pressed, flickering: pressed & letGo, sampled }
}

function believes({ sixButtons }: Title, identification: Phase | null, held: InputMask): boolean {
  if (sixButtons.kind !== 'identified') return sixButtons.kind === 'assumed'
  return (
    identification !== null &&
    sixButtons.lowPins.every((pin) => cellLevel(identification[pin], held) === 'low')
  )
}
