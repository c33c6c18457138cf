import type { Span } from './waves.ts'

/** Time along the paper: where an instant stands, in px. */
export interface Scale extends Span {
  readonly begin: number
  readonly end: number
  readonly at: (ns: number) => number
}

export function scaleOf(span: Span, begin: number, end: number): Scale {
  const perNs = (end - begin) / (span.untilNs - span.fromNs)
  return { ...span, begin, end, at: (ns) => Math.round((begin + (ns - span.fromNs) * perNs) * 10) / 10 }
}

export interface Tick {
  readonly atNs: number
  readonly word: string
}

/** Round instants, the start of the read among them where it is shown, at least so many px apart. */
export function ticksOf({ fromNs, untilNs, begin, end }: Scale, roomPx: number): Tick[] {
  const wantedNs = ((untilNs - fromNs) / (end - begin)) * roomPx
  const power = 10 ** Math.floor(Math.log10(wantedNs))
  const stepNs = Math.max(1, [1, 2, 5, 10].map((step) => step * power).find((step) => step >= wantedNs) ?? 0)
  const decimals = Math.max(0, 3 - Math.floor(Math.log10(stepNs) + 1e-9))
  const first = Math.ceil(fromNs / stepNs)
  const count = Math.floor(untilNs / stepNs) - first + 1
  return Array.from({ length: count }, (_, k) => {
    const atNs = Math.round((first + k) * stepNs)
    return { atNs, word: (atNs / 1_000).toFixed(decimals).replace('-', '−') }
  })
}
