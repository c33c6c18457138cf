import { cellLevel, phaseAt } from '../../src/port/chart.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { inputBit } from '../../src/port/pins.ts'
import type { Input, Level, Pin } from '../../src/port/pins.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import type { limits } from './play.ts'

interface Times {
  readonly edgeSpacingNs: number
  readonly sampleAfterEdgeNs: number
  readonly replyNs: number
  readonly idleResetNs: number
  readonly riseNs: number
}

/** The middle of all ranges, in whole ns. */
export function middlesOf({ spacing, sample, reply, idle, rise }: ReturnType<typeof limits>): Times {
  const middle = ({ minNs, maxNs }: { minNs: number; maxNs: number }): number =>
    Math.floor((minNs + maxNs) / 2)
  return {
    edgeSpacingNs: middle(spacing),
    sampleAfterEdgeNs: middle(sample),
    replyNs: middle(reply),
    idleResetNs: middle(idle),
    riseNs: middle(rise),
  }
}

/**
 * What a title sees of a held input with steady repeat, worked out anew for every sample from the whole history of select: no engine, no
 * runner, and nothing of `src/bench`. `times` are the same all along.
 *
 * @returns pressed or released for each sample of each frame
 */
export function samplesByHand(
  profile: Profile,
  title: ShortTitle,
  times: Times,
  input: Input,
  afterResets: number,
  frames: number,
): boolean[][] {
  const lengthNs = frameNs(title.standard)
  const starts = Array.from({ length: frames }, (_, frame) =>
    title.readOffsetsNs.map((offset) => frame * lengthNs + offset + Math.floor(title.readJitterNs / 2)),
  )

  // Falls as they are written; a rise comes later where it is released, and not at all where a fall comes by then.
  const falls: number[] = []
  const wantedRises: number[] = []
  for (const start of starts.flat()) {
    for (let cycle = 0; cycle < title.cyclesPerRead; cycle++) {
      const high = start + 2 * cycle * times.edgeSpacingNs
      falls.push(high + times.edgeSpacingNs)
      wantedRises.push((title.rest === 'low' ? high : high + 2 * times.edgeSpacingNs) + times.riseNs)
    }
  }
  const writtenAt = (rise: number) => rise - times.riseNs
  const rises = wantedRises.filter((rise) => !falls.some((fall) => fall > writtenAt(rise) && fall <= rise))

  const asked = profile.repeat[input]
  const repeat = asked?.kind === 'reads' ? asked : null
  const at = (sampleNs: number): { rises: number; level: Level; resets: number } => {
    const seenNs = sampleNs - times.replyNs
    const before = rises.filter((rise) => rise <= seenNs)
    let count = 0
    let resets = 0
    before.forEach((rise, k) => {
      const last = before[k - 1]
      if (last !== undefined && rise - last >= times.idleResetNs) {
        resets += 1
        count = 0
      }
      count += 1
    })
    const last = before[before.length - 1] ?? -Infinity
    if (seenNs - last >= times.idleResetNs && before.length > 0) {
      resets += 1
      count = 0
    }
    const lastFall = Math.max(-Infinity, ...falls.filter((fall) => fall <= seenNs))
    const level =
      before.length === 0 && lastFall === -Infinity ? title.rest : last > lastFall ? 'high' : 'low'
    return { rises: count, level, resets }
  }
  const isLow = (pin: Pin, sampleNs: number): boolean => {
    const { rises: count, level, resets } = at(sampleNs)
    const reads = resets - afterResets
    const isPressed =
      reads >= 0 &&
      (repeat === null || reads % (repeat.pressedReads + repeat.releasedReads) < repeat.pressedReads)
    return cellLevel(phaseAt(profile.chart, count, level)[pin], isPressed ? inputBit(input) : 0) === 'low'
  }

  return starts.map((reads) =>
    reads.flatMap((start) => {
      const sampleNs = ({ cycle, level }: { cycle: number; level: Level }) =>
        start + (2 * cycle - (level === 'high' ? 2 : 1)) * times.edgeSpacingNs + times.sampleAfterEdgeNs
      const { sixButtons } = title
      const six =
        sixButtons.kind === 'assumed' ||
        (sixButtons.kind === 'identified' &&
          sixButtons.lowPins.every((pin) => isLow(pin, sampleNs(sixButtons))))
      return title.samples
        .filter(({ when, pins }) => (six || when === 'always') && Object.values(pins).includes(input))
        .sort((p, q) => sampleNs(p) - sampleNs(q))
        .map((sample) =>
          ([1, 2, 3, 4, 6, 9] as const).some(
            (pin) => sample.pins[pin] === input && isLow(pin, sampleNs(sample)),
          ),
        )
    }),
  )
}
