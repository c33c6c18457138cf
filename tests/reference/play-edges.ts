import type { Chart, Cycle } from '../../src/port/chart.ts'
import type { Level } from '../../src/port/pins.ts'

/** One way in which a line can have been played. */
export interface Played {
  readonly chart: Chart
  readonly startLevel: Level
  readonly edgesNs: readonly number[]
  /** Rises counted before the line, and when they are forgotten. */
  readonly counted: number
  readonly forgottenAtNs: number
  /** From each rise of the line to its idle reset. */
  readonly resetsNs: readonly number[]
}

/** Which cycle answers at the beginning of each phase, counted rise by rise as a pad does: nothing here knows of sets or ranges. */
export function playEdges({
  chart,
  startLevel,
  edgesNs,
  counted,
  forgottenAtNs,
  resetsNs,
}: Played): (Cycle | undefined)[] {
  const { cycles, after } = chart
  let count = counted
  let forgetAtNs = forgottenAtNs
  let rises = 0
  let isHigh = startLevel === 'high'
  return edgesNs.map((atNs) => {
    if (atNs >= forgetAtNs) {
      count = 0
      forgetAtNs = Infinity
    }
    isHigh = !isHigh
    if (isHigh) {
      count++
      forgetAtNs = atNs + (resetsNs[rises++] ?? NaN)
    }
    if (count < cycles.length) return cycles[count]
    return after.kind === 'stay' ? after.reply : cycles[count % cycles.length]
  })
}

/** Every way in which a line can be played: of times between the same two edges one stands for all. */
export function* everyPlay(
  { chart, startLevel, edgesNs }: Pick<Played, 'chart' | 'startLevel' | 'edgesNs'>,
  counts: readonly number[],
  risenByNs: number,
  reset: { readonly minNs: number; readonly maxNs: number },
): Generator<Played> {
  const risesAtNs = edgesNs.filter((_, k) => (startLevel === 'low') === (k % 2 === 0))
  const latestNs = risenByNs + reset.maxNs
  const firstNs = edgesNs[0] ?? 0
  // A reset that has come by an edge, or comes right after it.
  const forgets = [Math.min(firstNs, latestNs), ...edgesNs.map((ns) => ns + 1)].filter((ns) => ns <= latestNs)
  const choices = risesAtNs.map((riseNs) => [
    reset.minNs,
    ...edgesNs
      .filter((ns) => ns >= riseNs)
      .map((ns) => ns - riseNs + 1)
      .filter((ns) => ns > reset.minNs && ns <= reset.maxNs),
  ])
  let resets: number[][] = [[]]
  for (const choice of choices) resets = resets.flatMap((before) => choice.map((one) => [...before, one]))
  for (const counted of counts)
    for (const forgottenAtNs of counted === 0 ? [Infinity] : forgets)
      for (const resetsNs of resets) yield { chart, startLevel, edgesNs, counted, forgottenAtNs, resetsNs }
}
