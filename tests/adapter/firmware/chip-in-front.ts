import { controlMask } from '../../../src/pad/controls.ts'
import { inputsIn } from '../../../src/port/pins.ts'
import type { InputMask } from '../../../src/port/pins.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import type { Chip } from '../../../src/adapter/emulator/chip.ts'
import type { Title } from '../../../src/title/schema.ts'
import type { InFront } from '../../bench/play-steps.ts'
import { Rig } from './rig.ts'

const MS = 1_000_000

const PINS = { 1: 0, 2: 1, 3: 2, 4: 3, 6: 4, 9: 5 } as const

/** The emulated chip with the real firmware in front of a title that is played: its select line, and its six pins as they stand. */
export class ChipInFront implements InFront {
  readonly #startNs: number
  /** When a released line gets up by itself. */
  #upNs = Infinity

  constructor(
    private readonly chip: Chip,
    { idle }: Title,
    idleResetNs: number,
  ) {
    chip.setSelect(idle)
    chip.runFor(idleResetNs + MS)
    this.#startNs = chip.nowNs
  }

  write(what: 'low' | 'high' | 'release', atNs: number, riseNs: number): void {
    this.#until(what === 'low' ? atNs - 1 : atNs)
    this.chip.runTo(this.#startNs + atNs)
    if (what === 'release') {
      if (this.chip.select === 'low' && this.#upNs === Infinity) this.#upNs = atNs + riseNs
      return
    }
    this.#upNs = Infinity
    if (this.chip.select !== what) this.chip.setSelect(what)
  }

  lineAt(atNs: number): 'low' | 'high' {
    this.#until(atNs)
    return this.chip.select
  }

  isLow(pin: '1' | '2' | '3' | '4' | '6' | '9', atNs: number): boolean {
    this.#until(atNs)
    this.chip.runTo(this.#startNs + atNs)
    return ((this.chip.de9 >> PINS[pin]) & 1) === 0
  }

  #until(toNs: number): void {
    if (this.#upNs > toNs) return
    this.chip.runTo(this.#startNs + this.#upNs)
    this.#upNs = Infinity
    this.chip.setSelect('high')
  }
}

/** A profile at work on a chip, with the host of the link as its pad; the same chip for the same profile. */
const rigs = new Map<string, Rig>()
export function rigWith(id: string, profile: Profile): Rig {
  const known = rigs.get(id)
  if (known) return known
  const rig = Rig.with([encodeImage(profile)])
  rig.connect()
  rig.becomePad()
  rigs.set(id, rig)
  return rig
}

/** The pad holds what makes these inputs, and nothing else. */
export function holdInputs(rig: Rig, { mapping }: Profile, held: InputMask): void {
  rig.hold(controlMask(inputsIn(held).flatMap((input) => mapping[input].slice(0, 1))))
  rig.chip.runFor(2 * MS)
}
