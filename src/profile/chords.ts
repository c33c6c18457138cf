import { controlMask, controlsIn } from '../pad/controls.ts'
import type { Control, ControlMask } from '../pad/controls.ts'
import { maskOf } from '../port/pins.ts'
import type { InputMask } from '../port/pins.ts'
import type { Chord } from './schema.ts'

/** What becomes of a control that is held: it waits for its chord since then, is spent in one, or passes. */
type Held = { readonly kind: 'waits'; readonly sinceMs: number } | { readonly kind: 'spent' | 'passes' }

const PASSES: Held = { kind: 'passes' }
const SPENT: Held = { kind: 'spent' }

/** How long a control waits at most for the others of its chords; 0 for one that belongs to none. */
export const longestWaitMs = (chords: readonly Chord[], control: Control): number =>
  Math.max(0, ...chords.filter(({ held }) => held.includes(control)).map(({ withinMs }) => withinMs))

/**
 * Chords of a profile at work: of what is held, what passes on to mapping and layers (IMAGE.md, "Chords"). Tell it what is held,
 * then let it look: at every report, and every millisecond while it is {@link busy}.
 */
export class Chords {
  readonly #chords: readonly Chord[]
  /** Of each control that belongs to a chord, the longest time of those chords. */
  readonly #longestMs = new Map<Control, number>()
  readonly #held = new Map<Control, Held>()
  /** Controls that were let go while they waited, and until when they pass. */
  readonly #echoes = new Map<Control, number>()
  /** Places of the chords that are on. */
  readonly #on = new Set<number>()

  constructor(chords: readonly Chord[]) {
    this.#chords = chords
    for (const control of chords.flatMap(({ held }) => held))
      this.#longestMs.set(control, longestWaitMs(chords, control))
  }

  /** Exactly these controls are held from now on. Unless they may wait, those that go down pass at once. */
  hold(held: ControlMask, nowMs: number, mayWait = true): void {
    const now = new Set(controlsIn(held))
    for (const [control, before] of this.#held) if (!now.has(control)) this.#letGo(control, before, nowMs)
    for (const control of now) {
      if (this.#held.has(control)) continue
      const waits = mayWait && this.#longestMs.has(control)
      this.#held.set(control, waits ? { kind: 'waits', sinceMs: nowMs } : PASSES)
    }
  }

  #letGo(control: Control, before: Held, nowMs: number): void {
    this.#held.delete(control)
    for (const k of this.#on) if (this.#chords[k]?.held.includes(control)) this.#on.delete(k)
    if (before.kind !== 'waits') return
    const untilMs = nowMs + Math.max(1, nowMs - before.sinceMs)
    this.#echoes.set(control, Math.max(untilMs, this.#echoes.get(control) ?? 0))
  }

  /** Turns on the chords whose controls have come together, then lets pass what has waited for long enough. */
  look(nowMs: number): void {
    const waitedMs = (control: Control): number | null => {
      const held = this.#held.get(control)
      return held?.kind === 'waits' ? nowMs - held.sinceMs : null
    }
    for (const [k, chord] of this.#chords.entries()) {
      const come = chord.held.every((control) => (waitedMs(control) ?? Infinity) <= chord.withinMs)
      if (!come) continue
      this.#on.add(k)
      for (const control of chord.held) this.#held.set(control, SPENT)
    }
    for (const [control, longestMs] of this.#longestMs)
      if ((waitedMs(control) ?? -1) >= longestMs) this.#held.set(control, PASSES)
    for (const [control, untilMs] of this.#echoes) if (nowMs >= untilMs) this.#echoes.delete(control)
  }

  /** Whether time alone may change what passes. */
  get busy(): boolean {
    return this.#echoes.size > 0 || [...this.#held.values()].some(({ kind }) => kind === 'waits')
  }

  get passing(): ControlMask {
    const held = [...this.#held].flatMap(([control, { kind }]) => (kind === 'passes' ? [control] : []))
    return controlMask([...held, ...this.#echoes.keys()])
  }

  /** The chords that are on. */
  get on(): readonly Chord[] {
    return this.#chords.filter((_, k) => this.#on.has(k))
  }

  /** Controls that wait for the rest of a chord. */
  get waiting(): ControlMask {
    return controlMask([...this.#held].flatMap(([control, { kind }]) => (kind === 'waits' ? [control] : [])))
  }

  /** The inputs of the chords that are on. */
  get inputs(): InputMask {
    return maskOf([...this.#on].flatMap((k) => this.#chords[k]?.inputs ?? []))
  }
}
