import { frameNs } from '../../../src/port/clocks.ts'
import type { RangeNs } from '../../../src/port/range.ts'
import type { Title } from '../../../src/title/schema.ts'
import { edgesOf, random } from './simulate.ts'
import type { Edges } from './simulate.ts'

/**
 * The select line of a title that stays in its last mode, from its steps as READ.md has them, each time drawn from its range. Written from
 * that page alone.
 *
 * @throws where it would need more than that: conditions, repeats, reads that no frame ties or that come every n-th frame
 */
export function driveTitle(
  title: Title,
  { frames, ppm = 0, seed = 1 }: { readonly frames: number; readonly ppm?: number; readonly seed?: number },
): Edges {
  const next = random(seed)
  const draw = ({ minNs, maxNs }: RangeNs) => minNs + Math.floor(next() * (maxNs - minNs + 1))
  const frame = frameNs(title.standard) * (1 + ppm / 1e6)
  const turns = (title.modes.at(-1)?.reads ?? [])
    .flatMap(({ starts, steps, stretch }) => {
      if (starts.kind !== 'frame' || starts.everyFrames !== 1 || stretch) throw new Error('no such read here')
      return starts.offsetsNs.map((offsetNs) => ({ offsetNs, late: starts.late, steps }))
    })
    .sort((p, q) => p.offsetNs - q.offsetNs)
  const line = new Line(title.idle)
  for (let k = 0; k < frames; k++)
    for (const { offsetNs, late, steps } of turns) {
      let atNs = Math.round(k * frame + offsetNs * (1 + ppm / 1e6)) + draw(late)
      let edgeNs = atNs
      for (const step of steps) {
        if ('repeat' in step) throw new Error('no repeats here')
        atNs = (step.since === 'edge' ? edgeNs : atNs) + draw(step.after)
        if (!('select' in step)) continue
        if (step.when !== 'always') throw new Error('no conditions here')
        const riseNs = step.select === 'release' && title.rise ? draw(title.rise) : 0
        line.write(step.select === 'low' ? '0' : '1', atNs, riseNs)
        if (step.waits) atNs += riseNs
        edgeNs = atNs
      }
    }
  return edgesOf(line.changes, Math.round(frames * frame))
}

class Line {
  readonly changes: [number, string][]

  constructor(idle: 'high' | 'low') {
    this.changes = [[0, idle === 'high' ? '1' : '0']]
  }

  /** A fall takes back a rise that has not come yet. */
  write(level: '0' | '1', atNs: number, riseNs: number): void {
    const last = this.changes.at(-1)
    if (level === '0' && last && last[0] >= atNs) this.changes.pop()
    if (this.changes.at(-1)?.[1] !== level) this.changes.push([atNs + riseNs, level])
  }
}
