import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { FLASH_MAP } from '../../../src/adapter/flash-map.ts'
import { encodeRequest } from '../../../src/adapter/messages.ts'
import type { Request } from '../../../src/adapter/messages.ts'
import { encodeFrame } from '../../../src/adapter/frame.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { imageCrc } from '../../../src/profile/image-crc.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { ALL_HIGH } from '../../../src/port/pins.ts'
import { arbProfile } from '../../arbitraries.ts'
import { bankWriteRatio } from './measure.ts'
import { Rig, flashWith } from './rig.ts'
import { draws } from '../../draws.ts'

const MS = 1_000_000
const OLD = encodeImage(BUILT_IN_PROFILES['three-button'])
/** As long as images come: the longest of some random ones. */
const NEW = fc
  .sample(arbProfile, { seed: 4, numRuns: draws(200) })
  .map((profile) => encodeImage(profile))
  .reduce((longest, image) => (image.length > longest.length ? image : longest))
const OTHER = encodeImage(BUILT_IN_PROFILES['six-button-one-cycle'])

const content = (image: Uint8Array) => ({ length: image.length, crc32: imageCrc(image) })

/** A flash that has seen some use: two banks, the second is active, and the log says so. */
function usedFlash(): Uint8Array {
  const rig = Rig.with([OLD, OTHER])
  rig.connect()
  rig.ask({ kind: 'select-bank', bank: 1 })
  return rig.chip.flash.bytes.slice()
}

/** What a request does to the flash, from the moment it is sent until everything is quiet. */
function act(rig: Rig, request: Request): void {
  const { type, payload } = encodeRequest(request)
  rig.chip.usb.send(encodeFrame({ type, sequence: 200, payload }))
  rig.chip.runFor(400 * MS)
}

function prepared(flash: Uint8Array, image: Uint8Array | null): Rig {
  const rig = new Rig(new Chip({ flash: flash.slice() }))
  rig.connect()
  const CHUNK = 128
  for (let offset = 0; image !== null && offset < image.length; offset += CHUNK) {
    const bytes = image.subarray(offset, offset + CHUNK)
    rig.ask({ kind: 'write', bank: 0, total: image.length, offset, bytes })
  }
  return rig
}

/** Cuts the power in every flash operation of a request: before it, amid it twice, and just after it. Returns what the chip says next. */
function cutEverywhere(image: Uint8Array | null, request: Request) {
  const flash = usedFlash()
  const whole = prepared(flash, image)
  const first = whole.chip.flash.operations.length
  act(whole, request)
  const last = whole.chip.flash.operations.length
  const after = []
  for (let operation = first; operation < last; operation++) {
    for (const fraction of [0, 0.3, 0.8, 1]) {
      const rig = prepared(flash, image)
      rig.chip.flash.cutPowerAt({ operation, fraction })
      act(rig, request)
      expect(rig.chip.state).toBe('off')
      expect(rig.chip.de9).toBe(ALL_HIGH)
      const again = new Rig(rig.chip.powerCycle())
      again.connect()
      const status = again.ask<'status'>({ kind: 'status' })
      // What is to be mended has been mended by now; and the same answer comes after another start.
      const third = new Rig(again.chip.powerCycle())
      third.connect()
      expect(third.ask<'status'>({ kind: 'status' })).toEqual(status)
      after.push(status)
    }
  }
  return after
}

describe('power goes, on the emulated chip', () => {
  test('at every flash operation of a commit: the old image or the new one, and nothing else has changed', () => {
    const after = cutEverywhere(NEW, { kind: 'commit', bank: 0, ...content(NEW) })
    for (const { active, banks } of after) {
      expect(active).toBe(1)
      expect(banks.slice(1)).toEqual([content(OTHER), null, null])
    }
    const seen = new Set(after.map(({ banks }) => JSON.stringify(banks[0])))
    expect(seen).toEqual(new Set([content(OLD), content(NEW)].map((bank) => JSON.stringify(bank))))
    console.log(`power cuts in a commit, on the chip: ${after.length}`)
  }, 300_000)

  test('at every flash operation of a change of bank: the old bank or the new one', () => {
    const after = cutEverywhere(null, { kind: 'select-bank', bank: 0 })
    expect(new Set(after.map(({ active }) => active))).toEqual(new Set([0, 1]))
    for (const { banks } of after) expect(banks).toEqual([content(OLD), content(OTHER), null, null])
    console.log(`power cuts in a change of bank, on the chip: ${after.length}`)
  }, 300_000)

  test('the firmware never erases or programs below the banks', () => {
    const rig = Rig.with([OLD])
    rig.connect()
    rig.flash(0, NEW, imageCrc(NEW))
    rig.ask({ kind: 'select-bank', bank: 0 })
    const offsets = rig.chip.flash.operations.map(({ offset }) => offset)
    expect(offsets.length).toBeGreaterThan(4)
    expect(Math.min(...offsets)).toBeGreaterThanOrEqual(FLASH_MAP.banksAt)
    const below = (flash: Uint8Array) => Buffer.from(flash.subarray(0, FLASH_MAP.banksAt))
    expect(below(rig.chip.flash.bytes).equals(below(flashWith()))).toBe(true)
  })

  test('a blank board runs the factory image and writes nothing', () => {
    const rig = Rig.with([])
    rig.connect()
    expect(rig.ask<'status'>({ kind: 'status' })).toEqual({
      active: null,
      banks: [null, null, null, null],
      trial: { content: null, state: 'empty' },
    })
    rig.chip.setSelect('low')
    rig.chip.runFor(200)
    expect(rig.chip.de9).toBe(0b110011)
    rig.chip.runFor(500 * MS)
    expect(rig.chip.flash.operations).toEqual([])
  })

  test('a bank is written in little more than its wire time and what the flash itself takes', () => {
    expect(NEW.length).toBeGreaterThan(400)
    const ratio = bankWriteRatio(OLD, NEW)
    console.log(`flash time of a bank over wire and flash: ${ratio.toFixed(2)}`)
    expect(ratio).toBeLessThan(1.5)
  })
})
