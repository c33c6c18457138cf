import { waitLaw } from './law.ts'
import type { Law, Stretch } from './law.ts'

/** A look since its frame began, in ns, where its read is not late, and the read that it belongs to: looks of one read share their jitter. */
export interface WaitedLook {
  readonly atNs: number
  readonly read: number
}

/** Looks frame by frame, of a pattern of frames that comes again and again; one look at the least. */
export type LookPattern = readonly (readonly WaitedLook[])[]

/** A look since the pattern began. */
interface Placed extends WaitedLook {
  readonly frame: number
}

/** In order of time, each instant once, with the look before it; that of the first is the last, a period earlier. */
function placed(pattern: LookPattern, frameNs: number): { look: Placed; before: Placed }[] {
  const looks = pattern
    .flatMap((frame, k) => frame.map(({ atNs, read }) => ({ atNs: k * frameNs + atNs, read, frame: k })))
    .sort((p, q) => p.atNs - q.atNs)
    .filter(({ atNs }, k, all) => atNs !== all[k - 1]?.atNs)
  const last = looks[looks.length - 1] as Placed
  const earlier = { ...last, atNs: last.atNs - pattern.length * frameNs, frame: last.frame - pattern.length }
  return looks.map((look, k) => ({ look, before: looks[k - 1] ?? earlier }))
}

/** From any moment to the next look. Each read begins up to `jitterNs` late. */
export function waitForLook(pattern: LookPattern, frameNs: number, jitterNs: number): Law {
  const stretches = placed(pattern, frameNs).map(({ look, before }): Stretch => {
    const together = look.frame === before.frame && look.read === before.read
    return {
      shortest: { ns: 0, moved: 'not' },
      longest: { ns: look.atNs - before.atNs, moved: together ? 'not' : 'both-ways' },
    }
  })
  return waitLaw(pattern.length * frameNs, jitterNs, stretches)
}

/**
 * From any moment to the beginning of the frame after the next look. Only the last look of a frame matters in the end: of the
 * others, the one's longest wait is the shortest of the one before it, and both fall out of the sum.
 */
export function waitForFrame(pattern: LookPattern, frameNs: number, jitterNs: number): Law {
  const stretches = placed(pattern, frameNs).map(({ look, before }): Stretch => {
    const shownNs = (look.frame + 1) * frameNs
    return {
      shortest: { ns: shownNs - look.atNs, moved: 'shorter' },
      longest: { ns: shownNs - before.atNs, moved: 'shorter' },
    }
  })
  return waitLaw(pattern.length * frameNs, jitterNs, stretches)
}
