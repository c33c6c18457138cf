import { readTitle } from '../../../src/title/file.ts'
import type { Title } from '../../../src/title/schema.ts'

/**
 * Titles that make the very edges of another one and differ in what they make of them: no capture of select tells them apart. Nothing of what `infer` leaves
 * open is asked here: these are the steps of the other title, with samples of their own.
 */

type Read = Title['modes'][number]['reads'][number]
type Step = Read['steps'][number]
type Plain = Exclude<Step, { readonly repeat: number }>
type Edge = Extract<Plain, { readonly select: unknown }>
type Level = 'low' | 'high'

const LOW = { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }
const HIGH = { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }
const EXTRA = { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' }

/** From an edge to the sample, about as soon as programs sample (port-facts: 521 ns at the least, from memory). */
const AFTER_NS = 530

/** What is sampled in a phase, by its level and the rises of the read so far; `null`: nothing. */
type Samples = (level: Level, rises: number) => object | null

/** The same where so many rises came before the read, soon enough for them to count. */
const after =
  (before: number, samples: Samples): Samples =>
  (level, rises) =>
    samples(level, rises + before)

/** Every phase as a three-button pad answers it. */
const plain: Samples = (level) => ({ sample: level === 'low' ? LOW : HIGH })
/** The extra buttons where a six-button pad has them, after the third rise (port-facts). */
const extra: Samples = (level, rises) =>
  level === 'high' && rises === 3 ? { sample: EXTRA, when: 'six-buttons' } : null
/** The same where the identification was there, in the low phase after the second rise. */
const told: Samples = (level, rises) =>
  level === 'low' && rises === 2 ? { sample: {}, name: 'told' } : extra(level, rises)

const TOLD = { kind: 'told', by: [{ sample: 'told', low: [1, 2, 3, 4] }], holds: 'read' }

export function titlesWithTheSameEdges(title: Title): Title[] {
  const all = [...withSamples(title, plain, { kind: 'never' }, null)]
  // In one read at a time: in another of them the count may have gone on.
  title.modes.forEach((mode) =>
    mode.reads.forEach((read) => {
      for (const before of isInOneGo(mode) ? [0, 1, 2] : [0])
        all.push(...withSamples(title, after(before, extra), { kind: 'assumed' }, read))
      all.push(...withSamples(title, told, TOLD, read))
    }),
  )
  return all
}

/** A program reads six buttons in one go (common practice, no source): in reads that begin no further apart than this, in ns, or in one of them. */
const IN_ONE_GO_NS = 250_000

/** Whether a read of a mode comes so soon after another that both can be one for the program. */
function isInOneGo({ reads }: Title['modes'][number]): boolean {
  const placesNs = reads.flatMap(({ starts }) => (starts.kind === 'frame' ? starts.offsetsNs : []))
  const ascending = placesNs.sort((p, q) => p - q)
  return (
    ascending.some((ns, k) => k > 0 && ns - (ascending[k - 1] as number) <= IN_ONE_GO_NS) ||
    reads.some(({ starts }) => starts.kind === 'interval' && starts.after.maxNs <= IN_ONE_GO_NS)
  )
}

/** @param only the read that is sampled; `null`: all of them */
function withSamples(title: Title, samples: Samples, sixButtons: object, only: Read | null): Title[] {
  const modes = title.modes.map((mode) => ({
    ...mode,
    reads: mode.reads.map((read) => ({
      ...read,
      steps: stepsWith(title, read, only === null || only === read ? samples : () => null),
    })),
  }))
  const { takesOpposite: _takes, sources: _sources, ...others } = title
  const file = { ...others, takesOpposite: true, modes, sixButtons }
  const read = readTitle(new TextEncoder().encode(JSON.stringify(file)))
  // A read that is too short has no sample that could tell six buttons.
  return read.ok ? [read.value] : []
}

function stepsWith({ idle, rise }: Title, { steps }: Read, samples: Samples): object[] {
  let level: Level = idle
  let rises = 0
  const edges = edgesOf(steps)
  return edges.flatMap(({ step, fromNs }, k) => {
    const to = step.select === 'low' ? 'low' : 'high'
    if (to === 'high' && level === 'low') rises++
    level = to
    const risesNs = step.select === 'release' && !step.waits ? (rise?.maxNs ?? 0) : 0
    const atNs = AFTER_NS + risesNs
    const before = edges[k - 1]
    const sampledNs = before?.sampledNs ?? 0
    const edge = {
      ...step,
      since: 'step',
      after: { minNs: fromNs.minNs - sampledNs, maxNs: fromNs.maxNs - sampledNs },
    }
    const next = edges[k + 1]
    const sample = next === undefined || next.fromNs.minNs > atNs ? samples(level, rises) : null
    if (sample === null) return [edge]
    ;(edges[k] as EdgeAfter).sampledNs = atNs
    return [edge, { ...sample, after: { minNs: atNs, maxNs: atNs } }]
  })
}

interface EdgeAfter {
  readonly step: Edge
  /** From the edge before it. */
  readonly fromNs: { readonly minNs: number; readonly maxNs: number }
  /** From it to a sample that was put after it; 0: there is none. */
  sampledNs: number
}

/** Steps that write select in any case: what hangs on a belief does so in no title that has none. */
function edgesOf(steps: readonly Step[]): EdgeAfter[] {
  const edges: EdgeAfter[] = []
  let [minNs, maxNs] = [0, 0]
  for (const step of written(steps)) {
    const isFromEdge = step.since === 'edge'
    minNs = (isFromEdge ? 0 : minNs) + step.after.minNs
    maxNs = (isFromEdge ? 0 : maxNs) + step.after.maxNs
    if (!('select' in step) || step.when !== 'always') continue
    edges.push({ step, fromNs: { minNs, maxNs }, sampledNs: 0 })
    ;[minNs, maxNs] = [0, 0]
  }
  return edges
}

const written = (steps: readonly Step[]): Plain[] =>
  steps.flatMap((step) =>
    'repeat' in step ? Array.from({ length: step.repeat }, () => step.steps).flat() : [step],
  )
