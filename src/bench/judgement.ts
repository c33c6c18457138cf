import type { Cable } from '../port/cable.ts'
import type { Input, Level, Pin } from '../port/pins.ts'
import type { PlaceInRange } from '../title/guessed-times.ts'
import type { StepAt } from '../title/map-steps.ts'

/** What the bench says of a profile in front of a title. */

/** From the best to the worst. `undecided`: some of what a title may be reads right, and some does not. */
export const VERDICTS = ['clean', 'tight', 'undecided', 'misread'] as const
export type Verdict = (typeof VERDICTS)[number]

/** What an adapter states about itself. Ranges in ns at its own connector; all of it adds to what the profile asks for. */
export interface StatedAdapter {
  /** From an edge of select to all six pins final. */
  readonly replyNs: { readonly minNs: number; readonly maxNs: number }
  /** With a deliberate delay d the reply comes up to this many times d later than d says. */
  readonly delayStretch: number
  /** How much later than asked for the idle reset comes, with an exact clock. */
  readonly idleResetNs: { readonly minNs: number; readonly maxNs: number }
  /** How far its clock may be off, both ways, in parts per million. */
  readonly clockPpm: number
}

/** An adapter as a title meets it: at the other end of its cable. */
export interface CabledAdapter extends StatedAdapter {
  readonly cable: Cable
}

export interface JudgeOptions {
  readonly adapter: CabledAdapter
  /** Time to spare, in ns, below which a clean read is called tight. */
  readonly marginNs: number
}

/**
 * Why a sample goes wrong.
 * - `settling`: the sample comes before the reply to its own edge stands
 * - `count`: the reply stands, but it is that of another cycle than the title takes it for
 * - `slow-rise`: select was released and has not risen yet, or never rises
 * - `belief`: the title takes the pad for one with six buttons by what is held, or does so in some reads only
 * - `opposite`: both directions of an axis reach a title that does not cope with them
 * - `read-back`: the title takes the level of select itself for an input
 */
export type Cause = 'settling' | 'count' | 'slow-rise' | 'belief' | 'opposite' | 'read-back'

/** One sample of a title at the timing that shows it best. */
export interface SamplePlace {
  /** Which of the title's modes, from 1. */
  readonly mode: number
  /** Which of the mode's reads, from 1, as the file has them. */
  readonly readOfMode: number
  /** Frame, from 1, counted from power-on. */
  readonly frame: number
  /** Read within the frame, from 1. */
  readonly read: number
  /** Step of the read, from 1, with its repeats written out. */
  readonly step: number
  /** Cycle within the read, from 1: each rise opens one, as on the phase chart. */
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
  /** How much later the sample, or how much sooner the reply, would have to be; `null` where no time helps. */
  readonly shortNs: number | null
}

/**
 * What can go wrong, each kind told once, by its smallest example.
 * - `phantom`: the title sees a press that nobody makes
 * - `missed`: it does not see one that is held
 * - `false-six-buttons`: it believes in six buttons by what is held, or in some reads only
 * - `too-early`: it samples before the reply stands
 * - `opposite`: both directions of an axis reach a title that does not cope with them
 * - `left-over`: rises that were counted before the first read spoil some reads, or all that come
 * - `torn`: a change between two samples of one read is seen by halves
 * - `short-press`: a press between two samples is not seen at all
 */
export const FINDING_KINDS = [
  'phantom',
  'missed',
  'false-six-buttons',
  'too-early',
  'opposite',
  'left-over',
  'torn',
  'short-press',
] as const
export type FindingKind = (typeof FINDING_KINDS)[number]

export interface Finding {
  readonly kind: FindingKind
  /**
   * A misread is the profile's to mend; a note holds with any pad, an original one included, or says what was taken for granted. A doubt is a misread that may be none: what decides
   * is not known, or was not followed to its end.
   */
  readonly weight: 'misread' | 'doubt' | 'note'
  readonly sentence: string
  /** What shows it; `null` where it needs no more than the sentence. */
  readonly example: Counterexample | null
}

