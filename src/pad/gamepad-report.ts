import { AXIS_FULL } from './extract.ts'

/**
 * A pad that only the browser's Gamepad API shows, made to look like one that sends reports: 64 bytes, sixteen axes of 16 bits
 * (−32767 … 32767, or {@link AXIS_NOTHING}; the least significant byte first), then thirty-two buttons of 8 bits (0 … 255). One learn flow and one
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

/**
 * An axis that stands nowhere. Browsers show the hat of a pad without standard mapping as an axis: −1 is up, then clockwise in
 * steps of 2/7, and while nothing is held a value beyond 1, about 1.28 (from memory).
 */
export const AXIS_NOTHING = -AXIS_FULL - 1
/** Beyond this an axis stands nowhere; up to this it is a stick whose range was measured badly. Ours. */
const AXIS_MOST = 1.1

const kept = (value: number, least: number): number => Math.max(least, Math.min(1, value))

const axisValue = (value: number): number =>
  Math.abs(value) <= AXIS_MOST ? Math.round(kept(value, -1) * AXIS_FULL) : AXIS_NOTHING

/** The report. Axes and buttons beyond its room are left out; those that the pad has not rest. */
export function gamepadReport({ buttons, axes }: GamepadState): Uint8Array {
  const bytes = new Uint8Array(2 * GAMEPAD_AXES + GAMEPAD_BUTTONS)
  const view = new DataView(bytes.buffer)
  axes.slice(0, GAMEPAD_AXES).forEach((value, k) => {
    view.setInt16(axisBit(k) / 8, axisValue(value), true)
  })
  buttons.slice(0, GAMEPAD_BUTTONS).forEach(({ pressed, value }, k) => {
    // Each browser has its own idea of when an analogue button counts as pressed: where there is a value, it decides.
    const amount = value > 0 ? kept(value, 0) : Number(pressed)
    view.setUint8(buttonBit(k) / 8, Math.round(amount * BUTTON_FULL))
  })
  return bytes
}
