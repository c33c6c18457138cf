import { frameNs } from '../../port/clocks.ts'
import type { Mode, Read, Title } from '../schema.ts'
import { refusedTime } from '../refused-times.ts'
import { clashTexts as t } from '../title-file-texts.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import { clash } from './clash.ts'
import type { Clash } from './clash.ts'

/** One time that a read comes before all of its mode comes again. */
export interface Turn {
  readonly mode: number
  /** Which read of the mode, as the file has them. */
  readonly number: number
  readonly starts: Read['starts']
  /** Of the frames after which all comes again, from 0. */
  readonly frame: number
  /** In the order of time within its frame, from 0. */
  readonly inFrame: number
  /** From the start of its frame; 0 where none ties it. */
  readonly offsetNs: number
  /** Which of the offsets of the read it is. */
  readonly occurrence: number
}

/** The reads of a mode in the order of time, until all comes again. */
export interface ModeTurns {
  readonly mode: number
  readonly turns: readonly Turn[]
  /** Frames until all comes again; 1 where no frame ties the mode. */
  readonly frames: number
}

/** No program reads again sooner. */
const LEAST_INTERVAL_NS = 1_000

export function turnsOf(title: Title, mode: Mode, at: Clash['at']): ModeTurns {
  const number = at[1] as number
  const kinds = mode.reads.map(({ starts }) => starts.kind)
  const mixed = kinds.findIndex((kind) => kind !== kinds[0])
  if (mixed !== -1) clash([...at, 'reads', mixed, 'starts', 'kind'], t.mixedStarts)
  const often = mode.reads.findIndex(
    ({ starts }) => starts.kind === 'interval' && starts.after.minNs < LEAST_INTERVAL_NS,
  )
  if (often !== -1)
    clash(
      [...at, 'reads', often, 'starts', 'after', 'minNs'],
      t.tooOften({ least: refusedTime(LEAST_INTERVAL_NS) }),
    )
  if (kinds[0] === 'interval')
    return {
      mode: number,
      frames: 1,
      turns: mode.reads.map(({ starts }, k) => ({
        mode: number,
        number: k,
        starts,
        frame: 0,
        inFrame: k,
        offsetNs: 0,
        occurrence: 0,
      })),
    }
  let frames = 1
  const all: Omit<Turn, 'inFrame'>[] = []
  mode.reads.forEach(({ starts }, k) => {
    const place = [...at, 'reads', k, 'starts']
    if (starts.kind !== 'frame') return
    const { everyFrames, inFrame, offsetsNs } = starts
    if (inFrame >= everyFrames) clash([...place, 'inFrame'], t.noSuchFrame({ inFrame, everyFrames }))
    const early = offsetsNs.findIndex((ns, j) => ns <= (offsetsNs[j - 1] ?? -1))
    if (early !== -1) clash([...place, 'offsetsNs', early], t.offsetsAscend)
    const late = offsetsNs.findIndex((ns) => ns >= frameNs(title.standard))
    if (late !== -1)
      clash(
        [...place, 'offsetsNs', late],
        t.afterFrame({
          offset: refusedTime(offsetsNs[late] ?? 0),
          frame: refusedTime(frameNs(title.standard)),
        }),
      )
    frames = leastCommonMultiple(frames, everyFrames)
    if (frames > TITLE_LIMITS.everyFrames)
      clash([...place, 'everyFrames'], t.tooManyFrames({ frames, most: TITLE_LIMITS.everyFrames }))
  })
  mode.reads.forEach(({ starts }, k) => {
    if (starts.kind !== 'frame') return
    for (let frame = starts.inFrame; frame < frames; frame += starts.everyFrames)
      starts.offsetsNs.forEach((offsetNs, occurrence) =>
        all.push({ mode: number, number: k, starts, frame, offsetNs, occurrence }),
      )
  })
  all.sort((p, q) => p.frame - q.frame || p.offsetNs - q.offsetNs)
  let inFrame = 0
  const turns = all.map((turn, k): Turn => {
    inFrame = k > 0 && all[k - 1]?.frame === turn.frame ? inFrame + 1 : 0
    return { ...turn, inFrame }
  })
  return { mode: number, turns, frames }
}

const greatestCommonDivisor = (a: number, b: number): number =>
  b === 0 ? a : greatestCommonDivisor(b, a % b)
const leastCommonMultiple = (a: number, b: number): number => (a / greatestCommonDivisor(a, b)) * b
