import { describe, expect, test } from 'vitest'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { encodeFrame } from '../../../src/adapter/frame.ts'
import { FLASH_MAP } from '../../../src/adapter/flash-map.ts'
import { wireNumber } from '../../../src/adapter/place.ts'
import { encodeRequest } from '../../../src/adapter/messages.ts'
import type { Request } from '../../../src/adapter/messages.ts'
import type { TrialSlot } from '../../../src/adapter/replies.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { imageCrc } from '../../../src/profile/image-crc.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { Rig, flashWith } from './rig.ts'

const MS = 1_000_000
/** A computer that is plugged in together with the power has come by then (150 ms), and the mark is written. */
const SETTLED_NS = 400 * MS
const SLOT = wireNumber('trial')

const BANK = encodeImage(BUILT_IN_PROFILES['three-button'])
const OTHER = encodeImage(BUILT_IN_PROFILES['six-button-one-cycle'])

/** Answers as if Up, or Down, were pressed while select is high: told from a bank by the pins alone. */
function showing(pin: 1 | 2): Uint8Array {
  const plain: Profile = BUILT_IN_PROFILES['three-button']
  const [first, ...rest] = plain.chart.cycles
  if (!first) throw new Error('a chart has a cycle')
  const cycles = [{ ...first, high: { ...first.high, [pin]: 'low' as const } }, ...rest]
  return encodeImage({ ...plain, chart: { ...plain.chart, cycles } })
}
const TRIAL = showing(1)
const NEWER = showing(2)

const REST = { bank: 0b111111, trial: 0b111110, newer: 0b111101 } as const
const whoAnswers = ({ chip }: Rig): string =>
  Object.entries(REST).find(([, pins]) => pins === chip.de9)?.[0] ?? `${chip.de9}`

const content = (image: Uint8Array) => ({ length: image.length, crc32: imageCrc(image) })
const slotOf = (rig: Rig): TrialSlot | null => rig.ask<'status'>({ kind: 'status' }).trial

/** Power comes on without a computer. */
const atConsole = (rig: Rig): Rig => new Rig(rig.chip.powerCycle())

/** Power comes on, and a computer is there in time. */
function atComputer(rig: Rig): Rig {
  const again = new Rig(rig.chip.powerCycle())
  again.connect()
  return again
}

/** A flash with two banks, the second active, and something in the trial slot. */
function armed(image: Uint8Array = TRIAL): Rig {
  const rig = Rig.with([OTHER, BANK])
  rig.connect()
  rig.ask({ kind: 'select-bank', bank: 1 })
  rig.flash(SLOT, image, imageCrc(image))
  return rig
}

describe('the trial slot, on the emulated chip', () => {
  test('is armed over the link, has one session with a console from its first moment, and then the bank answers again', () => {
    const rig = armed()
    expect(slotOf(rig)).toEqual({ content: content(TRIAL), state: 'armed' })
    expect(whoAnswers(rig)).toBe('bank')
    const trial = atConsole(rig)
    expect(whoAnswers(trial)).toBe('trial')
    trial.chip.runFor(3000 * MS)
    expect(whoAnswers(trial)).toBe('trial')
    const after = atConsole(trial)
    after.chip.runFor(SETTLED_NS)
    expect(whoAnswers(after)).toBe('bank')
    const computer = atComputer(after)
    expect(computer.ask<'status'>({ kind: 'status' })).toEqual({
      active: 1,
      banks: [content(OTHER), content(BANK), null, null],
      trial: { content: content(TRIAL), state: 'used' },
    })
  })

  test('reads back as it was written, and no bank is touched', () => {
    const rig = armed()
    const piece = rig.ask<'read'>({ kind: 'read', bank: SLOT, offset: 0, count: 128 })
    expect(piece.total).toBe(TRIAL.length)
    expect(piece.bytes).toEqual(TRIAL.slice(0, 128))
    const banks = ({ chip }: Rig) => Buffer.from(chip.flash.bytes.subarray(0, FLASH_MAP.trialAt))
    const plain = Rig.with([OTHER, BANK])
    plain.connect()
    plain.ask({ kind: 'select-bank', bank: 1 })
    expect(banks(rig).equals(banks(plain))).toBe(true)
  })

  test('stays armed at a computer, however often; the bank answers there', () => {
    const first = atComputer(armed())
    const second = atComputer(first)
    expect(whoAnswers(second)).toBe('bank')
    expect(slotOf(second)?.state).toBe('armed')
    expect(whoAnswers(atConsole(second))).toBe('trial')
  })

  test('says that it answers, where a computer comes later; what the computer makes the active bank ends it', () => {
    const trial = atConsole(armed())
    trial.chip.runFor(SETTLED_NS)
    trial.connect()
    expect(slotOf(trial)?.state).toBe('in use')
    expect(whoAnswers(trial)).toBe('trial')
    trial.ask({ kind: 'select-bank', bank: 1 })
    expect(whoAnswers(trial)).toBe('bank')
    expect(slotOf(trial)?.state).toBe('used')
  })

  test('is emptied by forget-trial, and by nothing else that is asked of the banks', () => {
    const rig = armed()
    rig.flash(0, BANK, imageCrc(BANK))
    rig.ask({ kind: 'select-bank', bank: 0 })
    expect(slotOf(rig)?.state).toBe('armed')
    rig.ask({ kind: 'forget-trial' })
    expect(slotOf(rig)).toEqual({ content: null, state: 'empty' })
    expect(whoAnswers(atConsole(rig))).toBe('bank')
  })

  test('is armed once more by the same commit after it was used', () => {
    const used = atComputer(atConsoleFor(armed(), SETTLED_NS))
    expect(slotOf(used)?.state).toBe('used')
    expect(() => used.ask({ kind: 'commit', bank: SLOT, ...content(TRIAL) })).toThrow('refused')
    used.flash(SLOT, TRIAL, imageCrc(TRIAL))
    expect(slotOf(used)?.state).toBe('armed')
    expect(whoAnswers(atConsole(used))).toBe('trial')
  })

  test('takes no image that the firmware cannot run, and cannot be the active bank', () => {
    const rig = armed()
    const broken = NEWER.map((byte, k) => (k === 8 ? 0xee : byte))
    expect(() => rig.flash(SLOT, broken, imageCrc(broken))).toThrow('refused')
    expect(() => rig.ask({ kind: 'select-bank', bank: SLOT })).toThrow('refused')
    expect(slotOf(rig)).toEqual({ content: content(TRIAL), state: 'armed' })
  })

  test('with no bank at all it answers once, and then the factory image', () => {
    const rig = Rig.with([])
    rig.connect()
    rig.flash(SLOT, TRIAL, imageCrc(TRIAL))
    const trial = atConsoleFor(rig, SETTLED_NS)
    expect(whoAnswers(trial)).toBe('trial')
    expect(whoAnswers(atConsole(trial))).toBe('bank')
  })
})

