import type { Control } from '../pad/controls.ts'
import { USUAL_STICK } from '../pad/stick/settings.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CHART, USUAL_IDLE_RESET_NS } from '../port/family.ts'
import type { Input } from '../port/pins.ts'
import { PROFILE_FORMAT, PROFILE_VERSION } from './schema.ts'
import type { Mapping, Profile } from './schema.ts'

/**
 * The profiles everybody starts from. Opposite directions pass as held, so that the bare port shows; buttons stand
 * where the hand expects them: A B C on the lower row, X Y Z above.
 */

const THREE_BUTTON_MAPPING: Mapping = {
  up: ['dpad-up', 'stick-left-up'],
  down: ['dpad-down', 'stick-left-down'],
  left: ['dpad-left', 'stick-left-left'],
  right: ['dpad-right', 'stick-left-right'],
  a: ['face-west'],
  b: ['face-south'],
  c: ['face-east'],
  start: ['centre-right'],
  x: [],
  y: [],
  z: [],
  mode: [],
}

const SIX_BUTTON_MAPPING: Mapping = {
  ...THREE_BUTTON_MAPPING,
  x: ['shoulder-left'],
  y: ['face-north'],
  z: ['shoulder-right'],
  mode: ['centre-left'],
}

const PLAIN = {
  format: PROFILE_FORMAT,
  version: PROFILE_VERSION,
  family: 'select-line',
  sticks: { left: USUAL_STICK, right: USUAL_STICK },
  layers: [],
  chords: [],
  opposite: { vertical: 'as-held', horizontal: 'as-held' },
  repeat: {},
  powerOn: [],
  bankChange: [],
  idleResetNs: USUAL_IDLE_RESET_NS,
  delayNs: 0,
} as const

/** The controls that stand for Mode in a mapping, as a power-on chord. */
const modeHeld = (mapping: Record<Input, readonly Control[]>): Control[] => mapping.mode.slice(0, 1)

const threeButton: Profile = {
  ...PLAIN,
  name: 'Three buttons',
  notes: 'One cycle, answered for ever. Every title that knows three buttons reads it.',
  mapping: THREE_BUTTON_MAPPING,
  chart: THREE_BUTTON_CHART,
}

const sixButton: Profile = {
  ...PLAIN,
  name: 'Six buttons',
  notes:
    'Four cycles: identification in the third low, X Y Z Mode in the fourth high, then three-button replies.',
  mapping: SIX_BUTTON_MAPPING,
  // Common practice, no source: Mode held while power comes on keeps the pad on its first cycle.
  powerOn: [{ held: modeHeld(SIX_BUTTON_MAPPING), then: { kind: 'first-cycle-only' } }],
  chart: SIX_BUTTON_CHART,
}

const sixButtonOneCycle: Profile = {
  ...PLAIN,
  name: 'Six buttons, one cycle',
  notes: 'A six-button pad kept on its first cycle, as with Mode held at power-on: X, Y, Z and Mode rest.',
  mapping: SIX_BUTTON_MAPPING,
  chart: THREE_BUTTON_CHART,
}

/** Starting profiles by the names that the command line and the app know them by. */
export const BUILT_IN_PROFILES = {
  'three-button': threeButton,
  'six-button': sixButton,
  'six-button-one-cycle': sixButtonOneCycle,
} as const satisfies Record<string, Profile>

export type BuiltInName = keyof typeof BUILT_IN_PROFILES

export const isBuiltIn = (name: string): name is BuiltInName => Object.hasOwn(BUILT_IN_PROFILES, name)
