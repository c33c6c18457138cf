import type { Control } from '../../pad/controls.ts'

/** The keyboard as a pad, by the place of the keys (`KeyboardEvent.code`), so that it suits every layout. */
export const KEYBOARD_PAD: ReadonlyMap<string, Control> = new Map([
  ['ArrowUp', 'dpad-up'],
  ['ArrowDown', 'dpad-down'],
  ['ArrowLeft', 'dpad-left'],
  ['ArrowRight', 'dpad-right'],
  ['KeyZ', 'face-west'],
  ['KeyX', 'face-south'],
  ['KeyC', 'face-east'],
  ['KeyA', 'shoulder-left'],
  ['KeyS', 'face-north'],
  ['KeyD', 'shoulder-right'],
  ['KeyQ', 'centre-left'],
  ['KeyE', 'centre-right'],
])

/** Marks an element whose keys belong to the pad while the focus is in it. */
export const PLAYS = 'data-plays'

/**
 * Whether a key press at `target` may play the pad: nothing is focused that has a use for keys of its own, or the
 * focus is where the pad is played.
 */
export function playsPad(target: EventTarget | null): boolean {
  if (!(target instanceof Element)) return false
  if (target.closest(`[${PLAYS}]`)) return true
  return target === document.body || target === document.documentElement || target.localName === 'main'
}
