import type { RP2040 } from 'rp2040js'
import { ChipTrap, hex } from './trap.ts'
import type { Watchdog } from './watchdog.ts'

export const CRYSTAL_HZ = 12_000_000
export const SYSTEM_HZ = 125_000_000
export const USB_HZ = 48_000_000
/** What the ring oscillator may run at when the chip starts (RP2040 datasheet §2.17.1: 1.8 to 12 MHz, typically 6.5). */
export const RING_HZ = 6_500_000

const XOSC = 0x40024000

/**
 * Whether firmware set up the clocks as the data sheet asks. rp2040js runs everything without; here each part asks for
 * its clock when it is first used.
 */
export class ClockTree {
  constructor(
    private readonly mcu: RP2040,
    private readonly watchdog: Watchdog,
  ) {}

  /** Crystal on and given time (§2.16), PLL_SYS within its limits (§2.18), clk_sys from it at 125 MHz (§2.15). */
  requireSystemClock(who: string): void {
    this.#requireCrystal(who)
    this.#requirePll(who, 'PLL_SYS', 0x40028000, SYSTEM_HZ)
    const { sysCtrl, sysDiv } = this.mcu.clocks
    this.#require(
      who,
      (sysCtrl & 1) === 1 && ((sysCtrl >> 5) & 7) === 0,
      `clk_sys comes from ${hex(sysCtrl)}`,
    )
    this.#require(who, sysDiv === 0x100, `clk_sys is divided by ${hex(sysDiv)}`)
    this.#require(who, this.mcu.clkSys === SYSTEM_HZ, `clk_sys is ${this.mcu.clkSys} Hz`)
  }

  /** clk_usb enabled, from PLL_USB at 48 MHz (§2.15.3.2, §4.1.2). */
  requireUsbClock(who: string): void {
    this.#requireCrystal(who)
    this.#requirePll(who, 'PLL_USB', 0x4002c000, USB_HZ)
    const { usbCtrl, usbDiv } = this.mcu.clocks
    this.#require(who, ((usbCtrl >> 11) & 1) === 1, 'clk_usb is not enabled')
    this.#require(who, ((usbCtrl >> 5) & 7) === 0, 'clk_usb does not come from PLL_USB')
    this.#require(who, usbDiv === 0x100, `clk_usb is divided by ${hex(usbDiv)}`)
  }

  /** clk_ref from the crystal and twelve of its cycles a microsecond (§2.15.3.1, §4.7.2). */
  requireTick(who: string): void {
    this.#requireCrystal(who)
    const { refCtrl, refDiv } = this.mcu.clocks
    this.#require(who, (refCtrl & 3) === 2, 'clk_ref does not come from the crystal')
    this.#require(who, ((refDiv >> 8) & 3) === 1, 'clk_ref is divided')
    this.#require(
      who,
      this.watchdog.tickCycles === CRYSTAL_HZ / 1e6,
      `the tick is ${this.watchdog.tickCycles} cycles`,
    )
  }

  #requireCrystal(who: string): void {
    const xosc = this.mcu.peripherals[XOSC >>> 12]
    const ctrl = xosc?.readUint32(0x00) ?? 0
    this.#require(who, ctrl === 0x00fabaa0, `XOSC CTRL is ${hex(ctrl)}`)
    const startup = xosc?.readUint32(0x0c) ?? 0
    // About a millisecond: 12 MHz × 1 ms / 256, rounded up (§2.16.3).
    this.#require(who, (startup & 0x3fff) >= 47, `XOSC STARTUP is ${startup & 0x3fff}, under a millisecond`)
  }

  #requirePll(who: string, name: string, base: number, hz: number): void {
    const pll = this.mcu.peripherals[base >>> 12]
    const cs = pll?.readUint32(0x00) ?? 0
    const power = pll?.readUint32(0x04) ?? 0
    const feedback = (pll?.readUint32(0x08) ?? 0) & 0xfff
    const dividers = pll?.readUint32(0x0c) ?? 0
    const reference = CRYSTAL_HZ / (cs & 0x3f || 1)
    const vco = reference * feedback
    const first = (dividers >> 16) & 7
    const second = (dividers >> 12) & 7
    this.#require(who, (power & 0x29) === 0, `${name} is powered down`)
    this.#require(
      who,
      feedback >= 16 && feedback <= 320 && reference >= 5e6,
      `${name} has feedback ${feedback}`,
    )
    this.#require(who, vco >= 750e6 && vco <= 1600e6, `the VCO of ${name} would run at ${vco} Hz`)
    const output = first * second === 0 ? 0 : vco / (first * second)
    this.#require(who, output === hz, `${name} gives ${output} Hz`)
  }

  #require(who: string, holds: boolean, otherwise: string): void {
    if (!holds) throw new ChipTrap(`${who}: ${otherwise}`)
  }
}
