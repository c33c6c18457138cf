import fc from 'fast-check'
import type { PadDescription, Vices } from '../../reference/adapter/emulator/virtual-pad.ts'
import {
  gamePad,
  hub,
  keyboard,
  receiver,
  somethingElse,
  vendorPad,
} from '../../reference/adapter/emulator/virtual-pads.ts'

/** Virtual pads with everything that may be wrong with one, and what happens to them. */

const sometimes = <Value>(value: fc.Arbitrary<Value>): fc.Arbitrary<Value | undefined> =>
  fc.option(value, { nil: undefined, freq: 3 })

const requestNumber = fc.constantFrom(1, 5, 6, 9, 10, 11)

const arbVices: fc.Arbitrary<Vices> = fc
  .record({
    attachMs: sometimes(fc.integer({ min: 0, max: 800 })),
    slowMs: sometimes(fc.oneof(fc.integer({ min: 1, max: 60 }), fc.constant(700))),
    stalls: sometimes(fc.array(requestNumber, { maxLength: 2 })),
    silent: sometimes(fc.boolean()),
    resetsNeeded: sometimes(fc.integer({ min: 1, max: 4 })),
    garblesOneIn: sometimes(fc.integer({ min: 1, max: 20 })),
    missesAckOneIn: sometimes(fc.integer({ min: 1, max: 20 })),
    babbles: sometimes(fc.constantFrom(1, 8, 60, 900, 2000)),
    beginsWithData1: sometimes(fc.boolean()),
    haltsAfter: sometimes(fc.integer({ min: 1, max: 6 })),
    leavesAfterMs: sometimes(fc.integer({ min: 1, max: 700 })),
    backAfterMs: sometimes(fc.integer({ min: 1, max: 300 })),
    overloads: sometimes(fc.boolean()),
    seed: fc.integer({ min: 1, max: 0x7fffffff }),
  })
  .map((vices): Vices => Object.fromEntries(Object.entries(vices).filter(([, value]) => value !== undefined)))

const arbSound: fc.Arbitrary<PadDescription> = fc.oneof(
  fc
    .record({
      speed: fc.constantFrom('full' as const, 'low' as const),
      packet0: fc.constantFrom(8, 8, 16, 64),
      packetBytes: fc.constantFrom(1, 4, 8, 64, 0x7ff),
      intervalMs: fc.constantFrom(0, 1, 4, 10, 255),
      toldTotal: sometimes(fc.constantFrom(0, 9, 20, 600, 0xffff)),
      toldDescriptorBytes: sometimes(fc.constantFrom(0, 1, 30, 2048, 2049, 0xffff)),
      vices: arbVices,
    })
    .map(({ speed, packet0, vices, packetBytes, intervalMs, toldTotal, toldDescriptorBytes }) =>
      gamePad(
        { speed, packet0, vices, ...(toldTotal === undefined ? {} : { toldTotal }) },
        { packetBytes, intervalMs, ...(toldDescriptorBytes === undefined ? {} : { toldDescriptorBytes }) },
      ),
    ),
  arbVices.chain((vices) =>
    fc.constantFrom(receiver(vices), keyboard(vices), hub(vices), somethingElse(vices), vendorPad(vices)),
  ),
)

/** Bytes of a descriptor that say something else than they ought to. */
const arbDamage = fc.array(fc.tuple(fc.nat(63), fc.nat(255)), { maxLength: 4 })

const damaged = (bytes: Uint8Array, damage: readonly (readonly [number, number])[]): Uint8Array => {
  const copy = bytes.slice()
  for (const [at, value] of damage) if (at < copy.length) copy[at] = value
  return copy
}

export const arbPad: fc.Arbitrary<PadDescription> = fc
  .tuple(arbSound, fc.oneof({ weight: 2, arbitrary: fc.constant([]) }, arbDamage), fc.nat(2))
  .map(([pad, damage, which]) => ({
    ...pad,
    device: which === 0 ? damaged(pad.device, damage) : pad.device,
    configuration: which === 1 ? damaged(pad.configuration, damage) : pad.configuration,
    reportDescriptors: new Map(
      [...(pad.reportDescriptors ?? [])].map(([number, bytes]) => [
        number,
        which === 2 ? damaged(bytes, damage) : bytes,
      ]),
    ),
  }))

/** A pad, the reports that it sends, and when it is pulled. */
export interface Visit {
  readonly pad: PadDescription
  readonly reports: readonly Uint8Array[]
  readonly staysMs: number
  readonly emptyMs: number
}

export const arbVisit: fc.Arbitrary<Visit> = fc.record({
  pad: arbPad,
  reports: fc.array(fc.uint8Array({ maxLength: 70 }), { maxLength: 8 }),
  staysMs: fc.oneof(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 0, max: 2500 })),
  // Longer than a reset and the rest after it: nobody is so quick.
  emptyMs: fc.integer({ min: 70, max: 700 }),
})
