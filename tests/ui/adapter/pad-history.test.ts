import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { met, seen } from '../../adapter/last-activity.ts'
import { ModelAdapter } from '../../reference/adapter/model-adapter.ts'
import { connect } from '../../../src/adapter/session.ts'
import type { Adapter } from '../../../src/adapter/session.ts'
import { modelTransport } from '../../reference/adapter/model-transport.ts'
import { VENDOR_LAYOUT } from '../../../src/pad/layout/built-in.ts'
import { readLayout } from '../../../src/pad/layout/file.ts'
import { USUAL_STICK } from '../../../src/pad/stick/settings.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { layoutFor } from '../../../src/profile/shadowing.ts'
import { reportRows } from '../../../src/ui/adapter/last-reports.ts'
import { PadHistory } from '../../../src/ui/adapter/pad-history.svelte.ts'

const six = encodeImage(BUILT_IN_PROFILES['six-button'])
const read = readLayout(readFileSync('static/demo/layouts/loan-pad.json'))
if (!read.ok) throw new Error(read.error.message)
const loan = read.value

const sticks = { left: USUAL_STICK, right: USUAL_STICK }

async function adapterOf(model: ModelAdapter): Promise<Adapter> {
  const adapter = await connect(modelTransport(model))
  if (!adapter.ok) throw new Error(adapter.error.kind)
  return adapter.value
}

describe('what an adapter keeps of pads', () => {
  it('is told, saved and forgotten', async () => {
    const model = new ModelAdapter({ factoryImage: six })
    model.padMemory.pad(met, Uint8Array.of(5, 1, 9, 5), 0)
    model.padMemory.report(Uint8Array.of(8, 2), 250)
    model.padMemory.read(4, 300)
    const adapter = await adapterOf(model)
    const history = new PadHistory(() => adapter)
    await history.ask()
    expect(history.stored?.pads).toEqual([{ ...met, descriptorBytes: 4 }])
    expect(history.stored?.activity).toMatchObject({ reportCount: 1, readCount: 1, mostRises: 4 })
    expect(await history.descriptor(1)).toEqual(Uint8Array.of(5, 1, 9, 5))
    expect(await history.descriptor(2)).toBe(null)
    expect(history.sentence).toContain('keeps no report descriptor of this pad')
    await history.forget()
    expect([history.stored, history.sentence, history.busy]).toEqual([
      { pads: [], activity: null },
      null,
      false,
    ])
  })

  it('is nothing in one with older firmware, and says so', async () => {
    const model = new ModelAdapter({
      factoryImage: six,
      identity: { protocol: { major: 1, minor: 0 } },
    })
    const adapter = await adapterOf(model)
    const history = new PadHistory(() => adapter)
    await history.ask()
    expect([history.stored, history.isOlder]).toEqual([null, true])
    expect(history.sentence).toContain('This adapter’s firmware is older')
  })

  it('belongs to the adapter that is connected now', async () => {
    const first = new ModelAdapter({ factoryImage: six })
    first.padMemory.pad(met, Uint8Array.of(1), 0)
    const second = new ModelAdapter({ factoryImage: six })
    // The first one answers only after the second has.
    let answer: () => void = () => undefined
    const secondAnswered = new Promise<void>((resolve) => (answer = resolve))
    const real = await adapterOf(first)
    let adapter: Adapter = { ...real, padHistory: () => secondAnswered.then(() => real.padHistory()) }
    const history = new PadHistory(() => adapter)
    const late = history.ask()
    adapter = await adapterOf(second)
    await history.ask()
    answer()
    await late
    expect(history.stored).toEqual({ pads: [], activity: null })
  })

  it('says why when the adapter goes meanwhile', async () => {
    const model = new ModelAdapter({ factoryImage: six })
    const adapter = await adapterOf(model)
    const history = new PadHistory(() => adapter)
    model.unplug()
    await history.ask()
    expect([history.stored, history.busy]).toEqual([null, false])
    expect(history.sentence).toMatch(/\.$/)
  })
})

describe('in words', () => {
  it('the reports, with what the layout makes of them one after the other', () => {
    const rest = [8, 0, 0, 128, 128, 128, 128]
    const reports = [
      { atMs: 0, bytes: Uint8Array.from(rest) },
      { atMs: 20, bytes: Uint8Array.from([8, 2, 0, 128, 4, 128, 128]) },
    ]
    expect(reportRows(seen({ reports }), loan, sticks)).toEqual([
      { atMs: 0, bytes: '08 00 00 80 80 80 80', held: 'nothing' },
      { atMs: 20, bytes: '08 02 00 80 04 80 80', held: 'Face south and Left stick up' },
    ])
    expect(reportRows(seen({ reports }), null, sticks)[1]?.held).toBe(null)
  })

  it('the layout of a pad: its own, else the one of the vendor class', () => {
    expect(layoutFor(met, [loan])).toBe(loan)
    expect(layoutFor({ ...met, productId: 9 }, [loan])).toBe(null)
    const one = { ...loan, pad: { ...loan.pad, descriptorCrc32: 0x1234 } }
    expect(layoutFor(met, [one])).toBe(one)
    expect(layoutFor({ ...met, descriptorCrc32: 1 }, [one])).toBe(null)
    expect(layoutFor({ ...met, via: 'vendor' }, [loan])).toBe(VENDOR_LAYOUT)
  })
})
