import { IDENTIFIES, scheduleOf } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { TITLE_LIMITS } from '../title/title-limits.ts'
import type { Exploration } from './explored.ts'
import type { LeftOverFrame, LeftOverFrames, MetForEver } from './left-over-frames.ts'
import type { Terrain } from './reach/explore.ts'
import type { SampledReply } from './reach/meets.ts'
import { isHeldBy } from './reach/state.ts'
import type { StateTimes } from './reach/state.ts'
import type { MetReply } from './weigh.ts'
import type { WorkBudget } from './work-budget.ts'

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
  | {
      readonly kind: 'stays'
      readonly exploration: { readonly reach: Terrain; readonly samples: readonly SampledReply[] }
      /** Whether it is known that they do; false where they were followed to no end. */
      readonly isProved: boolean
      /** Whether everything that goes wrong then is in it. */
      readonly isWhole: boolean
    }

/** So many frames are followed one by one whatever that takes, and so many where it takes no more than so many states. */
const MOST_FRAMES = 24
const MOST_FRAMES_OF_FEW = 128
const FEW_STATES = 2_000
/** What a title believes until it is told again takes so many more: a read can come once in so many frames. */
const MOST_FRAMES_TOLD = MOST_FRAMES + TITLE_LIMITS.everyFrames

/**
 * @param fromPowerOn what follows where nothing was counted before
 * @param isWrong whether a sample that meets this goes wrong
 * @returns `null` where the budget ended first
 */
export function leftOverOf(
  title: Title,
  frames: LeftOverFrames,
  fromPowerOn: Exploration,
  isWrong: (reply: MetReply) => boolean,
  budget: WorkBudget,
): LeftOver | null {
  const schedule = scheduleOf(title)
  const walk = frames.walk(budget)
  const followed: LeftOverFrame[] = []
  const wrongReads: number[] = []
  const stays = ({ samples, isWhole }: MetForEver, isProved: boolean): LeftOver | null =>
    isWhole || goesWrong(samples)
      ? { kind: 'stays', exploration: { reach: walk.terrain, samples }, isProved, isWhole }
      : null
  const goesWrong = (samples: readonly MetReply[]): boolean =>
    samples.some((reply) => reply.awayNs === 0 && isWrong(reply))
  const reads = schedule.readsPerFrame
  const { sixButtons } = schedule
  const holdsOn = sixButtons.kind === 'told' && sixButtons.holds === 'onwards'
  const isOnce = (mode: number | undefined): boolean => title.modes[mode ?? 0]?.once ?? false
  /** Whether the title was told wrongly last, and goes on in that. */
  let isBelieved = false
  const most = holdsOn ? MOST_FRAMES_TOLD : MOST_FRAMES
  const isFew = (frame: number): boolean =>
    frame < MOST_FRAMES_OF_FEW && (followed.at(-1)?.count ?? 0) < FEW_STATES
  for (let frame = 0; frame < most || isFew(frame); frame++) {
    const now = walk.next()
    if (now === null) return null
    followed.push(now)
    const { met, ends, isExact } = now
    const last = Math.max(
      -1,
      ...met.filter(isWrong).map(({ node }) => schedule.nodes[node]?.readOfFrame ?? 0),
    )
    wrongReads.push(last)
    const tells = met.filter(({ sample }) => sample.uses.includes(IDENTIFIES))
    const wrong = tells.filter(isWrong)
    // What a title is told once it believes for good.
    if (wrong.some(({ node }) => holdsOn && isOnce(schedule.nodes[node]?.mode)))
      return stays(walk.forEver(0), isExact)
    if (tells.length > 0) isBelieved = holdsOn && wrong.length > 0
    if (isBelieved) wrongReads[frame] = reads - 1
    const isOver = !isBelieved && ends.every((state) => fromPowerOn.held.holds(state))
    const again = isOver ? frame + 1 : followed.findLastIndex(({ begins }) => areHeld(ends, begins))
    if (again === -1 || isBelieved) continue
    if (wrongReads.slice(again).every((read) => read === -1)) {
      const lastFrame = wrongReads.findLastIndex((read) => read >= 0)
      const goesOn = isOver ? NOTHING : walk.forEver(again)
      if (!goesOn.isWhole) return null
      return {
        kind: 'settles',
        reads: lastFrame === -1 ? 0 : lastFrame * reads + (wrongReads[lastFrame] ?? 0) + 1,
        goesOn: goesOn.samples,
      }
    }
    // Only from the same states on the same comes again; from fewer of them it may all come right.
    if (!areHeld(followed[again]?.begins ?? [], ends)) continue
    return stays(walk.forEver(again), isExact)
  }
  // However the frames follow one another: what never goes wrong in any of them is right from the first read on.
  const any = walk.inAnyOrder()
  if (!any.isWhole) return null
  return goesWrong(any.samples) ? stays(any, false) : { kind: 'settles', reads: 0, goesOn: any.samples }
}

const NOTHING: MetForEver = { samples: [], isWhole: true }

/** Whether each of these states is one of the others, or a part of it. */
const areHeld = (states: readonly StateTimes[], known: readonly StateTimes[]): boolean =>
  states.every((state) => isHeldBy(state, known))
