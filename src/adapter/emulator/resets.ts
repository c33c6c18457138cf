import { RegisterBlock } from './register-block.ts'
import { ChipTrap, hex } from './trap.ts'

const RESET = 0x0
const WDSEL = 0x4
const RESET_DONE = 0x8
const ALL = 0x01ffffff

/** Bits of the RESETS registers (RP2040 datasheet §2.14.3). */
export const RESET_BIT = {
  adc: 0,
  busctrl: 1,
  dma: 2,
  ioBank0: 5,
  ioQspi: 6,
  padsBank0: 8,
  padsQspi: 9,
  pio0: 10,
  pio1: 11,
  pllSys: 12,
  pllUsb: 13,
  syscfg: 18,
  sysinfo: 19,
  tbman: 20,
  timer: 21,
  usbctrl: 24,
} as const
export type ResetBit = (typeof RESET_BIT)[keyof typeof RESET_BIT]

/** After the boot ROM everything is held in reset but the way to the flash. */
const AFTER_BOOT_ROM = ALL & ~(1 << RESET_BIT.ioQspi) & ~(1 << RESET_BIT.padsQspi)

/** The reset controller (RP2040 datasheet §2.14). Who touches what is held in reset is told so. */
export class Resets extends RegisterBlock {
  #held = AFTER_BOOT_ROM
  #wdsel = 0

  constructor(private readonly resetNow: (bit: number) => void) {
    super()
  }

  isHeld(bit: ResetBit): boolean {
    return ((this.#held >> bit) & 1) === 1
  }

  read(offset: number): number {
    if (offset === RESET) return this.#held
    if (offset === WDSEL) return this.#wdsel
    if (offset === RESET_DONE) return ~this.#held & ALL
    throw new ChipTrap(`there is no RESETS register ${hex(offset)}`)
  }

  write(offset: number, value: number): void {
    if (offset === WDSEL) this.#wdsel = value & ALL
    if (offset !== RESET) return
    const fresh = value & ~this.#held
    this.#held = value & ALL
    for (let bit = 0; bit < 25; bit += 1) if ((fresh >> bit) & 1) this.resetNow(bit)
  }
}
