import { crc32 } from 'node:zlib'
import { describe, expect, test } from 'vitest'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { chipClock, runUntilSettled } from '../../../src/adapter/emulator/run.ts'
import { chipTransport } from '../../../src/adapter/emulator/transport.ts'
import type { LastActivity, PadRecord } from '../../../src/adapter/pad-history.ts'
import { connect } from '../../../src/adapter/session.ts'
import type { Adapter } from '../../../src/adapter/session.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { VirtualPad } from '../../reference/adapter/emulator/virtual-pad.ts'
import { gamePad, hub, keyboard } from '../../reference/adapter/emulator/virtual-pads.ts'
import { metAt, metRecord, seenAt, seenRecord } from './pad-record.ts'
import { MS, PadRig, REST, UP } from './pad-rig.ts'
import { flashWith } from './rig.ts'

const IMAGE = encodeImage(BUILT_IN_PROFILES['six-button'])
const DESCRIPTORS = [9, 300, 2048].map((length, k) =>
  Uint8Array.from({ length }, (_, at) => (at * 7 + k) & 0xff),
)

const padOf = (k: number): PadRecord => ({
  via: 'hid',
  outcome: k === 0 ? 'keyboard' : 'no layout',
  vendorId: 0x1234,
  productId: k,
  release: 0x0100,
  descriptorCrc32: crc32(DESCRIPTORS[k] as Uint8Array),
})

const SEEN: LastActivity = {
  pad: padOf(2),
  there: true,
  takenMs: 12_345,
  reportCount: 400,
  readCount: 700,
  mostRises: 4,
  controls: 0x1001,
  inputs: 0x11,
  reports: Array.from({ length: 16 }, (_, k) => ({ atMs: 100 * k, bytes: new Uint8Array(k * 4).fill(k) })),
  reads: Array.from({ length: 16 }, (_, k) => ({ atMs: 16 * k, rises: k })),
}

/** The flash of an adapter that has met three pads, and was pulled off the last. */
function flashOfAHost(): Uint8Array {
  const flash = flashWith([IMAGE])
  DESCRIPTORS.forEach((descriptor, k) => flash.set(metRecord(k + 1, padOf(k), descriptor), metAt(k)))
  flash.set(seenRecord(1, { ...SEEN, takenMs: 1 }), seenAt(0))
  flash.set(seenRecord(2, SEEN), seenAt(1))
  return flash
}

async function at<T>(chip: Chip, job: (adapter: Adapter) => Promise<T>): Promise<T> {
  return runUntilSettled(
    chip,
    (async () => {
      const adapter = await connect(chipTransport(chip), chipClock(chip))
      if (!adapter.ok) throw new Error(adapter.error.kind)
      try {
        return await job(adapter.value)
      } finally {
        await adapter.value.close()
      }
    })(),
  )
}

describe('an adapter that was a host, at a computer', () => {
  test('hands over the pads that it met, their descriptors and what it saw last', async () => {
    const chip = new Chip({ flash: flashOfAHost() })
    await at(chip, async (adapter) => {
      expect(await adapter.padHistory()).toEqual({
        ok: true,
        value: [2, 1, 0].map((k) => ({ ...padOf(k), descriptorBytes: DESCRIPTORS[k]?.length })),
      })
      for (const k of [0, 1, 2])
        expect(await adapter.storedDescriptor(3 - k)).toEqual({ ok: true, value: DESCRIPTORS[k] })
      expect(await adapter.storedDescriptor(4)).toEqual({ ok: true, value: null })
      expect(await adapter.lastActivity()).toEqual({ ok: true, value: SEEN })
    })
    expect(chip.flash.operations).toEqual([])
  })

  test('forgets them for good when told so, erases nothing, and goes on as before', async () => {
    const chip = new Chip({ flash: flashOfAHost() })
    const nothing = async (adapter: Adapter) => {
      expect(await adapter.padHistory()).toEqual({ ok: true, value: [] })
      expect(await adapter.lastActivity()).toEqual({ ok: true, value: null })
      expect(await adapter.readBank(1)).toEqual({ ok: true, value: IMAGE })
    }
    await at(chip, async (adapter) => {
      expect(await adapter.forgetPads()).toEqual({ ok: true, value: null })
      await nothing(adapter)
      expect(await adapter.flash(2, IMAGE)).toMatchObject({ ok: true })
      expect(await adapter.forgetPads()).toEqual({ ok: true, value: null })
    })
    const spoiled = chip.flash.operations.filter(({ offset }) => offset >= metAt(0))
    expect(spoiled.map(({ kind }) => kind)).toEqual(['program', 'program', 'program', 'program', 'program'])
    await at(new Chip({ flash: chip.flash.bytes.slice() }), nothing)
  })
})

