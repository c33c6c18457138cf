import { describe, expect, test } from 'vitest'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { controlMask } from '../../../src/pad/controls.ts'
import { Rig } from './rig.ts'

const MS = 1_000_000
const CHORD = controlMask(['centre', 'face-south'])

/** Pin 1 tells one bank from the other while nothing is held. */
const withPin1 = (level: 'low' | 'high', more: Partial<Profile>): Uint8Array => {
  const phase = { 1: level, 2: 'high', 3: 'high', 4: 'high', 6: 'high', 9: 'high' } as const
  const cycle = { high: phase, low: phase }
  return encodeImage({
    ...BUILT_IN_PROFILES['three-button'],
    chart: { cycles: [cycle], after: { kind: 'start-again' } },
    ...more,
  })
}
const pin1 = (rig: Rig): string => (rig.chip.de9 & 1 ? 'high' : 'low')

/** One rise: a read goes on until the idle reset. */
function beginRead(rig: Rig): void {
  rig.chip.setSelect('low')
  rig.chip.runFor(3000)
  rig.chip.setSelect('high')
  rig.chip.runFor(3000)
}

describe('rules that change what answers, on the emulated chip', () => {
  const bankChange: Profile['bankChange'] = [{ held: ['centre', 'face-south'], forMs: 100, bank: 'next' }]

  test('a chord changes the bank between reads with nothing held, and the box remembers it', () => {
    const rig = Rig.with([
      withPin1('low', { bankChange, idleResetNs: 50 * MS }),
      withPin1('high', { bankChange }),
    ])
    rig.connect()
    rig.becomePad()
    rig.hold(CHORD)
    rig.chip.runFor(150 * MS)
    expect(pin1(rig)).toBe('low')
    beginRead(rig)
    rig.hold(0)
    rig.chip.runFor(20 * MS)
    expect(pin1(rig)).toBe('low')
    rig.chip.runFor(40 * MS)
    expect(pin1(rig)).toBe('high')
    rig.chip.runFor(10 * MS)
    expect(rig.ask<'status'>({ kind: 'status' }).active).toBe(1)
    const again = new Rig(rig.chip.powerCycle())
    expect(pin1(again)).toBe('high')
  })

  test('a chord for an empty bank changes nothing', () => {
    const rig = Rig.with([withPin1('low', { bankChange })])
    rig.connect()
    rig.becomePad()
    rig.hold(CHORD)
    rig.chip.runFor(150 * MS)
    rig.hold(0)
    rig.chip.runFor(50 * MS)
    expect(rig.ask<'status'>({ kind: 'status' }).active).toBe(0)
    expect(rig.chip.flash.operations).toEqual([])
  })

  test('held at power-on: nothing is pressed until it is judged; then the first cycle answers for good, from the next idle reset on', () => {
    const image = encodeImage({
      ...BUILT_IN_PROFILES['six-button'],
      powerOn: [{ held: ['centre-left'], then: { kind: 'first-cycle-only' } }],
      mapping: { ...BUILT_IN_PROFILES['six-button'].mapping, up: ['centre-left'] },
    })
    const rig = Rig.with([image])
    rig.connect()
    rig.hold(controlMask(['centre-left']))
    rig.chip.runFor(400 * MS)
    expect(pin1(rig)).toBe('high')
    rig.chip.runFor(110 * MS)
    expect(pin1(rig)).toBe('low')

    /** Pins in the low phase after two rises: the identification of six buttons has four lows. */
    const third = (): number => {
      for (let k = 0; k < 2; k++) beginRead(rig)
      rig.chip.setSelect('low')
      rig.chip.runFor(3000)
      const pins = rig.chip.de9 & 0b001111
      rig.chip.setSelect('high')
      rig.chip.runFor(5 * MS)
      return pins
    }
    expect(third()).toBe(0)
    expect(third()).toBe(0b000010)
    expect(third()).toBe(0b000010)
  })

  test('a bank asked for at power-on answers from the next idle reset on, and is not remembered', () => {
    const powerOn: Profile['powerOn'] = [{ held: ['face-north'], then: { kind: 'bank', bank: 2 } }]
    const rig = Rig.with([withPin1('low', { powerOn }), withPin1('high', {})])
    rig.connect()
    rig.hold(controlMask(['face-north']))
    rig.chip.runFor(600 * MS)
    expect(pin1(rig)).toBe('low')
    beginRead(rig)
    rig.chip.runFor(5 * MS)
    expect(pin1(rig)).toBe('high')
    expect(rig.ask<'status'>({ kind: 'status' }).active).toBe(1)
    expect(pin1(new Rig(rig.chip.powerCycle()))).toBe('low')
  })
})

describe('the light', () => {
  /** How often it comes on, and for how many of a hundred looks it is on, in two seconds. */
  function look(rig: Rig, looks = 400): { flashes: number; lit: number } {
    let flashes = 0
    let lit = 0
    let was = rig.chip.ledIsOn
    for (let k = 0; k < looks; k++) {
      rig.chip.runFor(5 * MS)
      if (rig.chip.ledIsOn && !was) flashes++
      if (rig.chip.ledIsOn) lit++
      was = rig.chip.ledIsOn
    }
    return { flashes, lit: Math.round(lit / 4) }
  }

  test('flashes the number of the bank, then shows whether there is a pad and what the console does', () => {
    const image = encodeImage(BUILT_IN_PROFILES['six-button'])
    const rig = Rig.with([null, null, image])
    // A little less than the two seconds: what follows may begin at once.
    const bank = look(rig, 395)
    expect(bank.flashes).toBe(3)
    expect(Math.abs(bank.lit - 28)).toBeLessThan(3)
    expect(look(rig).flashes).toBe(1)
    rig.connect()
    rig.becomePad()
    const waits = look(rig)
    expect(waits.flashes).toBeLessThanOrEqual(1)
    expect(waits.lit).toBeGreaterThan(45)
    expect(waits.lit).toBeLessThan(55)

    const read = (rises: number): void => {
      for (let k = 0; k < rises; k++) beginRead(rig)
    }
    const lookWhileReading = (rises: number): number => {
      let lit = 0
      for (let k = 0; k < 200; k++) {
        read(rises)
        rig.chip.runFor(10 * MS)
        if (rig.chip.ledIsOn) lit++
      }
      return lit
    }
    lookWhileReading(1)
    expect(lookWhileReading(1)).toBe(200)
    lookWhileReading(4)
    const six = lookWhileReading(4)
    expect(six).toBeGreaterThan(180)
    expect(six).toBeLessThan(195)
  })
})
