import type { StickSide } from '../../pad/hold.ts'
import { STICK_LIMITS } from '../../pad/stick/settings.ts'
import type { StickSettings } from '../../pad/stick/settings.ts'
import type { Profile } from '../../profile/schema.ts'
import { t } from './stick-texts.ts'

/** The numbers of a stick that the user sets. */

export type StickShare = Exclude<keyof StickSettings, 'gate'>

export interface ShareField {
  readonly key: StickShare
  readonly min: number
  readonly max: number
}

export const SHARE_FIELDS: readonly ShareField[] = [
  { key: 'innerPercent', min: STICK_LIMITS.minInner, max: STICK_LIMITS.maxInner },
  { key: 'outerPercent', min: STICK_LIMITS.minOuter, max: STICK_LIMITS.maxOuter },
  { key: 'diagonalPercent', min: 0, max: STICK_LIMITS.maxDiagonal },
  { key: 'hysteresisPercent', min: STICK_LIMITS.minHysteresis, max: STICK_LIMITS.maxHysteresis },
]

/** A slider's value, kept where the other settings leave room: the hysteresis is smaller than the press threshold. */
export function withinReach(settings: StickSettings, key: StickShare, percent: number): number {
  switch (key) {
    case 'innerPercent':
      return Math.max(percent, settings.hysteresisPercent + 1)
    case 'hysteresisPercent':
      return Math.min(percent, settings.innerPercent - 1)
    default:
      return percent
  }
}

interface Editor {
  editProfile(label: string, change: (profile: Profile) => unknown, group?: string | null): string | null
}

/** Changes a stick of the open profile; steps of one group that follow closely are one for undo. Gives the sentence of a refusal. */
export const setStick = (
  editor: Editor,
  side: StickSide,
  part: { readonly [Key in keyof StickSettings]?: StickSettings[Key] },
  group: string | null = null,
): string | null =>
  editor.editProfile(
    t.step({ side }),
    (profile) => ({
      ...profile,
      sticks: { ...profile.sticks, [side]: { ...profile.sticks[side], ...part } },
    }),
    group,
  )