describe('an adapter that was a pad’s host and then goes to a computer', () => {
  /** The console reads with so many rises, and rests. */
  const read = (chip: Chip, rises: number) => {
    for (let k = 0; k < rises; k++) {
      chip.setSelect('low')
      chip.runFor(5_000)
      chip.setSelect('high')
      chip.runFor(5_000)
    }
    chip.runFor(3 * MS)
  }

  /** A pad comes, reports, is read by the console and goes. */
  const visit = (rig: PadRig) => {
    const pad = rig.plug(gamePad())
    expect(rig.served(pad)).toBe(true)
    rig.report(pad, REST)
    for (const report of [UP, UP, REST]) {
      rig.report(pad, report)
      read(rig.chip, 4)
    }
    read(rig.chip, 1)
    rig.chip.unplugPad()
    return pad
  }

  const check = async (adapter: Adapter) => {
    const met = await adapter.padHistory()
    if (!met.ok) throw new Error(met.error.kind)
    const [pad] = met.value
    expect(met.value).toHaveLength(1)
    expect(pad).toMatchObject({ via: 'hid', outcome: 'served', productId: 1 })
    const descriptor = await adapter.storedDescriptor(1)
    if (!descriptor.ok || descriptor.value === null) throw new Error('no descriptor')
    expect(crc32(descriptor.value)).toBe(pad?.descriptorCrc32)
    const seen = await adapter.lastActivity()
    if (!seen.ok || seen.value === null) throw new Error('nothing was seen')
    expect(seen.value).toMatchObject({
      there: false,
      pad: { outcome: 'served', productId: 1 },
      reportCount: 4,
      readCount: 4,
      mostRises: 4,
    })
    expect(seen.value.reports.map(({ bytes }) => bytes)).toEqual([REST, UP, REST])
    expect(seen.value.reads.map(({ rises }) => rises)).toEqual([4, 4, 4, 1])
    const times = [...seen.value.reads, ...seen.value.reports].map(({ atMs }) => atMs)
    for (const atMs of times) expect(atMs).toBeLessThanOrEqual(seen.value.takenMs)
    return met.value
  }

  test('tells what it saw, from RAM while power stays and from flash after it went', async () => {
    const rig = new PadRig()
    visit(rig)
    await at(rig.chip, check)
    // What the adapter keeps is there by now.
    await at(new Chip({ flash: rig.chip.flash.bytes.slice() }), check)
  })

  test('lists what it refused, and a pad that comes again once', async () => {
    const rig = new PadRig([])
    for (const stranger of [hub(), keyboard(), gamePad(), hub()]) {
      rig.chip.plugPad(new VirtualPad(stranger))
      rig.chip.runFor(700 * MS)
      rig.chip.unplugPad()
      rig.chip.runFor(700 * MS)
    }
    const operations = rig.chip.flash.operations.length
    const met = await at(rig.chip, (adapter) => adapter.padHistory())
    expect(met.ok && met.value.map(({ outcome }) => outcome)).toEqual(['no layout', 'keyboard', 'hub'])
    expect(rig.chip.flash.operations.length).toBe(operations)
  })

  test('a host that asks while the flash is still erased waits, and reads no nonsense', async () => {
    const rig = new PadRig()
    const { timing } = rig.chip.flash
    // As slow as such parts may be (400 ms), and slower: so that it still is when the host comes.
    rig.chip.flash.timing = { ...timing, sectorEraseNs: 600 * MS }
    visit(rig)
    const image = rig.chip.flash.bytes.slice(0x100000 + 20, 0x100000 + 20 + 64)
    await at(rig.chip, async (adapter) => {
      expect(rig.chip.flash.busy).toBe(true)
      const bank = await adapter.readBank(1)
      expect(bank.ok && bank.value?.subarray(0, 64)).toEqual(image)
    })
  })
})