/**
 * What would have to move for the tightest sample to go wrong.
 * - `edge`: an edge that the title drives, or the sample
 * - `rise`: the rise of a line that it releases
 * - `reset`: an idle reset
 */
export type Nearest = 'edge' | 'rise' | 'reset'

/** A sample, and what comes nearest to spoiling it. */
export type TightPlace = SamplePlace & { readonly by: Nearest }
/** What a title would have to do for a verdict to turn, out of what it may do for all that is known. */
export type TitleAssumption =
  /**
   * Takes a sample, and those that it hangs on, for this; `detection` is how it tells six buttons then. Both count from what the file says, 0.
   */
  | { readonly kind: 'sample'; readonly at: StepAt; readonly choice: number; readonly detection: number }
  | { readonly kind: 'six-buttons'; readonly detection: number }
  /** Its guessed times lie here in their ranges; `null`: all over them. */
  | { readonly kind: 'times'; readonly place: PlaceInRange | null; readonly detection: number }

export type Assumption =
  | TitleAssumption
  /** Uses what it samples in edges that no read explains: which of its left-over stretches, and which edge opens the phase; `null`: one not kept. */
  | { readonly kind: 'left-over'; readonly stretch: number | null; readonly edge: number }
  /** Asks for six buttons in a phase that its edges do not show, by pins that both directions of an axis bring low as well. */
  | { readonly kind: 'asks-six' }

/** One thing that a title may do and that makes it misread. */
export interface Doubt {
  readonly assumes: Assumption
  /** What it would have to do, as what follows "if". */
  readonly condition: string
  /** Why it misreads then. */
  readonly reason: string
  /** `null` where no sample is known that it would be. */
  readonly example: Counterexample | null
}

/** Something to do in front of the console that settles a doubt. */
export interface DecidingTrial {
  readonly held: readonly Input[]
  /** What acts then though nobody holds it, where the title misreads. */
  readonly phantom: readonly Input[]
  /** The doubts that it settles, by their place in `misreadIf`. */
  readonly settles: readonly number[]
  /** What to do and what to look for. */
  readonly sentence: string
}

/** What an undecided verdict hangs on. */
export interface HangsOn {
  /**
   * - `title`: what the title does is not known well enough
   * - `not-described`: nobody has said anything of it
   * - `budget`: its reads can go in more ways than are followed
   */
  readonly kind: 'title' | 'not-described' | 'budget'
  /** Each alone makes it a misread, what shows most easily first. */
  readonly misreadIf: readonly Doubt[]
  /** What it would have to do to read right, as what follows "if"; empty where there is nothing to say. */
  readonly cleanIf: string
  readonly trial: DecidingTrial | null
}

export interface Judgement {
  readonly verdict: Verdict
  /**
   * Whether everything that can come was followed. Otherwise the budget ended first: a margin is the least that is proved, and a misread can be worse
   * than it is told.
   */
  readonly isWhole: boolean
  /** What it hangs on; `null` unless the verdict is *undecided*. */
  readonly hangsOn: HangsOn | null
  /** Least time to spare over all samples and timings, in ns; zero or below is a misread; `null`: no timing can hurt, or it is not decided. */
  readonly marginNs: number | null
  /** Inputs that the profile can press and the title never reads. */
  readonly unseen: readonly Input[]
  /** Whether the title reads this pad as one with six buttons; `null`: it does not ask, or it depends on what is held. */
  readonly sixButtons: boolean | null
  /** The sample with the least to spare. */
  readonly tightest: TightPlace | null
  /** The smallest example of what makes this a misread. */
  readonly counterexample: Counterexample | null
  /** Misreads first, each kind once. */
  readonly findings: readonly Finding[]
  /** One or two sentences, as a technician would put it. */
  readonly reason: string
}

/** Whether a title reads a profile right, whatever is known of it. */
export const isRight = ({ verdict }: Pick<Judgement, 'verdict'>): boolean =>
  verdict === 'clean' || verdict === 'tight'
