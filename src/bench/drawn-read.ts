import type { NodeSample } from '../title/schedule.ts'
import type { Answer, PlayedRead, Player, ShownChange } from './play/player.ts'
import { levelOf } from './reach/counting.ts'
import type { Witness } from './witness.ts'

/** One read in one timing, as it is drawn. All times in ns, from wherever the timing counts them. */
export interface DrawnRead {
  readonly startNs: number
  /** In order of time. */
  readonly samples: readonly DrawnSample[]
  /** What is counted before any change. */
  readonly before: Answer
  /** Everything that the pad counts up to the end of the read, at least. */
  readonly changes: readonly ShownChange[]
}

export interface DrawnSample {
  readonly sample: NodeSample
  readonly atNs: number
  /** Where its phase begins and ends. */
  readonly opensNs: number
  readonly closesNs: number
}

/** What the pins answer once the edge that opened the sample's phase has reached them. */
export function meantAt({ before, changes }: DrawnRead, { atNs, opensNs }: DrawnSample): Answer {
  const next = changes.findIndex(({ writtenNs, shownNs }) =>
    writtenNs === null ? shownNs > atNs : writtenNs > opensNs,
  )
  return changes[(next === -1 ? changes.length : next) - 1] ?? before
}

/** Reads to play until one comes that is asked for. */
const MOST_READS = 4_096

/** A read as it is played, the first since power-on that is meant. */
export function playedRead(player: Player, isIt: (read: PlayedRead) => boolean): DrawnRead {
  let played = player.read()
  for (let n = 0; n < MOST_READS && !isIt(played); n++) played = player.read()
  // A line that was let go in this read may still be on its way up.
  player.pass(player.next.placeNs - 1)
  const { nodes } = played
  const phases = nodes
    .filter(({ node }, k) => k === 0 || node.writes !== null)
    .map(({ node, atNs }) => ({ phase: node.phase, atNs }))
  const samples = nodes.flatMap(({ node, met }) =>
    met.map(({ atNs, sample }) => ({ phase: node.phase, atNs, sample })),
  )
  return {
    startNs: nodes[0]?.atNs ?? 0,
    samples: withPhases(samples, phases),
    before: player.before,
    changes: player.changes,
  }
}

/** The read that a witness leads to. */
export function witnessedRead({ reads, counted, before }: Witness): DrawnRead {
  const read = reads[reads.length - 1]
  if (read === undefined) throw new Error('a witness has a read')
  const { startNs, writes, samples } = read
  const rests = writes.some(({ phase }) => phase === 0) ? [] : [{ phase: 0, atNs: startNs }]
  return {
    startNs,
    samples: withPhases(samples, [...rests, ...writes]),
    before: { rises: before.rises, level: levelOf(before.code) },
    changes: counted,
  }
}

interface At {
  readonly phase: number
  readonly atNs: number
}

interface SampleAt extends At {
  readonly sample: NodeSample
}

/** The last phase of a read, which nothing ends, is drawn as long as the one before it, and at least to its sample. */
function withPhases(samples: readonly SampleAt[], phases: readonly At[]): DrawnSample[] {
  return samples.map(({ phase, atNs, sample }) => {
    const k = phases.findLastIndex((one) => one.phase <= phase)
    const opensNs = phases[k]?.atNs ?? atNs
    const asLongNs = 2 * opensNs - (phases[k - 1]?.atNs ?? opensNs)
    return { sample, atNs, opensNs, closesNs: phases[k + 1]?.atNs ?? Math.max(asLongNs, atNs + 1) }
  })
}
