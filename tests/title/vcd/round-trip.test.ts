import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CaptureReader } from './capture-reader.ts'
import { readVcd } from './read-vcd.ts'
import { writeVcd } from '../../../src/title/vcd/write.ts'
import { SIGNALS, bytesOf, captureOf, changesOf, cutAt, dump, dumpText } from './arbitrary.ts'
import { draws } from '../../draws.ts'

describe('what is written', () => {
  it('is read again, each signal by name and by path', () => {
    fc.assert(
      fc.property(dump, fc.constantFrom(...SIGNALS), (input, signal) => {
        const bytes = bytesOf(writeVcd(input))
        const expected = {
          ok: true,
          value: captureOf({
            signalPath: `port.${signal}`,
            changes: changesOf(input, signal),
            startNs: 0,
            endNs: input.endNs,
          }),
        }
        expect(readVcd(bytes, { signal })).toEqual(expected)
        expect(readVcd(bytes, { signal: `port.${signal}` })).toEqual(expected)
      }),
      { numRuns: draws(500) },
    )
  })
})

describe('a dump in any shape', () => {
  it('is read for what it says', () => {
    fc.assert(
      fc.property(dumpText, ({ text, capture }) => {
        expect(readVcd(bytesOf(text))).toEqual({ ok: true, value: captureOf(capture) })
      }),
      { numRuns: draws(1000) },
    )
  })

  it('reads the same wherever its chunks end, in wrong files too', () => {
    const damage = fc.option(fc.record({ at: fc.nat(), byte: fc.nat(255) }))
    fc.assert(
      fc.property(
        dumpText,
        damage,
        fc.array(fc.nat(5000), { maxLength: 40 }),
        ({ text }, damaged, places) => {
          const bytes = bytesOf(text)
          if (damaged) bytes[damaged.at % bytes.length] = damaged.byte
          const reader = new CaptureReader()
          for (const chunk of cutAt(bytes, places)) reader.push(chunk)
          expect(reader.finish()).toEqual(readVcd(bytes))
        },
      ),
      { numRuns: draws(1000) },
    )
  })

  it('reads the same byte by byte, from a buffer that is used again', () => {
    fc.assert(
      fc.property(dumpText, ({ text, capture }) => {
        const reader = new CaptureReader()
        const buffer = new Uint8Array(1)
        for (const byte of bytesOf(text)) {
          buffer[0] = byte
          reader.push(buffer)
        }
        expect(reader.finish()).toEqual({ ok: true, value: captureOf(capture) })
      }),
    )
  })
})
