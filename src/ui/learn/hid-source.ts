import { foreign } from '../../words/foreign.ts'
import { descriptorFromWebHid } from '../../pad/descriptor/web-hid.ts'
import type { PadIdentity } from '../../pad/layout/schema.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { PAD_FILTERS, leaveHid, padInterfaces, reportData, useHid } from '../pad/hid-api.ts'
import type { HidApi, HidDevice, HidFilter, HidInputReport } from '../pad/hid-api.ts'
import { numbersWord } from '../../words/hexadecimal.ts'
import { sameNumbers } from '../../pad/layout/by-numbers.ts'
import { namedPlaces } from './named-places.ts'
import type { NamedPlace } from './named-places.ts'
import type { PadListener, PadSource } from './pad-source.ts'
import { t } from './source-texts.ts'

/** The browser's own list of devices; must follow a press of the user. The interfaces of one device come together. */
async function ask(hid: HidApi, filters: readonly HidFilter[]): Promise<Result<HidDevice, string>> {
  try {
    const [device] = padInterfaces(await hid.requestDevice({ filters }))
    return device ? ok(device) : err(t.noneChosen({ all: t.showAll }))
  } catch {
    return err(t.mayNotAsk)
  }
}

/** Chooses a pad to learn. @param every shows devices that do not say they are pads as well */
export async function chooseHid(hid: HidApi, every: boolean): Promise<Result<HidSource, string>> {
  const chosen = await ask(hid, every ? [] : PAD_FILTERS)
  if (!chosen.ok) return chosen
  const described = descriptorFromWebHid(chosen.value.collections)
  if (!described.ok) return err(t.notLearnable({ reason: described.error.message }))
  const places = namedPlaces(described.value)
  return places.length > 0 ? ok(new HidSource(hid, chosen.value, places)) : err(t.sendsNothing)
}

/** A pad that is learned from its own reports. */
export class HidSource implements PadSource {
  readonly #hid: HidApi
  #device: HidDevice
  #open = false
  #listener: PadListener | null = null
  readonly pad: PadIdentity
  readonly name: string
  readonly places: readonly NamedPlace[]

  constructor(hid: HidApi, device: HidDevice, places: readonly NamedPlace[]) {
    const { vendorId, productId, productName } = device
    this.#hid = hid
    this.#device = device
    // WebHID keeps the descriptor's bytes to itself.
    this.pad = { via: 'hid', vendorId, productId, descriptorCrc32: null }
    this.name = foreign(productName.trim()) || t.padNumbers({ numbers: numbersWord(device) })
    this.places = places
  }

  async start(listener: PadListener): Promise<string | null> {
    this.#listener = listener
    this.#hid.addEventListener('connect', this.#came)
    this.#hid.addEventListener('disconnect', this.#went)
    return this.#take(this.#device)
  }

  async stop(): Promise<void> {
    this.#listener = null
    this.#hid.removeEventListener('connect', this.#came)
    this.#hid.removeEventListener('disconnect', this.#went)
    await this.#letGo()
  }

  /** Browsers forget a device without a serial number once it is unplugged (from memory), so it may have to be chosen anew. */
  async chooseAgain(): Promise<string | null> {
    const chosen = await ask(this.#hid, [this.pad])
    return chosen.ok ? this.#take(chosen.value) : chosen.error
  }

  readonly #report = (report: HidInputReport) => this.#listener?.report(report.reportId, reportData(report))

  readonly #went = ({ device }: { readonly device: HidDevice }) => {
    if (device !== this.#device || !this.#open) return
    void this.#letGo()
    this.#listener?.here(false)
  }

  readonly #came = ({ device }: { readonly device: HidDevice }) => {
    if (this.#open || !sameNumbers(device, this.pad) || padInterfaces([device, this.#device])[0] !== device)
      return
    void this.#take(device)
  }

  async #take(device: HidDevice): Promise<string | null> {
    try {
      await useHid(device)
    } catch {
      return t.notOpened
    }
    if (!this.#listener || this.#open) {
      await leaveHid(device)
      return null
    }
    this.#device = device
    this.#open = true
    device.addEventListener('inputreport', this.#report)
    this.#listener.here(true)
    return null
  }

  async #letGo(): Promise<void> {
    if (!this.#open) return
    this.#open = false
    this.#device.removeEventListener('inputreport', this.#report)
    await leaveHid(this.#device)
  }
}
