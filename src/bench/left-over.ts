import type { Chart } from '../port/chart.ts'
import { IDENTIFIES, scheduleOf } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { TITLE_LIMITS } from '../title/title-limits.ts'
import type { Box } from './box.ts'
import type { Exploration } from './explored.ts'
import { FrameByFrame } from './reach/explore.ts'
import type { Start } from './reach/explore.ts'
import { meetsOf } from './reach/meets.ts'
import type { SampledReply } from './reach/meets.ts'
import { rowsOf, shapeOf } from './reach/shape.ts'
import type { ChartShape } from './reach/shape.ts'
import type { ReachState } from './reach/state.ts'

/**
 * What becomes of rises that were counted before the first read: by start-up code, because a pad was plugged in late or its bank
 * changed, or because the adapter is slower up than the console.
 */
export type LeftOver =
  /** However many there were, all is right after so many reads; 0: from the first one on. */
  | {
      readonly kind: 'settles'
      readonly reads: number
      /** What samples can meet for as long as the title runs, where that is more than from power-on. */
      readonly goesOn: readonly SampledReply[]
    }
  /** With some number of them, reads can go wrong for as long as the title runs. */
  | { readonly kind: 'stays'; readonly exploration: Exploration }

/** What was counted goes round no more than so often before it is taken to stay. */
const MOST_FRAMES = 24
/** What a title believes until it is told again takes so many more: a read can come once in so many frames. */
const MOST_FRAMES_TOLD = MOST_FRAMES + TITLE_LIMITS.everyFrames

/** Every count that can be left over, with its idle reset to come at any time. */
const startsFor = (shape: ChartShape): Start[] =>
  Array.from({ length: rowsOf(shape) }, (_, row) => ({ row, isResetDue: true }))

/**
 * @param fromPowerOn what follows where nothing was counted before
 * @param isWrong whether a sample that meets this goes wrong
 */
export function leftOverOf(
  title: Title,
  chart: Chart,
  box: Box,
  fromPowerOn: Exploration,
  isWrong: (reply: SampledReply) => boolean,
): LeftOver {
  const schedule = scheduleOf(title)
  const shape = shapeOf(chart)
  const frames = new FrameByFrame(schedule, shape, box, startsFor(shape))
  const before: (readonly ReachState[])[] = []
  const wrongReads: number[] = []
  const met: SampledReply[][] = []
  const reads = schedule.readsPerFrame
  const { sixButtons } = schedule
  const holdsOn = sixButtons.kind === 'told' && sixButtons.holds === 'onwards'
  const isOnce = (mode: number | undefined): boolean => title.modes[mode ?? 0]?.once ?? false
  /** Whether the title was told wrongly last, and goes on in that. */
  let isBelieved = false
  for (let frame = 0; frame < (holdsOn ? MOST_FRAMES_TOLD : MOST_FRAMES); frame++) {
    const begins = frames.states
    frames.next()
    const samples = meetsOf(frames.reach, frame)
    met.push(samples)
    const last = Math.max(
      -1,
      ...samples
        .filter((reply) => reply.awayNs === 0 && isWrong(reply))
        .map(({ node }) => schedule.nodes[node]?.readOfFrame ?? 0),
    )
    wrongReads.push(last)
    before.push(begins)
    const tells = samples.filter((reply) => reply.awayNs === 0 && reply.sample.uses.includes(IDENTIFIES))
    const wrong = tells.filter(isWrong)
    // What a title is told once it believes for good.
    if (wrong.some(({ node }) => holdsOn && isOnce(schedule.nodes[node]?.mode)))
      return { kind: 'stays', exploration: { reach: frames.reach, samples: met.flat(), isExact: true } }
    if (tells.length > 0) isBelieved = holdsOn && wrong.length > 0
    if (isBelieved) wrongReads[frame] = reads - 1
    const { states } = frames
    const isOver = !isBelieved && states.every((state) => fromPowerOn.reach.holds(state))
    const again = isOver ? frame + 1 : before.findLastIndex((known) => areHeld(states, known))
    if (again === -1 || isBelieved) continue
    const goesOn = met.slice(again).flat()
    if (wrongReads.slice(again).every((read) => read === -1)) {
      const lastFrame = wrongReads.findLastIndex((read) => read >= 0)
      return {
        kind: 'settles',
        reads: lastFrame === -1 ? 0 : lastFrame * reads + (wrongReads[lastFrame] ?? 0) + 1,
        goesOn,
      }
    }
    // Only from the same states on the same comes again; from fewer of them it may all come right.
    if (!areHeld(before[again] ?? [], states)) continue
    return { kind: 'stays', exploration: { reach: frames.reach, samples: goesOn, isExact: true } }
  }
  return {
    kind: 'stays',
    exploration: { reach: frames.reach, samples: met.slice(-1).flat(), isExact: true },
  }
}

/** Whether each of these states is one of the others, or a part of it. */
const areHeld = (states: readonly ReachState[], known: readonly ReachState[]): boolean =>
  states.every((state) => known.some((other) => isAlike(state, other) && state.zone.isWithin(other.zone)))

/** Whether two states differ in their times alone. */
const isAlike = (one: ReachState, other: ReachState): boolean =>
  one.node === other.node &&
  one.row === other.row &&
  one.isHigh === other.isHigh &&
  one.reset === other.reset &&
  one.rising === other.rising &&
  one.stretches === other.stretches &&
  one.memory?.pair === other.memory?.pair &&
  one.memory?.code === other.memory?.code &&
  one.memory?.met === other.memory?.met
