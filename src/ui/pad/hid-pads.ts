import type { StickPair } from '../../pad/hold.ts'
import { newestFor, sameNumbers } from '../../pad/layout/by-numbers.ts'
import type { PadNumbers } from '../../pad/layout/by-numbers.ts'
import type { Layout } from '../../pad/layout/schema.ts'
import { leaveHid, padInterfaces, reportData, useHid } from './hid-api.ts'
import type { HidApi, HidDevice, HidInputReport } from './hid-api.ts'
import { LiveReader } from './live-reader.ts'
import type { PadNow } from './pad-now.ts'

/** A pad that is read by its own reports. */
export interface HidPad extends PadNumbers {
  readonly key: string
  /** As its layout is called. */
  readonly name: string
  readonly layout: Layout
}

/** Who is told of pads and of what they hold. */
export interface HidPadsListener {
  padsAre(pads: readonly HidPad[]): void
  says(key: string, now: PadNow): void
}

interface OpenPad extends HidPad {
  readonly device: HidDevice
  readonly reader: LiveReader
  readonly onreport: (event: HidInputReport) => void
}

/**
 * Pads that this browser may see over WebHID and for which there is a layout, read at the pad's own rate. A layout is
 * found by vendor and product alone.
 */
export class HidPads {
  readonly #hid: HidApi
  readonly #listener: HidPadsListener
  #layouts: readonly Layout[] = []
  #sticks: StickPair
  #open: readonly OpenPad[] = []
  #counted = 0
  /** One look after the other: two at once would open a pad twice. */
  #looking: Promise<void> = Promise.resolve()

  constructor(hid: HidApi, sticks: StickPair, listener: HidPadsListener) {
    this.#hid = hid
    this.#sticks = sticks
    this.#listener = listener
    hid.addEventListener('connect', this.#again)
    hid.addEventListener('disconnect', this.#again)
  }

  readonly #again = () => void this.look()

  setSticks(sticks: StickPair): void {
    this.#sticks = sticks
    for (const { key, reader } of this.#open) this.#listener.says(key, reader.setSticks(sticks))
  }

  setLayouts(layouts: readonly Layout[]): Promise<void> {
    this.#layouts = layouts
    return this.look()
  }

  /** Opens what came and has a layout, and lets go of what went or has none any more. */
  look(): Promise<void> {
    this.#looking = this.#looking.then(() => this.#look()).catch(() => undefined)
    return this.#looking
  }

  async close(): Promise<void> {
    this.#hid.removeEventListener('connect', this.#again)
    this.#hid.removeEventListener('disconnect', this.#again)
    await this.#looking
    for (const pad of this.#open) await this.#letGo(pad)
    this.#open = []
  }

  /** The newest layout for a pad. */
  #layoutFor = (device: PadNumbers): Layout | undefined => newestFor(this.#layouts, 'hid', device)

  async #look(): Promise<void> {
    const granted = (await this.#hid.getDevices()).filter((device) => this.#layoutFor(device))
    // The keyboard beside the pad in a wireless receiver has the same numbers.
    const devices = granted.filter((device) =>
      padInterfaces(granted.filter((other) => sameNumbers(other, device))).includes(device),
    )
    const kept: OpenPad[] = []
    for (const pad of this.#open) {
      if (devices.includes(pad.device) && pad.layout === this.#layoutFor(pad.device)) kept.push(pad)
      else await this.#letGo(pad)
    }
    for (const device of devices) {
      const layout = this.#layoutFor(device)
      if (!layout || kept.some((pad) => pad.device === device)) continue
      const opened = await this.#take(device, layout)
      if (opened) kept.push(opened)
    }
    this.#open = kept
    this.#listener.padsAre(
      kept.map(({ key, name, layout, vendorId, productId }) => ({ key, name, layout, vendorId, productId })),
    )
  }

  async #take(device: HidDevice, layout: Layout): Promise<OpenPad | null> {
    try {
      await useHid(device)
    } catch {
      // Another program holds it, or the system refuses: the browser's own reading of the pad is still there.
      return null
    }
    const key = `hid ${this.#counted++}`
    const reader = new LiveReader(layout, this.#sticks)
    const onreport = (report: HidInputReport) =>
      this.#listener.says(key, reader.report(report.reportId, reportData(report)))
    device.addEventListener('inputreport', onreport)
    const { vendorId, productId } = device
    return { key, name: layout.name, vendorId, productId, device, layout, reader, onreport }
  }

  async #letGo({ device, onreport }: OpenPad): Promise<void> {
    device.removeEventListener('inputreport', onreport)
    await leaveHid(device)
  }
}
