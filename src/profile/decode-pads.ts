import * as v from 'valibot'
import { CONTROLS } from '../pad/controls.ts'
import { CROSSES, LAYOUT_FORMAT, LAYOUT_LIMITS, LAYOUT_VERSION, LayoutSchema } from '../pad/layout/schema.ts'
import type { Layout } from '../pad/layout/schema.ts'
import { IMAGE_EXTRACTORS } from './fit-layouts.ts'
import {
  EXTRACTOR_AT,
  EXTRACTOR_BYTES,
  KIND_CODES,
  NAME_ROOM,
  PAD_AT,
  PAD_HEAD_BYTES,
  SIGNED_FLAG,
} from './image-layout.ts'
import { AXIS_SLOTS, VIAS } from './image-codes.ts'
import { Refusal } from './image-reader.ts'
import type { ImageReader } from './image-reader.ts'
import { imageTexts as t } from './profile-file-texts.ts'

/** The layouts of `count` pads from `at` on, and where they end. Throws a {@link Refusal}. */
export function readPads(
  image: ImageReader,
  at: number,
  count: number,
): { readonly layouts: readonly Layout[]; readonly end: number } {
  const layouts: Layout[] = []
  let extractors = 0
  let end = at
  for (let pad = 0; pad < count; pad++) {
    const own = image.upTo(end + PAD_AT.extractors, LAYOUT_LIMITS.extractors, 'extractors')
    extractors += own
    if (extractors > IMAGE_EXTRACTORS)
      throw new Refusal(
        end + PAD_AT.extractors,
        t.tooManyExtractors({ found: extractors, most: IMAGE_EXTRACTORS }),
      )
    layouts.push(readPad(image, end, own))
    end += PAD_HEAD_BYTES + own * EXTRACTOR_BYTES
  }
  return { layouts, end }
}

function readPad(image: ImageReader, at: number, extractors: number): Layout {
  const oneDescriptor = image.upTo(at + PAD_AT.oneDescriptor, 1, 'oneDescriptor')
  if (oneDescriptor === 0) image.zero(at + PAD_AT.descriptorCrc32, at + PAD_AT.name)
  const candidate = {
    format: LAYOUT_FORMAT,
    version: LAYOUT_VERSION,
    name: image.name(at + PAD_AT.nameBytes, at + PAD_AT.name, NAME_ROOM),
    notes: '',
    pad: {
      via: VIAS[image.upTo(at + PAD_AT.via, VIAS.length - 1, 'via')],
      vendorId: image.u16(at + PAD_AT.vendor),
      productId: image.u16(at + PAD_AT.product),
      descriptorCrc32: oneDescriptor === 1 ? image.u32(at + PAD_AT.descriptorCrc32) : null,
    },
    extractors: Array.from({ length: extractors }, (_, k) =>
      readExtractor(image, at + PAD_HEAD_BYTES + k * EXTRACTOR_BYTES),
    ),
  }
  const parsed = v.safeParse(LayoutSchema, candidate, { abortEarly: true })
  if (parsed.success) return parsed.output
  const [issue] = parsed.issues
  throw new Refusal(placeOf(at, issue.path ?? []), issue.message)
}

/** The byte of what the schema found wrong: the extractor, the name, or the pad. */
function placeOf(at: number, path: readonly { readonly key: unknown }[]): number {
  const [outer, inner] = path.map(({ key }) => key)
  if (outer === 'name') return at + PAD_AT.name
  if (outer !== 'extractors') return at
  return typeof inner === 'number' ? at + PAD_HEAD_BYTES + inner * EXTRACTOR_BYTES : at + PAD_AT.extractors
}

function readExtractor(image: ImageReader, at: number): unknown {
  const code = image.u8(at + EXTRACTOR_AT.kind)
  const argument = image.u8(at + EXTRACTOR_AT.argument)
  const count = image.u16(at + EXTRACTOR_AT.count)
  const p = image.i32(at + EXTRACTOR_AT.p)
  const q = image.i32(at + EXTRACTOR_AT.q)
  const r = image.i32(at + EXTRACTOR_AT.r)
  const field = readField(image, at)
  const named = <T>(list: readonly T[], none: (values: { readonly found: number }) => string): T => {
    const found = list[argument]
    if (found === undefined) throw new Refusal(at + EXTRACTOR_AT.argument, none({ found: argument }))
    return found
  }
  const unused = (from: number, to: number = EXTRACTOR_BYTES) => {
    image.zero(at + from, at + to)
  }
  switch (code) {
    case KIND_CODES.threshold:
      unused(EXTRACTOR_AT.count, EXTRACTOR_AT.report)
      unused(EXTRACTOR_AT.r)
      return { kind: 'threshold', control: named(CONTROLS, t.noControl), field, press: p, release: q }
    case KIND_CODES.array:
      unused(EXTRACTOR_AT.q)
      return { kind: 'array', control: named(CONTROLS, t.noControl), field, count, value: p }
    case KIND_CODES.hat:
      if (count !== 4 && count !== 8)
        throw new Refusal(at + EXTRACTOR_AT.count, t.hatPositions({ found: count }))
      unused(EXTRACTOR_AT.r)
      return { kind: 'hat', cross: named(CROSSES, t.noCross), field, first: p, step: q, positions: count }
    case KIND_CODES.axis:
      unused(EXTRACTOR_AT.count, EXTRACTOR_AT.report)
      return { kind: 'axis', ...named(AXIS_SLOTS, t.noAxis), field, low: p, centre: q, high: r }
    default:
      throw new Refusal(at, t.noExtractor({ found: code }))
  }
}

function readField(image: ImageReader, at: number): unknown {
  const bits = image.u8(at + EXTRACTOR_AT.bits)
  return {
    report: image.u8(at + EXTRACTOR_AT.report),
    bit: image.u16(at + EXTRACTOR_AT.bit),
    bits: bits & ~SIGNED_FLAG,
    signed: (bits & SIGNED_FLAG) !== 0,
  }
}
