import type { Control } from '../../pad/controls.ts'

/** What a rule asks the hands to do; rules for power-on know no time. */
export interface Chord {
  readonly held: readonly Control[]
  readonly forMs?: number
}

interface TimedChord extends Chord {
  readonly forMs: number
}

const comesFirst = (earlier: Chord, later: Chord): boolean =>
  earlier.held.every((control) => later.held.includes(control)) && (earlier.forMs ?? 0) <= (later.forMs ?? 0)

/**
 * The first rule of a list decides. For each rule the number (from 1) of an earlier one that is always met before it,
 * so that it never comes to its turn; `null` where there is none.
 */
export const overruledBy = (rules: readonly Chord[]): (number | null)[] =>
  rules.map((rule, k) => {
    const earlier = rules.slice(0, k).findIndex((other) => comesFirst(other, rule))
    return earlier === -1 ? null : earlier + 1
  })

/** The first of some usual chords that no rule of the list is in the way of. */
export function freeChord<Rule extends Chord>(
  rules: readonly Chord[],
  usual: readonly [Rule, ...Rule[]],
): Rule {
  return usual.find((chord) => !rules.some((rule) => comesFirst(rule, chord))) ?? usual[0]
}

const STEPS = ['dpad-right', 'dpad-left', 'dpad-up', 'dpad-down'] as const

/** Chords that hands reach and titles do not ask for. */
export const USUAL_BANK_CHORDS: readonly [TimedChord, ...TimedChord[]] = [
  { held: ['centre-left', 'dpad-right'], forMs: 2_000 },
  ...(['centre-left', 'centre', 'centre-right'] as const).flatMap((control) =>
    STEPS.map((step) => ({ held: [control, step], forMs: 2_000 })),
  ),
]

export const USUAL_POWER_ON_CHORDS: readonly [Chord, ...Chord[]] = [
  { held: ['centre-left'] },
  { held: ['centre-right'] },
  { held: ['face-south'] },
  { held: ['face-east'] },
  { held: ['face-west'] },
  { held: ['face-north'] },
  { held: ['shoulder-left'] },
  { held: ['shoulder-right'] },
]
