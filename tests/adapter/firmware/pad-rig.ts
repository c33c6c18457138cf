import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { VirtualPad } from '../../reference/adapter/emulator/virtual-pad.ts'
import type { PadDescription } from '../../reference/adapter/emulator/virtual-pad.ts'
import { CONTROLS } from '../../../src/pad/controls.ts'
import type { Control } from '../../../src/pad/controls.ts'
import { LAYOUT_FORMAT, LAYOUT_VERSION } from '../../../src/pad/layout/schema.ts'
import type { Layout } from '../../../src/pad/layout/schema.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { LIGHTS } from '../../../src/adapter/lights.ts'
import { flashWith } from './rig.ts'

/** The firmware on an emulated chip, with pads at its plug. */

export const MS = 1_000_000
const SLOT_NS = 62.5 * MS
const SLOTS = 32

export const PAD_BUTTONS: readonly Control[] = [
  ...CONTROLS.slice(0, 12),
  'extra-1',
  'extra-2',
  'extra-3',
  'extra-4',
]
/** Vendor and product of `gamePad()`, `receiver()` and the rest of virtual-pads.ts. */
const VENDOR = 0x4e39

/** How `gamePad()` is read: sixteen buttons, a hat switch, a stick; product 1 or another, of any or of one report descriptor. */
export const gamePadLayout = (productId = 1, descriptorCrc32: number | null = null): Layout => ({
  format: LAYOUT_FORMAT,
  version: LAYOUT_VERSION,
  name: 'Test pad',
  notes: '',
  pad: { via: 'hid', vendorId: VENDOR, productId, descriptorCrc32 },
  extractors: [
    ...PAD_BUTTONS.map((control, bit) => ({
      kind: 'threshold' as const,
      control,
      field: { report: 0, bit, bits: 1, signed: false },
      press: 1,
      release: 0,
    })),
    {
      kind: 'hat',
      cross: 'dpad',
      field: { report: 0, bit: 16, bits: 4, signed: false },
      first: 0,
      step: 1,
      positions: 8,
    },
    ...(['x', 'y'] as const).map((axis, k) => ({
      kind: 'axis' as const,
      stick: 'left' as const,
      axis,
      field: { report: 0, bit: 24 + 8 * k, bits: 8, signed: false },
      low: 0,
      centre: 128,
      high: 255,
    })),
  ],
})

export const REST = Uint8Array.of(0, 0, 8, 128, 128)
/** The hat switch points up. */
export const UP = Uint8Array.of(0, 0, 0, 128, 128)

/** Pins 1 to 9 of the port while select is high: nothing, and Up, pressed. */
export const NOTHING_PRESSED = 0b111111
export const UP_PRESSED = 0b111110

export const imageWith = (...layouts: readonly Layout[]): Uint8Array =>
  encodeImage(BUILT_IN_PROFILES['six-button'], layouts)

export class PadRig {
  readonly chip: Chip
  #judged = false

  /** @param layouts of the one bank; null leaves all banks empty, so that no bank is flashed by the light */
  constructor(layouts: readonly Layout[] | null = [gamePadLayout(1), gamePadLayout(2)]) {
    this.chip = new Chip({ flash: flashWith(layouts === null ? [] : [imageWith(...layouts)]) })
  }

  plug(description: PadDescription): VirtualPad {
    const pad = new VirtualPad(description)
    this.chip.plugPad(pad)
    return pad
  }

  /** Lets time pass until the pad is asked for reports. */
  served(pad: VirtualPad, limitMs = 3000): boolean {
    const before = pad.polledNs.length
    return this.chip.runUntil(() => pad.polledNs.length > before, limitMs * MS, MS)
  }

  /** Sends a report, and lets time pass until it was fetched and acted on. */
  report(pad: VirtualPad, bytes: Uint8Array): void {
    pad.report(bytes)
    this.chip.runUntil(() => pad.waiting === 0, 600 * MS, MS)
    this.chip.runFor(MS)
  }

  /** Up to where the power-on rules have been judged, once for each power-on: nothing is pressed before. */
  settle(pad: VirtualPad): void {
    this.report(pad, REST)
    if (!this.#judged) this.chip.runFor(505 * MS)
    this.#judged = true
  }

  /** The name of the pattern that the light shows. */
  light(): string | undefined {
    const { chip } = this
    // Patterns are of the adapter's own clock: from the outside any turn of one may be seen.
    chip.runFor(SLOT_NS - (chip.nowNs % SLOT_NS) + SLOT_NS / 2)
    let seen = 0
    for (let slot = 0; slot < SLOTS; slot += 1) {
      if (chip.ledIsOn) seen |= 1 << slot
      chip.runFor(SLOT_NS)
    }
    const turn = (pattern: number, by: number): number =>
      ((pattern << by) | (by === 0 ? 0 : pattern >>> (SLOTS - by))) >>> 0
    return LIGHTS.find(({ pattern }) =>
      Array.from({ length: SLOTS }, (_, by) => turn(pattern, by)).includes(seen >>> 0),
    )?.name
  }
}
