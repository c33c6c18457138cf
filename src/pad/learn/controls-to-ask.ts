import type { StickSide } from '../hold.ts'
import type { Control } from '../controls.ts'

/** One thing that the user is asked to do. */
export type Ask =
  /** Press one control and let go. */
  | { readonly kind: 'press'; readonly control: Control }
  /** Push a stick one way and let go. */
  | { readonly kind: 'push'; readonly stick: StickSide; readonly way: 'up' | 'right' }
  /** Roll it round its edge a few times. */
  | { readonly kind: 'roll'; readonly stick: StickSide }

const press = (control: Control): Ask => ({ kind: 'press', control })
const stick = (side: StickSide): Ask[] => [
  { kind: 'push', stick: side, way: 'up' },
  { kind: 'push', stick: side, way: 'right' },
  { kind: 'roll', stick: side },
]

/** What is asked, in this order: what the port's directions, three and six buttons need comes first, so that whoever stops early can play. */
export const ASKS: readonly Ask[] = [
  ...(['dpad-up', 'dpad-down', 'dpad-left', 'dpad-right'] as const).map(press),
  ...(['face-south', 'face-east', 'face-west', 'face-north'] as const).map(press),
  ...(['centre-right', 'centre-left', 'shoulder-left', 'shoulder-right'] as const).map(press),
  ...(['trigger-left', 'trigger-right'] as const).map(press),
  ...stick('left'),
  ...stick('right'),
  ...(['stick-left-press', 'stick-right-press', 'centre'] as const).map(press),
  ...(['extra-1', 'extra-2', 'extra-3', 'extra-4', 'extra-5', 'extra-6', 'extra-7'] as const).map(press),
]
