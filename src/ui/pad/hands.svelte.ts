import { untrack } from 'svelte'
import { controlBit, controlsIn } from '../../pad/controls.ts'
import type { Control, ControlMask } from '../../pad/controls.ts'
import { KEYBOARD_PAD, PLAYS, playsPad } from './keyboard-pad.ts'
import { heldControls } from './standard-layout.ts'

/** A pad that the browser shows. */
export interface SeenPad {
  readonly index: number
  /** As the browser names it. */
  readonly name: string
  /** The browser knows its layout; otherwise buttons are taken in the order in which they come. */
  readonly standard: boolean
}

export type HandsListener = (controls: ControlMask, pressed: readonly Control[]) => void

type Source = 'pad' | 'keys' | 'pointer' | 'box'

/** How often to look for a pad while there is none. A pad that is there is read once a frame. */
const LOOK_EVERY_MS = 400

/** What the player holds, from wherever it comes: a pad, the keyboard, the drawn pad, a pad at the adapter. */
export class Hands {
  #held: Record<Source, ControlMask> = { pad: 0, keys: 0, pointer: 0, box: 0 }
  /** Everything that is held now. */
  controls = $state.raw<ControlMask>(0)
  pads = $state.raw<readonly SeenPad[]>([])
  /** The pad the user has chosen; otherwise the one that was pressed last. */
  chosenIndex = $state.raw<number | null>(null)
  lastIndex = $state.raw<number | null>(null)
  /** Keys play the pad where they have no other use. */
  keyboardPlays = $state(true)
  /** Whether anything was pressed since the page was opened. */
  touched = $state(false)
  readonly supported = typeof navigator !== 'undefined' && 'getGamepads' in navigator
  #listeners: readonly HandsListener[] = []
  /** What each pad held in its last report, by index. */
  #reports: readonly ControlMask[] = []

  readonly pad: SeenPad | null = $derived(
    this.pads.find(({ index }) => index === (this.chosenIndex ?? this.lastIndex)) ?? this.pads[0] ?? null,
  )

  constructor() {
    // What a look reads is no reason to begin watching anew.
    $effect(() => untrack(() => this.#watchPads()))
    $effect(() => this.#watchKeys())
  }

  /** Tells of every change, with what was pressed anew. Returns what ends it. */
  onchange(listener: HandsListener): () => void {
    this.#listeners = [...this.#listeners, listener]
    return () => {
      this.#listeners = this.#listeners.filter((other) => other !== listener)
    }
  }

  /** Holds exactly these controls from one source. */
  hold(source: Source, mask: ControlMask): void {
    if (this.#held[source] === mask) return
    this.#held[source] = mask
    const before = this.controls
    const { pad, keys, pointer, box } = this.#held
    const now = (pad | keys | pointer | box) >>> 0
    if (now === before) return
    this.controls = now
    const pressed = controlsIn((now & ~before) >>> 0)
    if (pressed.length > 0) this.touched = true
    for (const listener of this.#listeners) listener(now, pressed)
  }

  press(control: Control): void {
    this.hold('pointer', (this.#held.pointer | controlBit(control)) >>> 0)
  }

  release(control: Control): void {
    this.hold('pointer', (this.#held.pointer & ~controlBit(control)) >>> 0)
  }

  #watchPads(): (() => void) | undefined {
    if (!this.supported) return undefined
    let frame = 0
    let timer: ReturnType<typeof setTimeout> | undefined
    const again = (seen: boolean) => {
      if (seen && !document.hidden) frame = requestAnimationFrame(look)
      else timer = setTimeout(look, LOOK_EVERY_MS)
    }
    const look = () => again(this.#readPads())
    const soon = () => {
      clearTimeout(timer)
      cancelAnimationFrame(frame)
      look()
    }
    look()
    window.addEventListener('gamepadconnected', soon)
    return () => {
      window.removeEventListener('gamepadconnected', soon)
      clearTimeout(timer)
      cancelAnimationFrame(frame)
    }
  }

  /** One look at all pads; false while there is none. */
  #readPads(): boolean {
    let present: Gamepad[]
    try {
      present = navigator.getGamepads().filter((pad) => pad !== null)
    } catch {
      // A page inside another one may be forbidden to ask.
      present = []
    }
    if (present.length !== this.pads.length || present.some((pad, k) => pad.id !== this.pads[k]?.name)) {
      this.pads = present.map(({ index, id, mapping }) => ({
        index,
        name: id,
        standard: mapping === 'standard',
      }))
    }
    const reports: ControlMask[] = []
    for (const pad of present) {
      const before = this.#reports[pad.index] ?? 0
      const now = heldControls(pad, before)
      if (now & ~before) this.lastIndex = pad.index
      reports[pad.index] = now
    }
    this.#reports = reports
    this.hold('pad', this.pad === null ? 0 : (reports[this.pad.index] ?? 0))
    return present.length > 0
  }

  #watchKeys(): () => void {
    const control = (event: KeyboardEvent): Control | undefined => KEYBOARD_PAD.get(event.code)
    const down = (event: KeyboardEvent) => {
      const pressed = control(event)
      if (!pressed || !this.keyboardPlays || event.ctrlKey || event.metaKey || event.altKey) return
      if (event.defaultPrevented || !playsPad(event.target)) return
      // Elsewhere the arrows still scroll the page.
      if (event.target instanceof Element && event.target.closest(`[${PLAYS}]`)) event.preventDefault()
      this.hold('keys', (this.#held.keys | controlBit(pressed)) >>> 0)
    }
    const up = (event: KeyboardEvent) => {
      const released = control(event)
      if (released) this.hold('keys', (this.#held.keys & ~controlBit(released)) >>> 0)
    }
    const letGo = () => {
      this.hold('keys', 0)
      this.hold('pointer', 0)
    }
    window.addEventListener('keydown', down)
    window.addEventListener('keyup', up)
    window.addEventListener('blur', letGo)
    return () => {
      window.removeEventListener('keydown', down)
      window.removeEventListener('keyup', up)
      window.removeEventListener('blur', letGo)
    }
  }
}
