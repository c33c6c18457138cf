import fc from 'fast-check'
import { expect, it } from 'vitest'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { flashWith } from '../firmware/rig.ts'
import { seenOf } from './seen.ts'

const images = Object.values(BUILT_IN_PROFILES).map((profile) => encodeImage(profile))

interface Scene {
  readonly image: number
  readonly plugAfterUs: number
  readonly waitsNs: readonly number[]
}

const scene: fc.Arbitrary<Scene> = fc.record({
  image: fc.nat(images.length - 1),
  plugAfterUs: fc.nat(2000),
  waitsNs: fc.array(fc.oneof(fc.integer({ min: 0, max: 5000 }), fc.integer({ min: 0, max: 400_000 })), {
    maxLength: 30,
  }),
})

/** The firmware from power-on through a read of the console, and what can be seen of it. */
function play({ image, plugAfterUs, waitsNs }: Scene, lazy: boolean): unknown {
  const chip = new Chip({ flash: flashWith([images[image] as Uint8Array]), lazy })
  chip.at(plugAfterUs * 1000, () => chip.usb.attach())
  chip.runFor(16_000_000)
  let at = chip.nowNs
  waitsNs.forEach((wait, k) => {
    at += wait
    chip.at(at, () => chip.setSelect(k % 2 ? 'high' : 'low'))
  })
  chip.runTo(at + 2_000_000)
  return seenOf(chip)
}

it('shows on the chip with its firmware what executing every cycle shows', () => {
  fc.assert(
    fc.property(scene, (script) => {
      expect(play(script, true)).toEqual(play(script, false))
    }),
    { numRuns: 8, endOnFailure: true },
  )
})
