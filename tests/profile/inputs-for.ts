import type { ControlMask } from '../../src/pad/controls.ts'
import type { InputMask } from '../../src/port/pins.ts'
import { inputsThrough } from '../../src/profile/held-controls.ts'
import { LayersOn } from '../../src/profile/layers.ts'
import type { Profile } from '../../src/profile/schema.ts'

/** The inputs that controls ask for when all of them are pressed at once and nothing was before. Chords are left out. */
export const inputsFor = (
  { mapping, layers }: Pick<Profile, 'mapping' | 'layers'>,
  held: ControlMask,
): InputMask => inputsThrough(mapping, new LayersOn(layers).pass(held), held)
