import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { MAX_ENCODED_BYTES, MAX_PAYLOAD_BYTES } from '../../src/adapter/constants.ts'
import { decodeFrame, encodeFrame, Splitter } from '../../src/adapter/frame.ts'
import type { Frame } from '../../src/adapter/frame.ts'
import { draws } from '../draws.ts'

const byte = fc.integer({ min: 0, max: 255 })
const frame: fc.Arbitrary<Frame> = fc.record({
  type: byte,
  sequence: byte,
  payload: fc.uint8Array({ maxLength: MAX_PAYLOAD_BYTES }),
})

/** Any bytes, cut anywhere. */
const inPieces = (bytes: Uint8Array, cuts: readonly number[]): Uint8Array[] => {
  const at = [0, ...cuts.map((cut) => cut % (bytes.length + 1)).sort((a, b) => a - b), bytes.length]
  return at.slice(1).map((end, k) => bytes.subarray(at[k], end))
}

const framesIn = (splitter: Splitter, pieces: readonly Uint8Array[]) =>
  pieces.flatMap((piece) => splitter.push(piece)).flatMap((found) => (found.ok ? [found.value] : []))

describe('a frame', () => {
  test('comes back as it was', () => {
    fc.assert(
      fc.property(frame, (sent) => {
        const wire = encodeFrame(sent)
        expect(wire.length).toBeLessThanOrEqual(MAX_ENCODED_BYTES + 2)
        const found = decodeFrame(wire.subarray(1, -1))
        expect(found).toMatchObject({ ok: true, value: sent })
      }),
    )
  })

  test('is refused when any one bit of it is another', () => {
    fc.assert(
      fc.property(frame, fc.nat(), (sent, place) => {
        const encoded = encodeFrame(sent).slice(1, -1)
        const bit = place % (encoded.length * 8)
        encoded[bit >> 3] = (encoded[bit >> 3] as number) ^ (1 << (bit & 7))
        expect(decodeFrame(encoded).ok).toBe(false)
      }),
    )
  })

  test('is not made of a payload that is too long', () => {
    const payload = new Uint8Array(MAX_PAYLOAD_BYTES + 1)
    expect(() => encodeFrame({ type: 1, sequence: 0, payload })).toThrow(RangeError)
  })

  test('of fewer than six bytes is none', () => {
    expect(decodeFrame(Uint8Array.of(6, 1, 2, 3, 4, 5))).toEqual({ ok: false, error: 'too short' })
  })
})

describe('the splitter', () => {
  const sends = fc.array(frame, { minLength: 1, maxLength: 5 })

  test('finds every frame, however the bytes are cut', () => {
    fc.assert(
      fc.property(sends, fc.array(fc.nat(), { maxLength: 12 }), (sent, cuts) => {
        const wire = Uint8Array.from(sent.flatMap((one) => [...encodeFrame(one)]))
        expect(framesIn(new Splitter(), inPieces(wire, cuts))).toMatchObject(sent)
      }),
    )
  })

  test('finds its way back after any garbage', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 700 }), frame, (garbage, sent) => {
        const splitter = new Splitter()
        splitter.push(garbage)
        expect(framesIn(splitter, [encodeFrame(sent)]).at(-1)).toMatchObject(sent)
      }),
    )
  })

  test('tells of a broken frame once and of an endless one once', () => {
    const splitter = new Splitter()
    expect(splitter.push(Uint8Array.of(0, 9, 9, 0))).toEqual([{ ok: false, error: 'not COBS' }])
    expect(splitter.push(new Uint8Array(5000).fill(7))).toEqual([])
    expect(splitter.push(Uint8Array.of(0, 0, 0))).toEqual([{ ok: false, error: 'too long' }])
  })

  test('never throws, whatever it is given', () => {
    const splitter = new Splitter()
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
        splitter.push(bytes)
        decodeFrame(bytes)
      }),
      { numRuns: draws(10_000) },
    )
  })
})
