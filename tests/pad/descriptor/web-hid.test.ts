import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { parseReportDescriptor } from '../../../src/pad/descriptor/parse.ts'
import { descriptorFromWebHid } from '../../../src/pad/descriptor/web-hid.ts'
import type { WebHidCollection } from '../../../src/pad/descriptor/web-hid.ts'
import { arbDevice, descriptorOf, webHidOf } from './generated.ts'
import { draws } from '../../draws.ts'

describe('the collections of a WebHID device', () => {
  it('say the same as the report descriptor behind them', () => {
    fc.assert(
      fc.property(arbDevice, fc.boolean(), (device, wide) => {
        const parsed = parseReportDescriptor(descriptorOf(device, wide))
        const shown = descriptorFromWebHid(webHidOf(device))
        if (!parsed.ok || !shown.ok) throw new Error('refused')
        expect({ ...shown.value, remarks: [] }).toEqual({ ...parsed.value, remarks: [] })
      }),
      { numRuns: draws(120) },
    )
  })

  it('take the dictionaries of the browser as they are', () => {
    // Checked by the compiler: whatever a browser gives fits.
    const fits = (given: HIDCollectionInfo): WebHidCollection => given
    expect(descriptorFromWebHid([fits({ usagePage: 1, usage: 5 } as HIDCollectionInfo)])).toMatchObject({
      ok: false,
    })
  })

  const axis = { isArray: false, isAbsolute: true, usages: [0x0001_0030], reportSize: 16, reportCount: 1 }
  const one = (item: object) =>
    descriptorFromWebHid([{ usagePage: 1, usage: 5, inputReports: [{ items: [item] }] }])

  it('take a maximum below the minimum without sign, as long as the field', () => {
    const shown = one({ ...axis, logicalMinimum: 0, logicalMaximum: -1 })
    if (!shown.ok) throw new Error('refused')
    expect(shown.value.reports[0]?.items[0]).toMatchObject({ logicalMin: 0, logicalMax: 65_535 })
    expect(shown.value.remarks).toHaveLength(1)
  })

  it('are refused in a sentence where they hold no report, or one that cannot be', () => {
    expect(descriptorFromWebHid([])).toMatchObject({
      ok: false,
      error: { message: expect.stringMatching(/paste/) },
    })
    expect(one({ ...axis, reportSize: 0x7fff_ffff, reportCount: 0x7fff_ffff })).toMatchObject({
      ok: false,
      error: { message: expect.stringMatching(/at most can be sent/) },
    })
  })

  it('may nest as deep as they like', () => {
    let collection: WebHidCollection = { usagePage: 1, usage: 5, inputReports: [{ items: [axis] }] }
    for (let depth = 0; depth < 20_000; depth++) collection = { ...collection, children: [collection] }
    expect(descriptorFromWebHid([collection]).ok).toBe(true)
  })
})
