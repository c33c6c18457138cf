import { CONTROLS } from '../pad/controls.ts'
import { CROSSES } from '../pad/layout/schema.ts'
import type { Extractor, Field, Layout } from '../pad/layout/schema.ts'
import { ByteWriter } from './byte-writer.ts'
import {
  EXTRACTOR_BYTES,
  KIND_CODES,
  NAME_ROOM,
  PAD_AT,
  PAD_HEAD_BYTES,
  SIGNED_FLAG,
} from './image-layout.ts'
import { AXIS_SLOTS, VIAS } from './image-codes.ts'

/**
 * A pad as it stands in an image, 44 bytes and 20 for each extractor.
 *
 * @throws RangeError for a layout that only a browser can use
 */
export function encodePad({ name, pad, extractors }: Layout): Uint8Array<ArrayBuffer> {
  const via = VIAS.findIndex((one) => one === pad.via)
  if (via < 0) throw new RangeError('a layout of the browser has no place in an image')
  const nameBytes = new TextEncoder().encode(name)
  const writer = new ByteWriter(PAD_HEAD_BYTES + extractors.length * EXTRACTOR_BYTES)
    .u16(pad.vendorId)
    .u16(pad.productId)
    .u8(via)
    .u8(extractors.length)
    .u8(nameBytes.length)
    .u8(pad.descriptorCrc32 === null ? 0 : 1)
    .u32(pad.descriptorCrc32 ?? 0)
    .put(nameBytes)
    .zeroTo(PAD_AT.name + NAME_ROOM)
  for (const extractor of extractors) putExtractor(writer, extractor)
  return writer.bytes
}

function putExtractor(writer: ByteWriter, extractor: Extractor): void {
  const { argument, count, numbers } = codesOf(extractor)
  writer.u8(KIND_CODES[extractor.kind]).u8(argument).u16(count)
  putField(writer, extractor.field)
  for (const number of numbers) writer.i32(number)
}

const putField = (writer: ByteWriter, { report, bit, bits, signed }: Field): void =>
  void writer
    .u8(report)
    .u8(bits | (signed ? SIGNED_FLAG : 0))
    .u16(bit)

interface Codes {
  readonly argument: number
  readonly count: number
  /** `p`, `q`, `r`. */
  readonly numbers: readonly [number, number, number]
}

function codesOf(extractor: Extractor): Codes {
  switch (extractor.kind) {
    case 'threshold': {
      const { control, press, release } = extractor
      return { argument: CONTROLS.indexOf(control), count: 0, numbers: [press, release, 0] }
    }
    case 'array': {
      const { control, count, value } = extractor
      return { argument: CONTROLS.indexOf(control), count, numbers: [value, 0, 0] }
    }
    case 'hat': {
      const { cross, positions, first, step } = extractor
      return { argument: CROSSES.indexOf(cross), count: positions, numbers: [first, step, 0] }
    }
    case 'axis': {
      const { stick, axis, low, centre, high } = extractor
      const slot = AXIS_SLOTS.findIndex((one) => one.stick === stick && one.axis === axis)
      return { argument: slot, count: 0, numbers: [low, centre, high] }
    }
  }
}
