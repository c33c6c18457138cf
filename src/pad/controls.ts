/**
 * What the player's hands find on a modern pad, by place and not by what is printed on it.
 * The first seventeen follow the order of the W3C Gamepad standard layout; stick directions count as controls too.
 * The order is the bit order of a {@link ControlMask} and is part of the image: append, never reorder.
 */
export const CONTROLS = [
  'face-south',
  'face-east',
  'face-west',
  'face-north',
  'shoulder-left',
  'shoulder-right',
  'trigger-left',
  'trigger-right',
  'centre-left',
  'centre-right',
  'stick-left-press',
  'stick-right-press',
  'dpad-up',
  'dpad-down',
  'dpad-left',
  'dpad-right',
  'centre',
  'stick-left-up',
  'stick-left-down',
  'stick-left-left',
  'stick-left-right',
  'stick-right-up',
  'stick-right-down',
  'stick-right-left',
  'stick-right-right',
  'extra-1',
  'extra-2',
  'extra-3',
  'extra-4',
  'extra-5',
  'extra-6',
  'extra-7',
] as const
export type Control = (typeof CONTROLS)[number]

/** Thirty-two controls as an unsigned 32-bit number, bit `k` for `CONTROLS[k]`; 1 is held. */
export type ControlMask = number

const bitOfControl = new Map<Control, number>(CONTROLS.map((control, k) => [control, (1 << k) >>> 0]))

export const controlBit = (control: Control): ControlMask => bitOfControl.get(control) as number

/** The controls of a list as one unsigned mask. */
export const controlMask = (controls: Iterable<Control>): ControlMask => {
  let mask = 0
  for (const control of controls) mask |= controlBit(control)
  return mask >>> 0
}

/** The controls in a mask, in canonical order. */
export const controlsIn = (mask: ControlMask): Control[] => CONTROLS.filter((_, k) => (mask >>> k) & 1)
