import { controlMask } from '../pad/controls.ts'
import type { Control, ControlMask } from '../pad/controls.ts'
import type { Input } from '../port/pins.ts'
import { chordReach } from './chord-reach.ts'
import type { ChordReach } from './chord-reach.ts'
import type { Layer, Profile } from './schema.ts'

/** What can be pressed in a profile, worked out and not tried. */

/** A way to press an input: controls that pass while these toggled layers are on, or a chord with the times of its controls. */
export type WayToPress =
  | { readonly kind: 'controls'; readonly passing: ControlMask; readonly toggledOn: readonly number[] }
  | { readonly kind: 'chord'; readonly chord: number; readonly atMs: ReadonlyMap<Control, number> }

/** `never`: nothing that is held presses it. `unsure`: this was not worked out, so that nothing is said. */
export type Reach = WayToPress | 'never' | 'unsure'

const OPPOSITES: Partial<Record<Input, { readonly other: Input; readonly isFirst: boolean }>> = {
  up: { other: 'down', isFirst: true },
  down: { other: 'up', isFirst: false },
  left: { other: 'right', isFirst: true },
  right: { other: 'left', isFirst: false },
}

/** Everything in masks, once for a profile. */
export class Reachability {
  readonly #profile: Profile
  readonly #layers: readonly { readonly layer: Layer; readonly by: ControlMask; readonly bit: number }[]
  /** Every state that the toggled layers can be brought to, as bits of their places. */
  readonly #toggles: readonly number[]
  readonly #chords

  constructor(profile: Profile) {
    this.#profile = profile
    this.#layers = profile.layers.map((layer, k) => ({ layer, by: controlMask(layer.by), bit: 1 << k }))
    this.#toggles = toggleStates(this.#layers.filter(({ layer }) => layer.kind === 'toggled'))
    this.#chords = profile.chords.map(({ inputs }, k) => ({ inputs, reach: chordReach(profile.chords, k) }))
  }

  /** How an input can come to be pressed. */
  of(input: Input): Reach {
    const alone = this.#ways(input, true)
    if (alone !== 'never') return alone
    const opposite = OPPOSITES[input]
    const asked = opposite === undefined ? 'never' : this.#ways(input, false)
    if (opposite === undefined || asked === 'never') return 'never'
    // It is only ever asked for together with its opposite.
    const policy = this.#profile.opposite[input === 'up' || input === 'down' ? 'vertical' : 'horizontal']
    if (policy === 'as-held') return asked
    if (asked === 'unsure') return 'unsure'
    if (policy === 'neutral') return 'never'
    if (policy === 'first' && !opposite.isFirst) return 'never'
    const isTogether = this.#ways(opposite.other, true) === 'never'
    return isTogether && policy === 'last' && opposite.isFirst ? 'never' : 'unsure'
  }

  /** How the chord in that place can come on. */
  ofChord(place: number): ChordReach | undefined {
    return this.#chords[place]?.reach
  }

  /** Whether an input can be asked for while the layer in that place is on. */
  whileOn(input: Input, layer: number): boolean {
    const byChord = this.#chords.some(({ inputs, reach }) => inputs.includes(input) && reach !== 'impossible')
    return byChord || this.#byControls(input, null, 1 << layer) !== null
  }

  /** How it can be asked for, with its opposite left alone where that is wanted. */
  #ways(input: Input, alone: boolean): Reach {
    const other = alone ? (OPPOSITES[input]?.other ?? null) : null
    const way = this.#byControls(input, other, 0)
    if (way !== null) return way
    const chords = this.#chords.filter(
      ({ inputs }) => inputs.includes(input) && (other === null || !inputs.includes(other)),
    )
    for (const { reach } of chords)
      if (typeof reach !== 'string')
        return { kind: 'chord', chord: this.#chords.findIndex((one) => one.reach === reach), atMs: reach }
    return chords.some(({ reach }) => reach === 'unknown') ? 'unsure' : 'never'
  }

  /**
   * Controls that ask for `input` and not for `without`, with the layers of `mustBeOn` on. Every set of held layers and every state of the toggled ones
   * is gone through; what may pass in it is all but what would turn on another layer or ask for `without`.
   */
  #byControls(input: Input, without: Input | null, mustBeOn: number): WayToPress | null {
    const held = this.#layers.filter(({ layer }) => layer.kind === 'held')
    for (const toggled of this.#toggles) {
      for (let chosen = 0; chosen < 1 << held.length; chosen++) {
        const heldOn = held.reduce((bits, { bit }, k) => ((chosen >> k) & 1 ? bits | bit : bits), 0)
        const on = toggled | heldOn
        if ((on & mustBeOn) !== mustBeOn) continue
        let may = 0xffff_ffff
        for (const { by, bit } of held) if (!(on & bit)) may &= ~by
        if (without !== null) may &= ~this.#deciding(without, on)
        may >>>= 0
        const canBeOn = held.every(({ by, bit }) => !(on & bit) || (by & may) !== 0)
        if (canBeOn && (this.#deciding(input, on) & may) !== 0)
          return {
            kind: 'controls',
            passing: may,
            toggledOn: this.#layers.flatMap(({ bit }, k) => (toggled & bit ? [k] : [])),
          }
      }
    }
    return null
  }

  /** The controls that press an input while these layers are on. */
  #deciding(input: Input, on: number): ControlMask {
    const layer = this.#layers.findLast(({ layer, bit }) => on & bit && layer.mapping[input] !== undefined)
    return controlMask(layer?.layer.mapping[input] ?? this.#profile.mapping[input])
  }
}

/**
 * The states that toggled layers can be brought to. Controls that come one by one change each layer that one of them belongs to once; what is
 * changed by several goes is the sum of the goes.
 */
function toggleStates(layers: readonly { readonly by: ControlMask; readonly bit: number }[]): number[] {
  const goes = new Set<number>()
  for (let k = 0; k < 32; k++) {
    const go = layers.reduce((bits, { by, bit }) => ((by >>> k) & 1 ? bits | bit : bits), 0)
    for (const before of [...goes]) goes.add(before | go)
    goes.add(go)
  }
  const states = new Set([0])
  for (const go of goes) for (const state of [...states]) states.add(state ^ go)
  return [...states]
}
