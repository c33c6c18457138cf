import { untrack } from 'svelte'
import { controlBit, controlsIn } from '../../pad/controls.ts'
import type { Control, ControlMask } from '../../pad/controls.ts'
import type { StickPair } from '../../pad/hold.ts'
import type { Layout } from '../../pad/layout/schema.ts'
import { USUAL_STICK } from '../../pad/stick/settings.ts'
import { sameItems } from '../../document/same-items.ts'
import { sameJson } from '../../document/same-json.ts'
import type { GamepadLayoutKind, GamepadReader } from './gamepad-reader.ts'
import { gamepadsNow } from './gamepads-now.ts'
import { hidOf } from './hid-api.ts'
import type { HidPad, HidPads } from './hid-pads.ts'
import { KEYBOARD_PAD, PLAYS, playsPad } from './keyboard-pad.ts'
import { sameNumbers } from '../../pad/layout/by-numbers.ts'
import { padNumbers } from './pad-names.ts'
import { AT_REST, noPads, samePositions } from './pad-now.ts'
import type { PadNow, StickPositions } from './pad-now.ts'

/** A pad that this page can read. */
export interface SeenPad {
  readonly key: string
  /** As the browser names it, or as its layout is called. */
  readonly name: string
  /**
   * How it is read: by its reports as they were learned, by a layout that was learned for it in this browser, by the standard
   * layout, or in the order in which buttons come, which may be the wrong one.
   */
  readonly read: 'reports' | GamepadLayoutKind
}

export type HeldListener = (controls: ControlMask, pressed: readonly Control[]) => void

type Source = 'pad' | 'keys' | 'pointer' | 'adapter'

/** How often to look for a pad while there is none. A pad that is there is read once a frame. */
const LOOK_EVERY_MS = 400

const keyOf = ({ index }: Gamepad): string => `gamepad ${index}`

/** What the player holds, from wherever it comes: a pad, the keyboard, the drawn pad, a pad at the adapter. */
export class PadInput {
  #held: Record<Source, ControlMask> = { pad: 0, keys: 0, pointer: 0, adapter: 0 }
  /** Everything that is held now. */
  controls = $state.raw<ControlMask>(0)
  /** Where the sticks of the pad stand. */
  sticks = $state.raw<StickPositions>(AT_REST.sticks)
  /** Pads that the browser shows, but for those that are read by their reports. */
  gamepads = $state.raw<readonly SeenPad[]>([])
  /** Pads that are read by their reports. */
  hidPads = $state.raw<readonly HidPad[]>([])
  /** The pad the user has chosen; otherwise the one that was pressed last. */
  chosenKey = $state.raw<string | null>(null)
  #lastKey = $state.raw<string | null>(null)
  /** Keys play the pad where they have no other use. */
  keyboardPlays = $state(true)
  /** Whether anything was pressed since the page was opened. */
  touched = $state(false)
  readonly supported = typeof navigator !== 'undefined' && 'getGamepads' in navigator
  #listeners: readonly HeldListener[] = []
  /** By index. */
  #read: readonly (GamepadReader | undefined)[] = []
  /** Loaded once there is a gamepad. */
  #gamepadReader: typeof GamepadReader | null = null
  /** What each pad said last. */
  readonly #says = noPads()
  #settings: StickPair = { left: USUAL_STICK, right: USUAL_STICK }
  #layouts: readonly Layout[] = []
  #reader: Promise<HidPads> | null = null

  /** A pad that is read by its reports comes once, and not as a gamepad as well. */
  readonly pads: readonly SeenPad[] = $derived([
    ...this.hidPads.map(({ key, name }): SeenPad => ({ key, name, read: 'reports' })),
    ...this.gamepads,
  ])

