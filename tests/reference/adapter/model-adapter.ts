import { IMAGE_MAX_BYTES } from '../../../src/profile/image-layout.ts'
import { imagePadReader } from '../profile/run-pad.ts'
import type { PluggedPad } from '../profile/run-pad.ts'
import { loadImage } from '../profile/run-image.ts'
import type { ImageRunner } from '../profile/run-image.ts'
import { ALL_HIGH } from '../../../src/port/pins.ts'
import type { InputMask, Level, PinBits } from '../../../src/port/pins.ts'
import type { ControlMask } from '../../../src/pad/controls.ts'
import { HeldReader } from '../../../src/pad/hold.ts'
import { VENDOR_LAYOUT } from '../../../src/pad/layout/built-in.ts'
import { decodeImage } from '../../../src/profile/decode-image.ts'
import { MemoryBankStore } from './bank-store.ts'
import type { BankStore } from './bank-store.ts'
import { PROTOCOL } from '../../../src/adapter/constants.ts'
import { STATED } from '../../../src/bench/stated-times.ts'
import { Device } from './device.ts'
import { PadMemoryModel } from './pad-memory.ts'
import type { Identity } from '../../../src/adapter/replies.ts'
import type { ConnectionListener } from '../../../src/adapter/transport.ts'

export interface ModelOptions {
  /** What bank 1 holds and runs at first. */
  readonly factoryImage: Uint8Array
  /** Shown to the user. The timing is what our adapter is built to keep; nothing was measured on a model. */
  readonly identity?: Partial<Identity>
  readonly store?: BankStore
}

const MODEL_IDENTITY: Identity = {
  protocol: PROTOCOL,
  firmware: { major: 0, minor: 1, patch: 0 },
  board: 'Demo adapter',
  serialNumber: 'DEMO-0001',
  largestImageBytes: IMAGE_MAX_BYTES,
  chunkBytes: 128,
  delayStepNs: 8,
  delayStretch: STATED.delayStretch,
  replyMinNs: STATED.replyMinNs,
  replyMaxNs: STATED.replyMaxNs,
  idleResetToleranceMinNs: STATED.idleResetMinNs,
  idleResetToleranceMaxNs: STATED.idleResetMaxNs,
}

/**
 * An adapter in memory: the device's side of the link, four banks, and the active image running. It can be plugged and
 * unplugged, held by one host at a time, given a pad, and looked at from the console's side. No time passes in it: what the hands do is
 * pressed at once, without the rules that take time (power-on, chords, bank changes, repeats in ms).
 */
export class ModelAdapter {
  readonly store: BankStore
  /** What it keeps of pads. */
  readonly padMemory = new PadMemoryModel()
  readonly #device: Device
  #running: ImageRunner | null = null
  #host: ConnectionListener | null = null
  #plugged = true
  #pad: PluggedPad | null = null
  #padReader: { report(bytes: Uint8Array): ControlMask } | null = null
  #padControls: ControlMask = 0
  #hostControls: ControlMask = 0
  #rises = 0
  #level: Level | 'unknown' = 'unknown'
  #reported = ''

  /** @throws RangeError when the factory image is none: that is a fault of whoever builds the model */
  constructor({ factoryImage, identity, store = new MemoryBankStore() }: ModelOptions) {
    this.store = store
    if (store.active === null) {
      if (!loadImage(factoryImage).ok) throw new RangeError('the factory image is not an image')
      store.commit(0, factoryImage)
      store.setActive(0)
    }
    this.#device = new Device({ ...MODEL_IDENTITY, ...identity }, store, {
      accepts: (image) => loadImage(image).ok,
      setControls: (controls) => {
        this.#hostControls = controls
        this.#press()
      },
      activeChanged: () => this.#start(),
      padMemory: this.padMemory,
    })
    this.#start()
  }

  /** What the player holds on the pad. */
  hold(controls: ControlMask): void {
    this.#padControls = controls
    this.#press()
  }

  /** A pad is plugged in; the active image says how its reports are read. */
  plugPad(pad: PluggedPad): void {
    this.#pad = pad
    this.#meetPad()
  }

  /** Whether the active image has a layout for the pad that is plugged in. */
  get padKnown(): boolean {
    return this.#padReader !== null
  }

  /** A report as it comes over the wire. Of a pad that is not known it means nothing. */
  padReport(bytes: Uint8Array): void {
    if (this.#padReader) this.hold(this.#padReader.report(bytes))
  }

  unplugPad(): void {
    this.#pad = null
    this.#meetPad()
  }

  /** Looks the pad up anew; nothing that it held stays held. The model does not read its last report once more, as an adapter does. */
  #meetPad(): void {
    const image = this.store.active === null ? null : this.store.read(this.store.active)
    this.#padReader = this.#pad && this.#running && image ? readerOf(image, this.#pad) : null
    this.hold(0)
  }

  /** The console moved select, or an idle reset brought `rises` back to 0. */
  select(rises: number, level: Level): void {
    this.#rises = rises
    this.#level = level
    this.#report()
  }

  /** An idle reset ended a read of the console. */
  readEnded(): void {
    this.#rises = 0
    this.#running?.readEnded()
    this.#report()
  }

  /** What the port is given as pressed. */
  get inputs(): InputMask {
    return this.#running?.inputs ?? 0
  }

  /** What stands on the six data pins once it has settled. */
  pinsAt(rises: number, level: Level): PinBits {
    return this.#running?.pinsAt(rises, level) ?? ALL_HIGH
  }

  /** A host takes the link, if nobody has it. */
  attach(host: ConnectionListener): 'attached' | 'held' | 'unplugged' {
    if (!this.#plugged) return 'unplugged'
    if (this.#host) return 'held'
    this.#host = host
    return 'attached'
  }

  detach(): void {
    this.#host = null
    this.#device.linkClosed()
  }

  receive(bytes: Uint8Array): void {
    const host = this.#host
    const replies = this.#device.receive(bytes)
    if (replies.length > 0) host?.bytes(replies)
    this.#report()
  }

  /** Power goes: what is in the banks stays, everything else is forgotten. */
  unplug(): void {
    const host = this.#host
    this.#plugged = false
    this.detach()
    host?.lost()
  }

  plugIn(): void {
    this.#plugged = true
    this.#start()
  }

  #start(): void {
    const { active } = this.store
    const image = active === null ? null : this.store.read(active)
    const loaded = image && loadImage(image)
    this.#running = loaded?.ok ? loaded.value : null
    if (this.#pad === null) this.#press()
    else this.#meetPad()
  }

  #press(): void {
    this.#running?.setControls((this.#padControls | this.#hostControls) >>> 0)
    this.#report()
  }

  /** Tells a listening host what is different from what it was told last. */
  #report(): void {
    if (!this.#device.monitoring) {
      this.#reported = ''
      return
    }
    const event = {
      controls: (this.#padControls | this.#hostControls) >>> 0,
      inputs: this.inputs,
      rises: this.#rises,
      select: this.#level,
    }
    const news = JSON.stringify(event)
    if (news === this.#reported) return
    this.#reported = news
    this.#host?.bytes(this.#device.inputEvent(event))
  }
}

/** By the image, or by the adapter's own table (IMAGE.md, "Which pad"). */
function readerOf(image: Uint8Array, pad: PluggedPad) {
  const own = imagePadReader(image, pad)
  const profile = own === null && pad.via === 'vendor' ? decodeImage(image) : null
  return profile?.ok ? new HeldReader(VENDOR_LAYOUT, profile.value.sticks) : own
}
