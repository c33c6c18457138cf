import { reportData } from '../pad/hid-api.ts'
import type { HidApi, HidInputReport } from '../pad/hid-api.ts'
import { sameNumbers } from '../../pad/layout/by-numbers.ts'
import type { PadNumbers } from '../../pad/layout/by-numbers.ts'
import { ReportRate } from './report-rate.ts'

/** What came over the wire last. */
export interface RawReport {
  /** 0 where the pad's reports have no numbers. */
  readonly number: number
  readonly data: Uint8Array
}

/** Listens to a pad's reports beside whoever reads them, at the pad's own rate; what is shown moves on once a frame. */
export class LiveReports {
  #rate = new ReportRate()
  #last: RawReport | null = null
  perSecond = $state.raw(0)
  last = $state.raw<RawReport | null>(null)

  /** A look at what came; call it once a frame. */
  look(nowMs: number): void {
    this.perSecond = this.#rate.perSecond(nowMs)
    this.last = this.#last
  }

  /** Listens to every open device of these numbers. Returns what ends it. */
  listen(hid: HidApi, numbers: PadNumbers, nowMs: () => number): () => void {
    let isOver = false
    const onreport = (report: HidInputReport) => {
      // The buffer belongs to the browser: what is kept is a copy.
      this.#last = { number: report.reportId, data: reportData(report).slice() }
      this.#rate.came(nowMs())
    }
    const ends: (() => void)[] = []
    void hid.getDevices().then((devices) => {
      for (const device of devices) {
        if (isOver || !device.opened || !sameNumbers(device, numbers)) continue
        device.addEventListener('inputreport', onreport)
        ends.push(() => device.removeEventListener('inputreport', onreport))
      }
    })
    return () => {
      isOver = true
      for (const end of ends) end()
      this.#rest()
    }
  }

  /** A gamepad of the browser: it tells when it was read last, and no bytes. */
  sawGamepad(timestamp: number, before: number, nowMs: number): void {
    if (timestamp !== before) this.#rate.came(nowMs)
  }

  #rest(): void {
    this.#rate = new ReportRate()
    this.#last = null
  }
}
