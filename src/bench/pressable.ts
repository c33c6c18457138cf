import type { Input } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'

/** Whether any control presses this input. */
export const isPressable = (profile: Profile, input: Input): boolean =>
  profile.mapping[input].length > 0 || profile.layers.some((layer) => (layer.mapping[input]?.length ?? 0) > 0)
