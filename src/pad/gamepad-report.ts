import { AXIS_FULL } from './extract.ts'

/**
 * A pad that only the browser's Gamepad API shows, made to look like one that sends reports: 64 bytes, sixteen axes of 16 bits
 * (−32767 … 32767, the least significant byte first), then thirty-two buttons of 8 bits (0 … 255). One learn flow and one
 * kind of extractor do for all pads.
 */

/** The part of a browser's `Gamepad` that is looked at. */
export interface GamepadState {
  readonly buttons: readonly { readonly pressed: boolean; readonly value: number }[]
  readonly axes: readonly number[]
}

export const GAMEPAD_AXES = 16
export const GAMEPAD_BUTTONS = 32
export const BUTTON_FULL = 255

/** Offset of an axis' first bit. */
export const axisBit = (axis: number): number => 16 * axis
/** Offset of a button's first bit. */
export const buttonBit = (button: number): number => 16 * GAMEPAD_AXES + 8 * button

/** A number from the browser, kept within bounds; what is no number is 0. */
const within = (value: number, least: number): number =>
  Number.isNaN(value) ? 0 : Math.max(least, Math.min(1, value))

/** The report. Axes and buttons beyond its room are left out; those that the pad has not rest. */
export function gamepadReport({ buttons, axes }: GamepadState): Uint8Array {
  const bytes = new Uint8Array(2 * GAMEPAD_AXES + GAMEPAD_BUTTONS)
  const view = new DataView(bytes.buffer)
  axes.slice(0, GAMEPAD_AXES).forEach((value, k) => {
    view.setInt16(axisBit(k) / 8, Math.round(within(value, -1) * AXIS_FULL), true)
  })
  buttons.slice(0, GAMEPAD_BUTTONS).forEach(({ pressed, value }, k) => {
    // Each browser has its own idea of when an analogue button counts as pressed: where there is a value, it decides.
    const amount = value > 0 ? within(value, 0) : Number(pressed)
    view.setUint8(buttonBit(k) / 8, Math.round(amount * BUTTON_FULL))
  })
  return bytes
}
