import type { Level } from '../../src/port/pins.ts'
import { frameNs } from '../../src/port/clocks.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import type { CabledAdapter } from '../../src/bench/judgement.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Seen } from './watch.ts'

/**
 * A title, a line and a pad in one timing, in which every edge, sample, reply, reset and read takes a time of its own. Written
 * apart from the bench and from the port: a plain list of events in the order of time. The bench is held against it.
 */

/** Where the times come from; each is asked for once, in the order in which it is needed. */
export interface Draws {
  /** From the place of a read to its start. */
  readStart(): number
  /** From the place of a read to the next; `read` is the number of the read within the frame that ends. */
  toNextRead(read: number): number
  spacing(): number
  sample(): number
  rise(): number
  reply(): number
  idle(): number
}

/** What was counted before the first read, and when its idle reset comes, from the place of that read. */
export interface CountedBefore {
  readonly rises: number
  readonly resetNs: number
}

/** All reads of so many frames. */
export function play(title: ShortTitle, draws: Draws, frames: number, before?: CountedBefore): Seen[][] {
  const reads: Seen[][] = []
  let rises = before?.rises ?? 0
  let high = title.rest === 'high'
  let resetNs = before?.resetNs ?? Infinity
  let risesAtNs = Infinity
  /** What the pins show from when on, in order. */
  const shown: { fromNs: number; rises: number; high: boolean }[] = [{ fromNs: -Infinity, rises, high }]
  const show = (atNs: number) => {
    const before = shown[shown.length - 1]?.fromNs ?? -Infinity
    shown.push({ fromNs: Math.max(before, atNs + draws.reply()), rises, high })
  }
  const rest = (atNs: number) => {
    if (resetNs > atNs) return
    rises = 0
    const at = resetNs
    resetNs = Infinity
    show(at)
  }
  /** Lets what comes by itself come, up to and including `toNs`. */
  const pass = (toNs: number) => {
    if (risesAtNs <= toNs) {
      const at = risesAtNs
      risesAtNs = Infinity
      rest(at)
      if (!high) {
        high = true
        rises++
        resetNs = at + draws.idle()
        show(at)
      }
    }
    rest(toNs)
  }
  let placeNs = 0
  for (let frame = 0; frame < frames; frame++) {
    for (let read = 0; read < title.readOffsetsNs.length; read++) {
      const seen: Seen[] = []
      let atNs = placeNs + draws.readStart()
      // From rest low the read ends on its last fall.
      const last = 2 * title.cyclesPerRead - (title.rest === 'low' ? 1 : 0)
      for (let phase = 0; phase <= last; phase++) {
        if (phase > 0) atNs += draws.spacing()
        const level: Level = phase % 2 === 0 ? 'high' : 'low'
        const writes = title.rest === 'high' ? phase > 0 : phase < 2 * title.cyclesPerRead
        if (writes && level === 'high') {
          risesAtNs = atNs + draws.rise()
        } else if (writes) {
          pass(atNs - 1)
          risesAtNs = Infinity
          rest(atNs)
          if (high) {
            high = false
            show(atNs)
          }
        }
        const cycle = Math.floor(phase / 2) + 1
        const indices: Seen['index'][] = title.samples.flatMap((s, k) =>
          s.cycle === cycle && s.level === level ? [k] : [],
        )
        const { sixButtons } = title
        if (sixButtons.kind === 'identified' && sixButtons.cycle === cycle && sixButtons.level === level)
          indices.unshift('identify')
        if (indices.length === 0) continue
        const sampleNs = atNs + draws.sample()
        pass(sampleNs)
        const now = shown.filter(({ fromNs }) => fromNs <= sampleNs).pop()
        if (now === undefined) throw new Error('something always stands on the pins')
        for (const index of indices) seen.push({ index, rises: now.rises, level: now.high ? 'high' : 'low' })
      }
      reads.push(seen)
      placeNs += draws.toNextRead(read)
    }
  }
  return reads
}

/** The least and most of each time, told from the profile, the title and the adapter as their documentation says; outwards to whole ns. */
export function limits(profile: Profile, title: ShortTitle, adapter: CabledAdapter) {
  const { readOffsetsNs, clockPpm } = title
  const first = readOffsetsNs[0] as number
  return {
    readStart: { minNs: 0, maxNs: title.readJitterNs },
    toNextRead: readOffsetsNs.map((offset, k) => {
      const ns = (readOffsetsNs[k + 1] ?? first + frameNs(title.standard)) - offset
      return { minNs: Math.floor(ns - (ns * clockPpm) / 1e6), maxNs: Math.ceil(ns + (ns * clockPpm) / 1e6) }
    }),
    spacing: title.edgeSpacingNs,
    sample: title.sampleAfterEdgeNs,
    rise: title.drive.kind === 'released' ? title.drive.riseNs : { minNs: 0, maxNs: 0 },
    ...padLimits(profile, adapter),
  }
}

/** Of these, what the pad adds: the same in front of any title. */
export function padLimits(profile: Profile, adapter: CabledAdapter) {
  return {
    reply: {
      minNs: adapter.replyNs.minNs + profile.delayNs + (adapter.cable === 'long' ? 10 : 0),
      maxNs:
        adapter.replyNs.maxNs +
        profile.delayNs * (1 + adapter.delayStretch) +
        (adapter.cable === 'short' ? 10 : 78),
    },
    idle: {
      minNs:
        Math.floor(profile.idleResetNs - (profile.idleResetNs * adapter.clockPpm) / 1e6) +
        adapter.idleResetNs.minNs -
        // Stated as it is seen at the connector, a reply time after it is counted.
        adapter.replyNs.minNs,
      maxNs:
        Math.ceil(profile.idleResetNs + (profile.idleResetNs * adapter.clockPpm) / 1e6) +
        adapter.idleResetNs.maxNs,
    },
  }
}

type Range = { readonly minNs: number; readonly maxNs: number }

/**
 * Draws from a seed. Half of the times lie at the end of their ranges, where trouble is; the others anywhere inside.
 *
 * @param habit how a whole run leans: 0 everything anywhere, 1 every kind of time keeps to one end of its range
 */
export function drawsFrom(within: ReturnType<typeof limits>, seed: number, habit: number): Draws {
  let state = seed >>> 0
  const random = (): number => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
  }
  const drawn = () => {
    const leans = random() < 0.5 ? 0 : 1
    return ({ minNs, maxNs }: Range): number => {
      if (random() < habit) return leans === 0 ? minNs : maxNs
      const where = random()
      if (where < 0.25) return minNs
      if (where < 0.5) return maxNs
      return minNs + Math.floor(random() * (maxNs - minNs + 1))
    }
  }
  const [start, next, spacing, sample, rise, reply, idle] = Array.from({ length: 7 }, drawn)
  const use = (draw: typeof start, range: Range) => (draw as NonNullable<typeof draw>)(range)
  return {
    readStart: () => use(start, within.readStart),
    toNextRead: (read) => use(next, within.toNextRead[read] as Range),
    spacing: () => use(spacing, within.spacing),
    sample: () => use(sample, within.sample),
    rise: () => use(rise, within.rise),
    reply: () => use(reply, within.reply),
    idle: () => use(idle, within.idle),
  }
}