function atConsoleFor(rig: Rig, ns: number): Rig {
  const again = atConsole(rig)
  again.chip.runFor(ns)
  return again
}

describe('power goes at every flash operation of the trial slot, on the emulated chip', () => {
  const FRACTIONS = [0, 0.3, 0.8, 1]

  /** Who answers at the next session with a console, and at the one after that. */
  function nextTwo(rig: Rig): string {
    const first = atConsoleFor(rig, SETTLED_NS)
    return `${whoAnswers(first)}, ${whoAnswers(atConsole(first))}`
  }

  /** @returns what the next two sessions are after a cut, for each operation of an act and each part of it that was done */
  function cutEverywhere(prepare: () => Rig, act: (rig: Rig) => void): string[] {
    const whole = prepare()
    const first = whole.chip.flash.operations.length
    act(whole)
    const last = whole.chip.flash.operations.length
    expect(last).toBeGreaterThan(first)
    const sessions: string[] = []
    for (let operation = first; operation < last; operation++)
      for (const fraction of FRACTIONS) {
        const rig = prepare()
        rig.chip.flash.cutPowerAt({ operation, fraction })
        act(rig)
        expect(rig.chip.state).toBe('off')
        sessions.push(nextTwo(rig))
      }
    console.log(`power cuts in the trial slot, on the chip: ${sessions.length}`)
    return sessions
  }

  function send(rig: Rig, request: Request): void {
    const { type, payload } = encodeRequest(request)
    rig.chip.usb.send(encodeFrame({ type, sequence: 200, payload }))
    rig.chip.runFor(400 * MS)
  }

  const CHUNK = 128
  /** What is in a flash, with an image staged for the slot. */
  function staged(flash: Uint8Array, image: Uint8Array): Rig {
    const rig = new Rig(new Chip({ flash: flash.slice() }))
    rig.connect()
    for (let offset = 0; offset < image.length; offset += CHUNK) {
      const bytes = image.subarray(offset, offset + CHUNK)
      rig.ask({ kind: 'write', bank: SLOT, total: image.length, offset, bytes })
    }
    return rig
  }
  const commit: Request = { kind: 'commit', bank: SLOT, ...content(NEWER) }

  test('arming an empty slot: the bank, or the new trial once', () => {
    const flash = flashWith([BANK])
    const sessions = cutEverywhere(
      () => staged(flash, NEWER),
      (rig) => send(rig, commit),
    )
    expect(new Set(sessions)).toEqual(new Set(['bank, bank', 'newer, bank']))
  }, 600_000)

  test('arming a slot that was used: the bank, or the new trial once, and never the old one', () => {
    const flash = atConsoleFor(armed(), SETTLED_NS).chip.flash.bytes.slice()
    const sessions = cutEverywhere(
      () => staged(flash, NEWER),
      (rig) => send(rig, commit),
    )
    expect(new Set(sessions)).toEqual(new Set(['bank, bank', 'newer, bank']))
  }, 600_000)

  test('using it: the trial can come once again, and never twice', () => {
    const flash = armed().chip.flash.bytes.slice()
    const sessions = cutEverywhere(
      () => new Rig(new Chip({ flash: flash.slice() })),
      ({ chip }) => chip.runFor(SETTLED_NS),
    )
    expect(new Set(sessions)).toEqual(new Set(['trial, bank', 'bank, bank']))
  }, 600_000)

  test('forgetting it: the trial once, or the bank', () => {
    const flash = armed().chip.flash.bytes.slice()
    const sessions = cutEverywhere(
      () => {
        const rig = new Rig(new Chip({ flash: flash.slice() }))
        rig.connect()
        return rig
      },
      (rig) => send(rig, { kind: 'forget-trial' }),
    )
    expect(new Set(sessions)).toEqual(new Set(['trial, bank', 'bank, bank']))
  }, 600_000)
})
