import { CABLE_NS } from '../port/cable.ts'
import { isSameRange } from '../port/range.ts'
import type { RangeNs } from '../port/range.ts'
import type { Profile } from '../profile/schema.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { atLeastNs, atMostNs } from '../title/tolerance.ts'
import type { CabledAdapter, StatedAdapter } from './judgement.ts'

/**
 * What is in doubt when a title reads the port, apart from its own times, which stand in its schedule; each as a range. Within it every single
 * edge, sample, reply, reset and read may take its own value, whatever the others take: nothing is assumed to drift together.
 */
export interface Box {
  /** From what select does at the pad, resets included, to all six pins at the console: both ways through the cable are in it. */
  readonly reply: RangeNs
  /** From a rise to the idle reset. */
  readonly idleReset: RangeNs
  /** From the release of select to its rise; `null` where it is driven. */
  readonly rise: RangeNs | null
}

/** From an edge at the adapter's connector to the pins there, with the profile's deliberate delay. */
export const replyRange = (
  { delayNs }: Pick<Profile, 'delayNs'>,
  { replyNs, delayStretch }: StatedAdapter,
): RangeNs => ({
  minNs: replyNs.minNs + delayNs,
  maxNs: replyNs.maxNs + delayNs * (1 + delayStretch),
})

/** The same at the console's end of the cable. */
export function replyAtConsole(profile: Pick<Profile, 'delayNs'>, adapter: CabledAdapter): RangeNs {
  const { minNs, maxNs } = replyRange(profile, adapter)
  const cable = CABLE_NS[adapter.cable]
  return { minNs: minNs + cable.minNs, maxNs: maxNs + cable.maxNs }
}

/**
 * From a rise to the idle reset, with the adapter's clock as far off as it may be. What an adapter states is seen at its connector, where
 * every reset shows a reply time after it was counted; so it can be counted that much sooner.
 */
export const idleResetRange = (
  { idleResetNs }: Pick<Profile, 'idleResetNs'>,
  { idleResetNs: late, clockPpm, replyNs }: StatedAdapter,
): RangeNs => ({
  minNs: atLeastNs(idleResetNs, clockPpm) + late.minNs - replyNs.minNs,
  maxNs: atMostNs(idleResetNs, clockPpm) + late.maxNs,
})

export const boxOf = (
  profile: Pick<Profile, 'delayNs' | 'idleResetNs'>,
  title: Title,
  adapter: CabledAdapter,
): Box => ({
  reply: replyAtConsole(profile, adapter),
  idleReset: idleResetRange(profile, adapter),
  rise: scheduleOf(title).rise,
})

export const isSameBox = (one: Box, other: Box): boolean =>
  isSameRange(one.reply, other.reply) &&
  isSameRange(one.idleReset, other.idleReset) &&
  isSameRange(one.rise, other.rise)
