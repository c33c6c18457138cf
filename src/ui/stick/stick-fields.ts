import type { StickSettings } from '../../pad/stick/settings.ts'
import type { Profile } from '../../profile/schema.ts'

/** The numbers of a stick that the user sets. */

export type StickSide = keyof Profile['sticks']
export type StickShare = Exclude<keyof StickSettings, 'gate'>

export interface ShareField {
  readonly key: StickShare
  readonly label: string
  readonly hint: string
  /** As the schema has them. */
  readonly min: number
  readonly max: number
}

export const SHARE_FIELDS: readonly ShareField[] = [
  {
    key: 'innerPercent',
    label: 'Inner limit',
    hint: 'Pressed from so much of the way to the outer limit on.',
    min: 5,
    max: 95,
  },
  {
    key: 'outerPercent',
    label: 'Outer limit',
    hint: 'The whole way: a worn stick does not come to its end.',
    min: 20,
    max: 100,
  },
  {
    key: 'diagonalPercent',
    label: 'Share of the diagonals',
    hint: 'At 0 there are four directions only.',
    min: 0,
    max: 90,
  },
  {
    key: 'hysteresisPercent',
    label: 'Hysteresis',
    hint: 'So much movement never makes it chatter.',
    min: 1,
    max: 50,
  },
]

/** A slider's value, kept where the other settings leave room: the hysteresis is smaller than the inner limit. */
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
    `the ${side} stick`,
    (profile) => ({
      ...profile,
      sticks: { ...profile.sticks, [side]: { ...profile.sticks[side], ...part } },
    }),
    group,
  )
