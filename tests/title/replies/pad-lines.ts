import { writeVcd } from '../../../src/title/vcd/write.ts'

/**
 * An original pad behind a select line, as port-facts has it (DEVELOPERS.md, "What is true on the wire": common practice, no source). Nothing of
 * `src/port` is in it: the table is written out once more, each rise is counted in order of time, and each line is worked out by itself.
 */
export interface OriginalPad {
  readonly kind: 'three' | 'six-stay' | 'six-again'
  readonly replyNs: number
  readonly idleResetNs: number
}

/** Names of what can be held; what is missing from a set is not. */
export type HeldSet = ReadonlySet<string>

export interface Hold {
  readonly fromNs: number
  readonly held: HeldSet
}

export interface Line {
  readonly startsHigh: boolean
  readonly edgesNs: readonly number[]
  readonly endNs: number
}

export const PIN_NAMES = ['1', '2', '3', '4', '6', '9'] as const

const HIGH = ['up', 'down', 'left', 'right', 'b', 'c']
const LOW = ['up', 'down', '0', '0', 'a', 'start']

function tableOf(kind: OriginalPad['kind'], rises: number, isHigh: boolean): readonly string[] {
  const n = kind === 'six-again' ? rises % 4 : rises
  if (kind !== 'three' && n === 2 && !isHigh) return ['0', '0', '0', '0', 'a', 'start']
  if (kind !== 'three' && n === 3)
    return isHigh ? ['z', 'y', 'x', 'mode', 'b', 'c'] : ['1', '1', '1', '1', 'a', 'start']
  return isHigh ? HIGH : LOW
}

export interface LineChange {
  readonly atNs: number
  readonly isHigh: boolean
}

/** When each data line changes; the first entry is what it begins with. */
export function padLines(pad: OriginalPad, line: Line, holds: readonly Hold[]): LineChange[][] {
  const seen: { atNs: number; rises: number; isHigh: boolean }[] = [
    { atNs: 0, rises: 0, isHigh: line.startsHigh },
  ]
  let rises = 0
  let isHigh = line.startsHigh
  let riseNs: number | null = null
  const forget = (byNs: number): void => {
    if (riseNs === null || riseNs + pad.idleResetNs > byNs) return
    rises = 0
    seen.push({ atNs: riseNs + pad.idleResetNs + pad.replyNs, rises, isHigh })
    riseNs = null
  }
  for (const atNs of line.edgesNs) {
    forget(atNs)
    isHigh = !isHigh
    if (isHigh) {
      rises++
      riseNs = atNs
    }
    seen.push({ atNs: atNs + pad.replyNs, rises, isHigh })
  }
  forget(line.endNs)
  const instants = [
    ...new Set([...seen, ...holds.map(({ fromNs }) => ({ atNs: fromNs }))].map(({ atNs }) => atNs)),
  ]
    .filter((ns) => ns >= 0 && ns <= line.endNs)
    .sort((a, b) => a - b)
  const lines: LineChange[][] = PIN_NAMES.map(() => [])
  let [s, h] = [0, -1]
  for (const atNs of instants) {
    while ((seen[s + 1]?.atNs ?? Infinity) <= atNs) s++
    while ((holds[h + 1]?.fromNs ?? Infinity) <= atNs) h++
    const now = seen[s] as (typeof seen)[number]
    const held = holds[h]?.held ?? new Set()
    tableOf(pad.kind, now.rises, now.isHigh).forEach((cell, pin) => {
      const level = cell === '1' || (cell !== '0' && !held.has(cell))
      const changes = lines[pin] as LineChange[]
      if (changes.at(-1)?.isHigh !== level) changes.push({ atNs, isHigh: level })
    })
  }
  return lines
}

/** What an analyser keeps that looks every so often, from 0 on; 0: as fine as a file can say. Times are cut to whole ns. */
export function sampledChanges(changes: readonly LineChange[], gridNs: number, endNs: number): LineChange[] {
  if (gridNs === 0) return [...changes]
  const kept: LineChange[] = []
  changes.forEach(({ atNs, isHigh }, k) => {
    const sample = Math.ceil(atNs / gridNs) * gridNs
    // What the line does between two samples shows nowhere.
    if (sample > endNs || sample >= (changes[k + 1]?.atNs ?? Infinity)) return
    if (kept.at(-1)?.isHigh !== isHigh) kept.push({ atNs: Math.floor(sample), isHigh })
  })
  return kept
}

export const selectChanges = ({ startsHigh, edgesNs }: Line): LineChange[] => [
  { atNs: 0, isHigh: startsHigh },
  ...edgesNs.map((atNs, k) => ({ atNs, isHigh: (k % 2 === 0) !== startsHigh })),
]

/** A dump of named lines. */
export function dumpLines(lines: ReadonlyMap<string, readonly LineChange[]>, endNs: number): string {
  const value = (isHigh: boolean) => (isHigh ? ('1' as const) : ('0' as const))
  return writeVcd({
    module: 'port',
    signals: [...lines.keys()],
    initial: Object.fromEntries([...lines].map(([name, [first]]) => [name, value(first?.isHigh ?? true)])),
    changes: [...lines]
      .flatMap(([signal, changes]) =>
        changes.slice(1).map(({ atNs, isHigh }) => ({ atNs, signal, value: value(isHigh) })),
      )
      .sort((p, q) => p.atNs - q.atNs),
    endNs,
  })
}

/** A capture of select and the six data lines. */
export function capturedPad(pad: OriginalPad, line: Line, holds: readonly Hold[], gridNs: number): string {
  const sampled = (changes: readonly LineChange[]) => sampledChanges(changes, gridNs, line.endNs)
  const data = padLines(pad, line, holds)
  return dumpLines(
    new Map([
      ['select', sampled(selectChanges(line))],
      ...PIN_NAMES.map((pin, k) => [`pin${pin}`, sampled(data[k] ?? [])] as const),
    ]),
    line.endNs,
  )
}
