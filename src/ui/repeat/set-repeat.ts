import { inputWord } from '../../bench/words.ts'
import type { Input } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'

interface Editor {
  editProfile(label: string, change: (profile: Profile) => unknown): string | null
}

/** Sets or ends the steady repeat of an input, in one step for undo; gives the sentence of a refusal. */
export const setRepeat = (
  editor: Editor,
  input: Input,
  rate: Profile['repeat'][Input] | null,
): string | null =>
  editor.editProfile(`steady repeat of ${inputWord(input)}`, (profile) => {
    const { [input]: _before, ...others } = profile.repeat
    return { ...profile, repeat: rate ? { ...others, [input]: rate } : others }
  })
