import type { Page } from 'playwright-core'

/**
 * A pad for WebHID, since none can be plugged in here: what the specification says of `navigator.hid` (WICG WebHID), as far as the
 * app uses it. It sends 125 reports a second, its sticks are never quite still, and its last byte counts. What the
 * user chose stays granted over a reload.
 */
export function fakeHid(): void {
  const collections = [
    {
      usagePage: 0x01,
      usage: 0x05,
      type: 1,
      children: [],
      outputReports: [],
      featureReports: [],
      inputReports: [
        {
          reportId: 3,
          items: [
            {
              usages: [0x00010039],
              reportSize: 4,
              reportCount: 1,
              logicalMinimum: 0,
              logicalMaximum: 7,
              hasNull: true,
              isAbsolute: true,
            },
            { isConstant: true, usages: [], reportSize: 4, reportCount: 1 },
            {
              isRange: true,
              usageMinimum: 0x00090001,
              usageMaximum: 0x00090010,
              reportSize: 1,
              reportCount: 16,
              logicalMinimum: 0,
              logicalMaximum: 1,
              isAbsolute: true,
            },
            {
              usages: [0x00010030, 0x00010031],
              reportSize: 8,
              reportCount: 2,
              logicalMinimum: 0,
              logicalMaximum: 255,
              isAbsolute: true,
            },
            {
              usages: [0x000200c5],
              reportSize: 8,
              reportCount: 1,
              logicalMinimum: 0,
              logicalMaximum: 255,
              isAbsolute: true,
            },
            {
              usages: [0xff000020],
              reportSize: 8,
              reportCount: 1,
              logicalMinimum: 0,
              logicalMaximum: 255,
              isAbsolute: true,
            },
          ],
        },
      ],
    },
  ]

  class Device extends EventTarget {
    readonly vendorId = 0x1209
    readonly productId = 0x0002
    readonly productName = 'Saltmarsh loan pad'
    readonly collections = collections
    opened = false
    open() {
      this.opened = true
      return Promise.resolve()
    }
    close() {
      this.opened = false
      return Promise.resolve()
    }
  }

  const GRANTED = 'fake-hid-granted'
  const state = {
    device: new Device() as Device | null,
    bytes: {} as Record<number, number>,
    chooses: 'pad' as 'pad' | 'nothing' | 'forbidden',
    count: 0,
  }
  Object.assign(window, { fakeHidState: state })

  class Hid extends EventTarget {
    getDevices() {
      return Promise.resolve(state.device && sessionStorage.getItem(GRANTED) ? [state.device] : [])
    }
    requestDevice() {
      if (state.chooses === 'forbidden') return Promise.reject(new DOMException('no', 'SecurityError'))
      if (state.chooses === 'nothing' || !state.device) return Promise.resolve([])
      sessionStorage.setItem(GRANTED, 'yes')
      return Promise.resolve([state.device])
    }
  }
  const hid = new Hid()
  Object.defineProperty(navigator, 'hid', { value: hid, configurable: true })

  const tell = (type: string, device: Device) => {
    hid.dispatchEvent(Object.assign(new Event(type), { device }))
  }
  Object.assign(window, {
    unplugFakePad() {
      const { device } = state
      if (!device) return
      state.device = null
      device.opened = false
      tell('disconnect', device)
    },
    plugFakePad() {
      state.device = new Device()
      if (sessionStorage.getItem(GRANTED)) tell('connect', state.device)
    },
  })

  setInterval(() => {
    const { device } = state
    if (!device?.opened) return
    state.count++
    const noise = state.count % 3
    const bytes = Uint8Array.of(0x08, 0, 0, 127 + noise, 129 - noise, noise, state.count & 0xff)
    for (const [k, byte] of Object.entries(state.bytes)) bytes[Number(k)] = byte
    device.dispatchEvent(
      Object.assign(new Event('inputreport'), { device, reportId: 3, data: new DataView(bytes.buffer) }),
    )
  }, 8)
}

/** What a test does with the pad. */
export const fakePad = (page: Page) => ({
  /** Holds the pad so that its reports have these bytes; the others rest. */
  hold: (bytes: Readonly<Record<number, number>>) =>
    page.evaluate((held) => {
      const { fakeHidState } = window as unknown as { fakeHidState: { bytes: object } }
      fakeHidState.bytes = held
    }, bytes),
  /** What becomes of the browser's list. */
  list: (chooses: 'pad' | 'nothing' | 'forbidden') =>
    page.evaluate((answer) => {
      const { fakeHidState } = window as unknown as { fakeHidState: { chooses: string } }
      fakeHidState.chooses = answer
    }, chooses),
  unplug: () => page.evaluate(() => (window as unknown as { unplugFakePad(): void }).unplugFakePad()),
  plug: () => page.evaluate(() => (window as unknown as { plugFakePad(): void }).plugFakePad()),
})
