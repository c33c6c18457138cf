import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { imageCrc } from '../../../src/profile/image-crc.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { ALL_HIGH } from '../../../src/port/pins.ts'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { arbProfile } from '../../arbitraries.ts'
import { Chance, SideBySide } from './differential.ts'
import { inputCycles, replyCycles } from './measure.ts'
import { Rig, STARTED_NS, flashWith } from './rig.ts'

const MS = 1_000_000
const spread = (cycles: readonly number[]) => ({ least: Math.min(...cycles), most: Math.max(...cycles) })

describe('the reply engine on the emulated chip', () => {
  test('answers an edge in 4 to 6 cycles, all six pins at once, whatever comes after the last cycle', () => {
    for (const after of ['stay', 'start-again'] as const) {
      expect(spread(replyCycles(after, 0, 4000, 1))).toEqual({ least: 4, most: 6 })
    }
  })

  test('a deliberate delay of d cycles adds d at least and 2 d at most', () => {
    for (let d = 1; d <= 7; d++) {
      const { least, most } = spread(replyCycles('start-again', d, 1500, d))
      expect(least).toBe(4 + d)
      expect(most).toBeLessThanOrEqual(6 + 2 * d)
      expect(most).toBeGreaterThan(5 + d)
    }
  })

  test('a changed input reaches the pins within 25 cycles (200 ns) of its store', () => {
    const { most } = spread(inputCycles(60, 5))
    expect(most).toBeLessThanOrEqual(25)
  })

  test('from the reset vector on no line is low that a pad at rest does not pull low, and answers come within 25 ms', () => {
    const chip = new Chip({ flash: flashWith(), select: 'high' })
    chip.runFor(STARTED_NS)
    expect(chip.edges).toEqual([])
    chip.setSelect('low')
    chip.runFor(200)
    // The factory image at rest: pins 3 and 4 are the fixed lows of a three-button pad.
    expect(chip.de9).toBe(ALL_HIGH & ~0b001100)
  })

  const SEED = 20_261_125

  /** Sequences of select with presses between them, one image after another on one chip. */
  function compareMany(images: number, sequences: number, idleResetNs: (chance: Chance) => number): string[] {
    const chance = new Chance(SEED)
    const profiles = fc.sample(arbProfile, { seed: SEED, numRuns: images })
    const rig = Rig.with([])
    const identity = rig.connect()
    rig.becomePad()
    let held = 0
    const faults: string[] = []
    profiles.forEach((profile, number) => {
      const image = encodeImage(runnable(profile, idleResetNs(chance)))
      rig.flash(0, image, imageCrc(image))
      const side = new SideBySide(rig, image, identity, held)
      for (let sequence = 0; sequence < sequences; sequence++) {
        if (chance.below(3) === 0) {
          held = chance.below(4) === 0 ? 0 : (chance.below(2 ** 16) * 2 ** 16 + chance.below(2 ** 16)) >>> 0
          side.hold(held)
        }
        for (let edges = 1 + chance.below(24); edges > 0; edges--) {
          const long = chance.below(20) === 0
          side.select(300 + chance.below(long ? 120_000 : 4000))
        }
        const fault = side.compare()
        if (fault !== null) faults.push(`image ${number}, sequence ${sequence}: ${fault}`)
      }
    })
    expect(rig.chip.watchdogResets).toBe(0)
    return faults
  }

  /**
   * Bank changes are left out (the other banks are empty); so soon one after the other, the steps of a repeat run together. What
   * takes milliseconds is left out as well: the engine of `src/port` counts select only, and input-state.test.ts compares the rest.
   */
  const runnable = (profile: Profile, idleResetNs: number): Profile => ({
    ...profile,
    bankChange: [],
    chords: [],
    repeat: idleResetNs < 60_000 ? {} : byReads(profile.repeat),
    idleResetNs,
  })

  const byReads = (repeat: Profile['repeat']): Profile['repeat'] =>
    Object.fromEntries(Object.entries(repeat).filter(([, one]) => one.kind === 'reads'))

  test('10 000 random sequences on random images: the pins are those of src/port, outside the published windows', () => {
    console.log(`seed ${SEED}: 100 images, 100 sequences each, idle resets 10 to 100 us`)
    expect(compareMany(100, 100, (chance) => 10_000 + chance.below(90_000))).toEqual([])
  }, 300_000)

  test('200 sequences with idle resets of 1.1 to 1.8 ms', () => {
    console.log(`seed ${SEED}: 20 images, 10 sequences each, idle resets 1.1 to 1.8 ms`)
    expect(compareMany(20, 10, (chance) => 1_100_000 + chance.below(700_000))).toEqual([])
  }, 300_000)

  test('the pins stand still while another image is loaded, and then answer from the first cycle', () => {
    const rig = Rig.with([])
    rig.connect()
    const [profile] = fc.sample(arbProfile, { seed: 7, numRuns: 1 }) as [Profile]
    const image = encodeImage(runnable(profile, 50_000))
    rig.chip.runFor(10 * MS)
    rig.chip.clearEdges()
    rig.flash(0, image, imageCrc(image))
    expect(rig.chip.edges.length).toBeLessThanOrEqual(1)
  })
})
