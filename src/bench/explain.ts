import { phaseAt, pinsOf } from '../port/chart.ts'
import { maskOf } from '../port/pins.ts'
import type { Input, Level, PinBits } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { levelOf, rowOf } from './reach/counting.ts'
import { titleThatDoes } from './doubts.ts'
import type { Counterexample, Doubt, Judgement, JudgeOptions } from './judgement.ts'
import { shownMisread } from './shown-misread.ts'
import type { ShownMisread } from './shown-misread.ts'
import type { Counted, Witness } from './witness.ts'

/** A misread as a timing diagram: the read in which it happens, in ns from its start. */
export interface Explanation {
  readonly example: Counterexample
  readonly held: readonly Input[]
  readonly witness: Witness
  /** What the diagram shows: a little before the read, the read, a little after. */
  readonly fromNs: number
  readonly untilNs: number
  /** Select as the pad sees it. */
  readonly select: {
    readonly start: Level
    readonly edges: readonly { readonly atNs: number; readonly level: Level }[]
  }
  readonly pins: {
    readonly start: PinBits
    readonly changes: readonly { readonly atNs: number; readonly pins: PinBits }[]
  }
  readonly samples: readonly { readonly atNs: number; readonly isGuilty: boolean }[]
  /** Phases of the read up to its last sample. */
  readonly phases: number
  /** When the reply comes that the guilty sample was meant for; `null` where it is not the time that is wrong. */
  readonly dueNs: number | null
}

/** Share of a read that is drawn before and after it. */
const AROUND = 0.08

/** The smallest counterexample as a timing diagram; `null` where no timing can be shown for it. */
export function explain(
  profile: Profile,
  title: Title,
  { adapter }: Pick<JudgeOptions, 'adapter'>,
): Explanation | null {
  const shown = shownMisread(profile, title, adapter)
  return shown && diagram(profile, shown)
}

/** What would go wrong if a title did what is doubted of it. */
export const explainDoubt = (
  profile: Profile,
  title: Title,
  { assumes }: Doubt,
  options: Pick<JudgeOptions, 'adapter'>,
): Explanation | null => explain(profile, titleThatDoes(title, assumes), options)

/** Whether a misread goes without a diagram because its reads can go in too many ways. Opposite directions at once have no timing to draw. */
export const isTooBranched = ({ findings }: Judgement, explanation: Explanation | null): boolean =>
  explanation === null &&
  findings.some(
    ({ weight, example }) => weight !== 'note' && example !== null && example.cause !== 'opposite',
  )

function diagram(profile: Profile, { example, sample: guilty, witness }: ShownMisread): Explanation {
  const read = witness.reads[witness.reads.length - 1]
  if (read === undefined) throw new Error('a witness has a read')
  const lastNs = Math.max(
    ...read.writes.map(({ atNs, risesNs }) => risesNs ?? atNs),
    ...read.samples.map(({ atNs }) => atNs),
  )
  const aroundNs = Math.ceil((lastNs - read.startNs) * AROUND) + 100
  const fromNs = -aroundNs
  const untilNs = lastNs - read.startNs + aroundNs
  const held = maskOf(example.held)
  const pinsWith = ({ code }: Pick<Counted, 'code'>): PinBits =>
    pinsOf(phaseAt(profile.chart, rowOf(code), levelOf(code)), held)
  const since = (ns: number): number => ns - read.startNs

  const edges = witness.counted
    .filter(({ what }) => what !== 'reset')
    .map(({ atNs, code }) => ({ atNs: since(atNs), level: levelOf(code) }))
  const changes = witness.counted.map((counted) => ({
    atNs: since(counted.shownNs),
    pins: pinsWith(counted),
  }))
  const before = <T extends { readonly atNs: number }>(all: readonly T[]): T | undefined =>
    all.filter(({ atNs }) => atNs < fromNs).pop()
  const shown = <T extends { readonly atNs: number }>(all: readonly T[]): T[] =>
    all.filter(({ atNs }) => atNs >= fromNs && atNs <= untilNs)

  const phase = read.samples.find(({ sample }) => sample === guilty)?.phase ?? 0
  // From rest high the first phase has no write of its own.
  const write = read.writes.findLast((one) => one.phase <= phase)
  const own = witness.counted.find(
    ({ what, atNs }) => what !== 'reset' && write !== undefined && atNs === (write.risesNs ?? write.atNs),
  )
  const isEarly = example.cause === 'settling' || example.cause === 'slow-rise'
  return {
    example,
    held: example.held,
    witness,
    fromNs,
    untilNs,
    select: { start: before(edges)?.level ?? levelOf(witness.before.code), edges: shown(edges) },
    pins: { start: before(changes)?.pins ?? pinsWith(witness.before), changes: shown(changes) },
    samples: read.samples.map((sample) => ({
      atNs: since(sample.atNs),
      isGuilty: sample.sample === guilty,
    })),
    phases:
      (read.writes[0]?.phase === 0 ? 0 : 1) +
      read.writes.filter((one) => one.phase <= (read.samples.at(-1)?.phase ?? 0)).length,
    dueNs: isEarly && own !== undefined && own.shownNs >= witness.sampleNs ? since(own.shownNs) : null,
  }
}
