import { crc32 } from '../document/crc32.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { cobsDecode, cobsEncode } from './cobs.ts'
import { FRAME_OVERHEAD_BYTES, MAX_BODY_BYTES, MAX_ENCODED_BYTES, MAX_PAYLOAD_BYTES } from './constants.ts'

/** One message on the link. */
export interface Frame {
  readonly type: number
  /** 0 to 255; a reply carries the number of its request, events count for themselves. */
  readonly sequence: number
  readonly payload: Uint8Array
}

/** A frame that arrived, with the check value it came with. */
export interface ReceivedFrame extends Frame {
  readonly crc32: number
}

export type FrameError = 'not COBS' | 'too short' | 'too long' | 'wrong CRC'

const CRC_BYTES = 4

/**
 * The bytes of one frame with a zero on either side. The zero in front cuts off whatever garbage the other side may
 * still hold; the empty frame it may make there is ignored.
 *
 * @throws RangeError when the payload exceeds {@link MAX_PAYLOAD_BYTES}: no message of ours can
 */
export function encodeFrame({ type, sequence, payload }: Frame): Uint8Array {
  if (payload.length > MAX_PAYLOAD_BYTES) throw new RangeError(`a payload of ${payload.length} bytes`)
  const body = new Uint8Array(payload.length + FRAME_OVERHEAD_BYTES)
  body.set([type, sequence])
  body.set(payload, 2)
  const crcAt = body.length - CRC_BYTES
  new DataView(body.buffer).setUint32(crcAt, crc32(body.subarray(0, crcAt)), true)
  const encoded = cobsEncode(body)
  const wire = new Uint8Array(encoded.length + 2)
  wire.set(encoded, 1)
  return wire
}

/** What stood between two zeros, as a frame. */
export function decodeFrame(encoded: Uint8Array): Result<ReceivedFrame, FrameError> {
  const decoded = cobsDecode(encoded)
  if (!decoded.ok) return err('not COBS')
  const body = decoded.value
  if (body.length < FRAME_OVERHEAD_BYTES) return err('too short')
  if (body.length > MAX_BODY_BYTES) return err('too long')
  const crcAt = body.length - CRC_BYTES
  const stated = new DataView(body.buffer, body.byteOffset).getUint32(crcAt, true)
  if (stated !== crc32(body.subarray(0, crcAt))) return err('wrong CRC')
  return ok({
    type: body[0] as number,
    sequence: body[1] as number,
    payload: body.slice(2, crcAt),
    crc32: stated,
  })
}

/** Cuts a stream of bytes into frames, in whatever pieces it comes, and finds its way back after garbage. */
export class Splitter {
  readonly #held = new Uint8Array(MAX_ENCODED_BYTES)
  #length = 0
  #overflown = false

  /** The frames that these bytes complete, and an error for each run of bytes between two zeros that is none. */
  push(bytes: Uint8Array): Result<ReceivedFrame, FrameError>[] {
    const found: Result<ReceivedFrame, FrameError>[] = []
    for (const byte of bytes) {
      if (byte !== 0) {
        if (this.#length < this.#held.length) this.#held[this.#length++] = byte
        else this.#overflown = true
        continue
      }
      if (this.#overflown) found.push(err('too long'))
      else if (this.#length > 0) found.push(decodeFrame(this.#held.subarray(0, this.#length)))
      this.#length = 0
      this.#overflown = false
    }
    return found
  }
}
