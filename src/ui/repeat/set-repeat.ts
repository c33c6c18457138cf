import { inputWord } from '../../port/input-texts.ts'
import type { Input } from '../../port/pins.ts'
import { LIMITS } from '../../profile/schema.ts'
import type { Profile, Repeat } from '../../profile/schema.ts'
import { t } from './repeat-texts.ts'

interface Editor {
  editProfile(label: string, change: (profile: Profile) => unknown, group?: string | null): string | null
}

/**
 * Sets the auto-repeat of an input, or ends it, in one step for undo; gives the sentence of a refusal.
 *
 * @param group steps of one group that follow closely become one
 */
export const setRepeat = (
  editor: Editor,
  input: Input,
  repeat: Repeat | null,
  group: string | null = null,
): string | null =>
  editor.editProfile(
    t.step({ input: inputWord(input) }),
    (profile) => {
      const { [input]: _before, ...others } = profile.repeat
      return { ...profile, repeat: repeat ? { ...others, [input]: repeat } : others }
    },
    group,
  )

/** The two halves of a repeat, in whatever it counts: pressed, then released. */
export const halvesOf = (repeat: Repeat): readonly [number, number] =>
  repeat.kind === 'reads'
    ? [repeat.pressedReads, repeat.releasedReads]
    : [repeat.pressedMs, repeat.releasedMs]

export const repeatOf = (kind: Repeat['kind'], pressed: number, released: number): Repeat =>
  kind === 'reads'
    ? { kind, pressedReads: pressed, releasedReads: released }
    : { kind, pressedMs: pressed, releasedMs: released }

/** A read, where a title makes one a frame at about 60 Hz. */
const READ_MS = 1000 / 60

/** About the same repeat, counted otherwise. */
export function countedIn(kind: Repeat['kind'], repeat: Repeat): Repeat {
  if (kind === repeat.kind) return repeat
  const [pressed, released] = halvesOf(repeat).map((count) => {
    const other = kind === 'time' ? count * READ_MS : count / READ_MS
    return Math.max(1, Math.min(LIMITS.repeatSteps, Math.round(other)))
  })
  return repeatOf(kind, pressed ?? 1, released ?? 1)
}
