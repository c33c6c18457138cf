import { expect, it } from 'vitest'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { VirtualPad } from '../../reference/adapter/emulator/virtual-pad.ts'
import { vendorPad } from '../../reference/adapter/emulator/virtual-pads.ts'
import { flashWith } from '../firmware/rig.ts'
import { seenOf } from './seen.ts'

/** Done by `npm run test:proof`: stepping every cycle of a second takes minutes. */

const MS = 1_000_000

/** The firmware as the host of a pad, from power-on until it is served, and what can be seen of it and of the pad. */
function host(lazy: boolean): unknown {
  const chip = new Chip({ flash: flashWith([]), lazy })
  const pad = new VirtualPad(vendorPad({ beginsWithData1: true, slowMs: 1 }))
  chip.plugPad(pad)
  chip.runFor(400 * MS)
  pad.report(Uint8Array.of(0, 0x14, 1))
  chip.runFor(10 * MS)
  chip.unplugPad()
  chip.runFor(2 * MS)
  const { requests, polledNs, complaints } = pad
  return { requests, polledNs, complaints, chip: seenOf(chip) }
}

it('shows while a pad is brought up and served what executing every cycle shows', () => {
  const quick = host(true)
  expect(quick).toMatchObject({ complaints: [], polledNs: expect.arrayContaining([expect.any(Number)]) })
  expect(quick).toEqual(host(false))
})
