import { waitLaw } from './law.ts'
import type { Law, Stretch } from './law.ts'

/** A sample since its frame began, in ns, where its read is not late, and the read that it belongs to: samples of one read share their jitter. */
export interface WaitedSample {
  readonly atNs: number
  readonly read: number
}

/** Samples frame by frame, of a pattern of frames that comes again and again; one sample of the least. */
export type SamplePattern = readonly (readonly WaitedSample[])[]

/** A sample since the pattern began. */
interface Placed extends WaitedSample {
  readonly frame: number
}

/** In order of time, each instant once, with the sample before it; that of the first is the last, a period earlier. */
function placed(pattern: SamplePattern, frameNs: number): { sample: Placed; before: Placed }[] {
  const samples = pattern
    .flatMap((frame, k) => frame.map(({ atNs, read }) => ({ atNs: k * frameNs + atNs, read, frame: k })))
    .sort((p, q) => p.atNs - q.atNs)
    .filter(({ atNs }, k, all) => atNs !== all[k - 1]?.atNs)
  const last = samples[samples.length - 1] as Placed
  const earlier = { ...last, atNs: last.atNs - pattern.length * frameNs, frame: last.frame - pattern.length }
  return samples.map((sample, k) => ({ sample, before: samples[k - 1] ?? earlier }))
}

/** From any moment to the next sample. Each read begins up to `jitterNs` late. */
export function waitForSample(pattern: SamplePattern, frameNs: number, jitterNs: number): Law {
  const stretches = placed(pattern, frameNs).map(({ sample, before }): Stretch => {
    const together = sample.frame === before.frame && sample.read === before.read
    return {
      shortest: { ns: 0, moved: 'not' },
      longest: { ns: sample.atNs - before.atNs, moved: together ? 'not' : 'both-ways' },
    }
  })
  return waitLaw(pattern.length * frameNs, jitterNs, stretches)
}

/**
 * From any moment to the beginning of the frame after the next sample. Only the last sample of a frame matters in the end: of the
 * others, the one's longest wait is the shortest of the one before it, and both fall out of the sum.
 */
export function waitForFrame(pattern: SamplePattern, frameNs: number, jitterNs: number): Law {
  const stretches = placed(pattern, frameNs).map(({ sample, before }): Stretch => {
    const shownNs = (sample.frame + 1) * frameNs
    return {
      shortest: { ns: shownNs - sample.atNs, moved: 'shorter' },
      longest: { ns: shownNs - before.atNs, moved: 'shorter' },
    }
  })
  return waitLaw(pattern.length * frameNs, jitterNs, stretches)
}
