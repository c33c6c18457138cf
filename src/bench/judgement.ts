import type { Input, Level, Pin } from '../port/pins.ts'

/** What the bench says of a profile in front of a title. */

export const VERDICTS = ['clean', 'tight', 'misread'] as const
export type Verdict = (typeof VERDICTS)[number]

/** What an adapter states about itself. Ranges in ns at the connector; all of it adds to what the profile asks for. */
export interface StatedAdapter {
  /** From an edge of select to all six pins final. */
  readonly replyNs: { readonly minNs: number; readonly maxNs: number }
  /** With a deliberate delay d the reply comes up to this many times d later than d says. */
  readonly delayStretch: number
  /** How much later than asked for the idle reset comes. */
  readonly idleResetNs: { readonly minNs: number; readonly maxNs: number }
}

/**
 * Why a sample goes wrong.
 * - `settling`: the sample comes before the reply to its own edge stands
 * - `count`: the reply stands, but it is that of another cycle than the title takes it for
 * - `slow-rise`: select was released and has not risen yet, or never rises
 * - `belief`: the title takes the pad for one with six buttons by what is held, or does so in some reads only
 */
export type Cause = 'settling' | 'count' | 'slow-rise' | 'belief'

/** One sample of a title at one corner of the ranges. */
export interface SamplePlace {
  /** Frame, from 1, counted from power-on. */
  readonly frame: number
  /** Read within the frame, from 1. */
  readonly read: number
  /** Cycle within the read, from 1. */
  readonly cycle: number
  readonly level: Level
  /** Rises since the last idle reset that the pins show at the sample. */
  readonly rises: number
  /** Level of select that the pins show at the sample. */
  readonly shownLevel: Level
  /** From the first phase of the read to the sample, in ns. */
  readonly atNs: number
  /** From the edge that opens the phase to the sample, in ns. */
  readonly afterEdgeNs: number
}

/** The smallest set of held inputs that a title sees wrongly, and where. */
export interface Counterexample {
  readonly held: readonly Input[]
  readonly place: SamplePlace
  /** Pins whose level is taken for something else than what is held. */
  readonly pins: readonly Pin[]
  /** Inputs that the title sees pressed and nobody holds. */
  readonly phantom: readonly Input[]
  /** Inputs that are held and that the title sees let go. */
  readonly missed: readonly Input[]
  readonly cause: Cause
}

export interface Judgement {
  readonly verdict: Verdict
  /** Least time to spare over all samples and corners, in ns; zero or below is a misread; `null`: no timing can hurt. */
  readonly marginNs: number | null
  /** Inputs that the profile can press and the title never reads. */
  readonly unseen: readonly Input[]
  /** Whether the title reads this pad as one with six buttons; `null`: it does not look, or it depends on what is held. */
  readonly sixButtons: boolean | null
  /** The sample with the least to spare, and whether an edge or an idle reset would have to move for it to go wrong. */
  readonly tightest: (SamplePlace & { readonly by: 'edge' | 'reset' }) | null
  readonly counterexample: Counterexample | null
  /** One or two sentences, as a technician would put it. */
  readonly reason: string
}
