import fc from 'fast-check'
import { boxOf } from '../../../src/bench/box.ts'
import { explored } from '../../../src/bench/explored.ts'
import type { CabledAdapter } from '../../../src/bench/judgement.ts'
import { weighTitle } from '../../../src/bench/weigh-title.ts'
import { REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { frameNs } from '../../../src/port/clocks.ts'
import { INPUTS } from '../../../src/port/pins.ts'
import type { Input } from '../../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import type { Title } from '../../../src/title/schema.ts'
import { arbUsualSteps } from '../../bench/arbitrary-steps.ts'
import { PLAIN } from '../../bench/plain-titles.ts'
import { CASES } from '../../bench/steps-titles.ts'
import { captureOf, misreadsIn } from './capture-of.ts'
import type { Captured, Capturing, FrontPad } from './capture-of.ts'
import { titlesWithTheSameEdges } from './same-edges.ts'
import { random } from './simulate.ts'

/** Titles, how they are captured, and what is true of them in front of which pads. */

const three = BUILT_IN_PROFILES['three-button']
const six = BUILT_IN_PROFILES['six-button']
export const PROFILES: Readonly<Record<string, Profile>> = {
  three,
  six,
  'three-neutral': { ...three, opposite: { vertical: 'neutral', horizontal: 'neutral' } },
  'goes-round': { ...six, chart: { ...six.chart, after: { kind: 'start-again' } }, idleResetNs: 1_800_000 },
  'resets-soon': { ...six, delayNs: 56, idleResetNs: 1_100_000 },
  'one-cycle': BUILT_IN_PROFILES['six-button-one-cycle'],
}

/** Whether a title can read a profile wrong in no timing at all. */
function readsRight(profile: Profile, title: Title, adapter: CabledAdapter): boolean {
  const box = boxOf(profile, title, adapter)
  const exploration = explored(title, profile.chart, box)
  const { weighed, stays } = weighTitle(profile, title, box, exploration)
  return exploration.isExact && weighed.wrongs.size === 0 && stays === null
}

const padOf = (profile: Profile, title: Title): FrontPad => {
  const { reply, idleReset } = boxOf(profile, title, REFERENCE_ADAPTER)
  return { chart: profile.chart, times: { reply, idleReset } }
}

/** A pad from the time of the titles, which answers at once or as late as the soonest sample of a program (port-facts). Both directions of an axis cannot be pressed. */
const ORIGINAL: CabledAdapter = {
  ...REFERENCE_ADAPTER,
  replyNs: { minNs: 0, maxNs: 420 },
  idleResetNs: { minNs: 0, maxNs: 0 },
}
const ORIGINALS = [three, six].map((profile): Profile => ({
  ...profile,
  opposite: { vertical: 'neutral', horizontal: 'neutral' },
}))

/** Edges do not show what a title does wrong in front of any pad: one that reads no original pad right was never sold. */
const works = (title: Title): boolean => ORIGINALS.some((profile) => readsRight(profile, title, ORIGINAL))

const HELD: readonly (readonly Input[])[] = [[], ...INPUTS.map((input) => [input])]
const BOTH: readonly (readonly Input[])[] = [
  ['up', 'down'],
  ['left', 'right'],
]

/** Whether another title that was sold makes the same edges and reads the profile wrong. */
const isOpen = (profile: Profile, title: Title): boolean =>
  titlesWithTheSameEdges(title).some(
    (other) => works(other) && !readsRight(profile, other, REFERENCE_ADAPTER),
  )

export const TRUTHS = ['misread', 'opposite', 'clean', 'open', 'between'] as const
export type Truth = (typeof TRUTHS)[number]

/**
 * `opposite`: it goes wrong in what was captured, but only while both directions of an axis are held, which no original pad lets through. `open`: it is clean, but
 * a title that makes the same edges and reads an original pad right is not, so that edges do not decide. `between`: nothing went wrong in the captured line, and
 * in another one it can.
 */
export function truthOf(profile: Profile, captured: Captured): Truth {
  const pad = padOf(profile, captured.title)
  const { vertical, horizontal } = profile.opposite
  const areBoth = BOTH.filter((_, k) => [vertical, horizontal][k] === 'as-held')
  if (HELD.some((held, k) => misreadsIn(captured, pad, held, k + 1))) return 'misread'
  if (areBoth.some((held, k) => misreadsIn(captured, pad, held, HELD.length + k + 1))) return 'opposite'
  if (!readsRight(profile, captured.title, REFERENCE_ADAPTER)) return 'between'
  return isOpen(profile, captured.title) ? 'open' : 'clean'
}

const GRIDS_NS = [0, 125 / 3, 250, 1_000, 2_000]

export interface Played {
  readonly name: string
  readonly captured: Captured
}

function capture(name: string, title: Title, seed: number): Played {
  const next = random(seed)
  for (let k = 0; k < 8; k++) next()
  const oneOf = <T>(...all: readonly T[]): T => all[Math.floor(next() * all.length)] as T
  const frame = frameNs(title.standard)
  const frames = 60
  const how: Capturing = {
    seed,
    lastsNs: Math.round((frames + next()) * frame),
    fromNs: oneOf(0, 0, 1, 2) === 0 ? 0 : Math.round((3 + 4 * next()) * frame),
    gridNs: oneOf(...GRIDS_NS),
    glitches: oneOf(0, 0, 0, 3),
    bounces: oneOf(0, 0, 0, 0, 0, 4),
  }
  const front = padOf(oneOf(three, six), title)
  let captured = captureOf(title, front, how)
  // Every second of those that have no power-on begins in the middle of a read, and some end in one.
  const cutAt = (ns: number): number => {
    const after = captured.changes.filter(({ atNs }) => atNs > ns)
    return Math.round(((after[0]?.atNs ?? ns) + (after[1]?.atNs ?? ns)) / 2)
  }
  if (next() < 0.5) {
    const fromNs = how.fromNs === 0 ? 0 : cutAt(how.fromNs)
    captured = captureOf(title, front, { ...how, fromNs, lastsNs: cutAt(how.lastsNs - 2 * frame) })
  }
  return { name, captured }
}

/**
 * The bench's own titles and so many that are made, all captured.
 *
 * @param others whether each second of those that are made is another title with the same edges: most of these read six buttons
 */
export function allPlayed(titles: number, seed: number, from = arbUsualSteps, others = false): Played[] {
  const known: [string, Title][] = [
    ...Object.entries(PLAIN),
    ...CASES.map(({ title }): [string, Title] => [title.name, title]),
  ].filter(([, title]) => works(title))
  const made: [string, Title][] = []
  for (const [k, drawn] of fc.sample(from, { numRuns: 6 * titles, seed }).entries()) {
    if (made.length === titles) break
    const same = others && made.length % 2 === 1 ? titlesWithTheSameEdges(drawn).filter(works) : []
    const title = same[k % same.length] ?? drawn
    if (works(title)) made.push([`made ${made.length}`, title])
  }
  return [...known, ...made]
    .map(([name, title], k) => capture(name, title, 1_000 * seed + k))
    .filter(({ captured }) => captured.edges >= 8)
}
