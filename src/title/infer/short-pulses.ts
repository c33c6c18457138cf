import { LineCleaner, UNKNOWN } from '../select-line.ts'
import type { SelectLine } from '../select-line.ts'

/**
 * No program looks, or writes, again sooner than 4 cycles of its processor after an edge that it drives (port-facts, from memory): a shorter pulse, in
 * ns, is a bounce or a disturbance, or a released line that only just came up.
 */
export const PROGRAM_NS = 521

/** A line as its title drove it, and as a pad has seen it. */
export interface Seen {
  /** Without pulses that are shorter than a program makes them. */
  readonly driven: SelectLine
  /** With all of them, the shortest too: a pad may count each. `null` where they were too many to be kept. */
  readonly whole: SelectLine | null
}

/** Tells pulses that no program makes from edges. */
export function tellPulses(line: SelectLine): Seen {
  const { timesNs, levels, startNs, endNs, sampledNs, full, unknown, undriven } = line
  const cleaner = new LineCleaner({
    // Two samples see a pulse by up to one sample too long.
    glitchNs: Math.max(0, PROGRAM_NS - (sampledNs ?? 0)),
    maxEdges: Math.max(1, timesNs.length),
  })
  cleaner.push(timesNs, levels)
  const cleaned = cleaner.finish({ startNs, endNs })
  const count = line.glitches.count + cleaned.glitches.count
  const firsts = [line.glitches, cleaned.glitches].flatMap((one) => (one.count > 0 ? [one.firstNs] : []))
  const driven: SelectLine = {
    ...cleaned,
    sampledNs,
    full,
    endNs,
    unknown,
    undriven,
    glitches: { count, firstNs: count > 0 ? Math.min(...firsts) : 0 },
  }
  const isKept = line.glitches.count * 2 === line.pulsesNs.length
  return { driven, whole: isKept ? withPulses(line) : null }
}

/** A line with the glitches that were taken out of it. */
function withPulses(line: SelectLine): SelectLine {
  const { pulsesNs } = line
  if (pulsesNs.length === 0) return line
  const timesNs = new Float64Array(line.timesNs.length + pulsesNs.length)
  const levels = new Uint8Array(timesNs.length)
  let count = 0
  const put = (ns: number, level: number): void => {
    timesNs[count] = ns
    levels[count++] = level
  }
  let next = 0
  line.timesNs.forEach((ns, k) => {
    const level = line.levels[k] ?? UNKNOWN
    const before = line.levels[k - 1] ?? UNKNOWN
    for (; next < pulsesNs.length && (pulsesNs[next] ?? 0) < ns; next += 2) putPulse(before)
    put(ns, level)
  })
  for (; next < pulsesNs.length; next += 2) putPulse(line.levels.at(-1) ?? UNKNOWN)
  return { ...line, timesNs: timesNs.slice(0, count), levels: levels.slice(0, count) }

  function putPulse(level: number): void {
    const [fromNs = 0, toNs = 0] = pulsesNs.subarray(next, next + 2)
    // What comes and goes at one instant, or in a stretch at an unknown level, is not a pulse.
    if (level === UNKNOWN || toNs <= fromNs) return
    put(fromNs, 1 - level)
    put(toNs, level)
  }
}