  readonly pad: SeenPad | null = $derived(
    this.pads.find(({ key }) => key === (this.chosenKey ?? this.#lastKey)) ?? this.pads[0] ?? null,
  )

  constructor() {
    // What a look reads is no reason to begin watching anew.
    $effect(() => untrack(() => this.#watchPads()))
    $effect(() => this.#watchKeys())
    $effect(() => () => void this.#reader?.then((reader) => reader.close()))
  }

  /** How pads are read from now on: by these layouts where one is for them, and with these stick settings. */
  readWith(layouts: readonly Layout[], settings: StickPair): void {
    if (!sameJson(settings, this.#settings)) {
      this.#settings = settings
      for (const one of this.#read) one?.setSticks(settings)
      void this.#reader?.then((reader) => reader.setSticks(settings))
    }
    if (sameItems(layouts, this.#layouts)) return
    this.#layouts = layouts
    this.#read = []
    void this.lookForHid()
  }

  /** Looks for pads that may be read by their reports: once there is a layout, or one more may be seen. */
  async lookForHid(): Promise<void> {
    const hid = typeof navigator === 'undefined' ? null : hidOf(navigator)
    if (hid === null || (!this.#reader && !this.#layouts.some(({ pad }) => pad.via === 'hid'))) return
    // Who has no such layout need not load what reads it.
    this.#reader ??= import('./hid-pads.ts').then(
      ({ HidPads }) =>
        new HidPads(hid, this.#settings, {
          padsAre: (pads) => this.#hidPadsAre(pads),
          says: (key, now) => this.#say(key, now),
        }),
    )
    try {
      await (await this.#reader).setLayouts(this.#layouts)
    } catch {
      // It could not be loaded: without it pads are read as gamepads, and the next look tries again.
      this.#reader = null
    }
  }

  #hidPadsAre(pads: readonly HidPad[]): void {
    for (const { key } of this.hidPads) if (!pads.some((pad) => pad.key === key)) this.#says.delete(key)
    this.hidPads = pads
    this.#holdPad()
  }

  /** What a pad holds now; the pad in hand is the one that counts. */
  #say(key: string, now: PadNow): void {
    const before = this.#says.get(key) ?? AT_REST
    this.#says.set(key, now)
    if (now.held & ~before.held) this.#lastKey = key
    this.#holdPad()
  }

  #holdPad(): void {
    const { held, sticks } = (this.pad && this.#says.get(this.pad.key)) ?? AT_REST
    if (!samePositions(sticks, this.sticks)) this.sticks = sticks
    this.hold('pad', held)
  }

  /** The browser's own view of one of the {@link gamepads}. */
  gamepad(key: string): Gamepad | undefined {
    return gamepadsNow().find((pad) => keyOf(pad) === key)
  }

  /** Tells of every change, with what was pressed anew. Returns what ends it. */
  onchange(listener: HeldListener): () => void {
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
    const { pad, keys, pointer, adapter } = this.#held
    const now = (pad | keys | pointer | adapter) >>> 0
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

  /** One look at all gamepads; false while there is none. */
  #readPads(): boolean {
    const present = gamepadsNow()
    const Reader = this.#gamepadReader
    if (!Reader) {
      if (present.length > 0) this.#loadGamepadReader()
      return false
    }
    const other = present.filter(({ id }) => !this.hidPads.some((pad) => sameNumbers(pad, padNumbers(id))))
    const read: GamepadReader[] = []
    for (const pad of other) {
      const before = this.#read[pad.index]
      read[pad.index] = before?.name === pad.id ? before : new Reader(pad, this.#layouts, this.#settings)
    }
    this.#read = read
    const seen = other.map((pad): SeenPad => ({
      key: keyOf(pad),
      name: pad.id,
      read: read[pad.index]?.by ?? 'in-order',
    }))
    if (!sameJson(seen, this.gamepads)) {
      this.gamepads = seen
      for (const key of this.#says.keys())
        if (!this.pads.some((pad) => pad.key === key)) this.#says.delete(key)
      this.#holdPad()
    }
    for (const pad of other) {
      const now = read[pad.index]?.read(pad)
      if (now) this.#say(keyOf(pad), now)
    }
    return present.length > 0
  }

  /** Who has no gamepad need not load what reads one. Where it cannot be loaded the next look tries again. */
  #loadGamepadReader(): void {
    void import('./gamepad-reader.ts').then(
      ({ GamepadReader }) => (this.#gamepadReader = GamepadReader),
      () => undefined,
    )
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
