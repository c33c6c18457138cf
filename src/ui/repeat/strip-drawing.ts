import type { PlayedFrame } from '../../bench/repeat/play-repeat.ts'
import { rowWords } from '../../words/lists.ts'
import { t } from './repeat-texts.ts'

export interface StripSample {
  readonly x: number
  readonly y: number
  readonly width: number
  readonly height: number
  readonly pressed: boolean
}

export interface StripFrame {
  /** The line along the frame, and the number above it, where one stands. */
  readonly x: number
  readonly y: number
  readonly width: number
  readonly number: string | null
  readonly samples: readonly StripSample[]
}

export interface StripDrawing {
  readonly height: number
  readonly frames: readonly StripFrame[]
}

const LOOK_WIDTH = 8
const LOOK_HEIGHT = 16
const LEAST_FRAME = 12
const GAP = 6
const ROW = 48
const NUMBER_ROOM = 18
/** Every so many frames a number, where a row does not begin with one. */
const NUMBER_EVERY = 4

/** Frames as columns in order of time, samples as ticks on them; rows of as many frames as fit in so many pixels. */
export function stripDrawing(frames: readonly PlayedFrame[], width: number): StripDrawing {
  const most = Math.max(1, ...frames.map(({ samples }) => samples.length))
  const pitch = Math.min(LOOK_WIDTH, width / most)
  const frameWidth = Math.max(LEAST_FRAME, pitch * most)
  const fit = Math.max(1, Math.floor((width + GAP) / (frameWidth + GAP)))
  const inRow = rowLength(frames.length, fit)
  const everyNumber = frameWidth >= 3 * LOOK_WIDTH ? 1 : NUMBER_EVERY
  return {
    height: Math.ceil(frames.length / inRow) * ROW,
    frames: frames.map(({ samples }, k) => {
      const column = k % inRow
      const x = column * (frameWidth + GAP)
      const y = Math.floor(k / inRow) * ROW + NUMBER_ROOM + LOOK_HEIGHT
      const offset = (frameWidth - pitch * samples.length) / 2
      return {
        x,
        y,
        width: frameWidth,
        number: column % everyNumber === 0 ? String(k + 1) : null,
        samples: samples.map(({ pressed }, at) => ({
          x: x + offset + at * pitch + pitch * 0.125,
          y: y - LOOK_HEIGHT,
          width: pitch * 0.75,
          height: LOOK_HEIGHT,
          pressed,
        })),
      }
    }),
  }
}

/** Rows about equally long; whole fours where there is room, so that the numbers stand one below the other. */
function rowLength(frames: number, fit: number): number {
  const mostFours = Math.floor(fit / NUMBER_EVERY) * NUMBER_EVERY
  if (mostFours === 0) return fit
  const rows = Math.ceil(frames / mostFours)
  return Math.min(mostFours, Math.ceil(frames / rows / NUMBER_EVERY) * NUMBER_EVERY)
}

/** Runs that are told before it is left at "and so on". */
const MOST_RUNS = 24

/** What the drawing shows, for those who do not see it: "2 samples pressed, 3 released, 2 pressed." */
export function stripWords(frames: readonly PlayedFrame[]): string {
  const runs: { pressed: boolean; samples: number }[] = []
  for (const { pressed } of frames.flatMap(({ samples }) => samples)) {
    const run = runs[runs.length - 1]
    if (run?.pressed === pressed) run.samples += 1
    else runs.push({ pressed, samples: 1 })
  }
  const count = frames.length
  if (runs.length === 0) return t.noSample({ frames: count })
  const told = runs
    .slice(0, MOST_RUNS)
    .map(({ pressed, samples: n }, k) => (k === 0 ? t.firstRun : t.run)({ pressed, n }))
  const said = { frames: count, runs: rowWords(told) }
  return runs.length > MOST_RUNS ? t.andSoOn(said) : t.strip(said)
}
