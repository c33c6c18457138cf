import * as v from 'valibot'
import { controlsIn } from '../pad/controls.ts'
import { CELLS } from '../port/chart.ts'
import { INPUTS, PINS } from '../port/pins.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { crc32 } from '../document/crc32.ts'
import {
  AT,
  CRC_BYTES,
  IMAGE_FAMILY_SELECT_LINE,
  IMAGE_MAGIC,
  IMAGE_MAX_BYTES,
  IMAGE_VERSION,
  LAYER_HEAD_BYTES,
  NAME_ROOM,
  NEXT_BANK_CODE,
  PREVIOUS_BANK_CODE,
  ROW_BYTES,
  RULE_BYTES,
  layersAt,
} from './image-layout.ts'
import { OPPOSITE_POLICIES, PROFILE_FORMAT, PROFILE_VERSION, ProfileSchema } from './schema.ts'
import type { Profile } from './schema.ts'

/** Where an image is wrong (offset in bytes), and how. */
export interface ImageError {
  readonly byte: number
  readonly message: string
}

export const imageSentence = (error: ImageError): string => `byte ${error.byte}: ${error.message}`

/** Thrown inside this file only, so that the reader below can be read from top to bottom. */
class Refusal extends Error {
  constructor(
    readonly byte: number,
    message: string,
  ) {
    super(message)
  }
}

/** The profile of an image; its notes are empty. Never throws: what is not an image by IMAGE.md is an error with its place. */
export function decodeImage(image: Uint8Array): Result<Profile, ImageError> {
  try {
    const sound = checkEnvelope(image)
    const candidate = readProfile(new ImageReader(sound))
    const parsed = v.safeParse(ProfileSchema, candidate, { abortEarly: true })
    if (parsed.success) return ok(parsed.output)
    const issue = parsed.issues[0]
    return err({ byte: byteOf(issue.path?.[0]?.key), message: issue.message })
  } catch (refusal) {
    if (refusal instanceof Refusal) return err({ byte: refusal.byte, message: refusal.message })
    throw refusal
  }
}

/** Magic, version, family, length and CRC, in the order in which a wrong file is best explained. */
function checkEnvelope(image: Uint8Array): Uint8Array {
  if (image.length > IMAGE_MAX_BYTES) {
    throw new Refusal(
      IMAGE_MAX_BYTES,
      `the file has ${image.length} bytes; an image has ${IMAGE_MAX_BYTES} at most`,
    )
  }
  IMAGE_MAGIC.forEach((byte, at) => {
    if (at >= image.length)
      throw new Refusal(at, image.length === 0 ? 'the file is empty' : 'the image is cut off')
    if (image[at] !== byte) throw new Refusal(at, 'this is not a profile image: it does not begin with N9PI')
  })
  const smallest = layersAt(1) + CRC_BYTES
  if (image.length <= AT.version) throw new Refusal(image.length, 'the image is cut off')
  if (image[AT.version] !== IMAGE_VERSION) {
    throw new Refusal(
      AT.version,
      `the image has version ${image[AT.version]}; this Ninepin reads version ${IMAGE_VERSION} only`,
    )
  }
  if (image.length < smallest) throw new Refusal(image.length, 'the image is cut off')
  if (image[AT.family] !== IMAGE_FAMILY_SELECT_LINE) {
    throw new Refusal(AT.family, `port family ${image[AT.family]} is not known`)
  }
  const view = new DataView(image.buffer, image.byteOffset, image.length)
  const length = view.getUint16(AT.length, true)
  if (length > image.length)
    throw new Refusal(image.length, `the image is cut off: it says it has ${length} bytes`)
  if (length < image.length) throw new Refusal(length, 'there is something behind the end of the image')
  const end = length - CRC_BYTES
  if (view.getUint32(end, true) !== crc32(image.subarray(0, end))) {
    throw new Refusal(end, 'the CRC does not match: the image is damaged')
  }
  return image
}

/** Reads fields behind one another and refuses to pass the end. */
class ImageReader {
  readonly #view: DataView
  readonly end: number

  constructor(readonly image: Uint8Array) {
    this.#view = new DataView(image.buffer, image.byteOffset, image.length)
    this.end = image.length - CRC_BYTES
  }

  #room(at: number, bytes: number): void {
    if (at + bytes > this.end) throw new Refusal(this.end, 'the counts ask for more than the image holds')
  }
  u8(at: number): number {
    this.#room(at, 1)
    return this.#view.getUint8(at)
  }
  u16(at: number): number {
    this.#room(at, 2)
    return this.#view.getUint16(at, true)
  }
  u32(at: number): number {
    this.#room(at, 4)
    return this.#view.getUint32(at, true)
  }
  zero(from: number, to: number): void {
    for (let at = from; at < to; at++) if (this.u8(at) !== 0) throw new Refusal(at, 'this byte must be zero')
  }
  upTo(at: number, most: number, what: string): number {
    const value = this.u8(at)
    if (value > most) throw new Refusal(at, `${what} is ${value}; ${most} at most`)
    return value
  }
}

function readProfile(image: ImageReader): unknown {
  const stay = image.upTo(AT.after, 1, 'the code for after the last cycle') === 1
  const cycleCount = image.upTo(AT.cycles, stay ? 5 : 6, 'the number of cycles')
  if (cycleCount === 0) throw new Refusal(AT.cycles, 'one cycle at the least is needed')
  const opposite = image.upTo(AT.opposite, 15, 'the code for opposite directions')

  const rowCount = cycleCount + (stay ? 1 : 0)
  const rows = Array.from({ length: rowCount }, (_, k) => {
    const at = AT.chart + k * ROW_BYTES
    return { high: readPhase(image, at), low: readPhase(image, at + ROW_BYTES / 2) }
  })
  image.zero(AT.gap, AT.repeat)
  image.zero(AT.chart + rowCount * ROW_BYTES, layersAt(rowCount))

  let at = layersAt(rowCount)
  const layers = Array.from({ length: image.upTo(AT.layers, 4, 'the number of layers') }, () => {
    const named = image.u16(at + 4)
    if (named >> INPUTS.length !== 0) throw new Refusal(at + 4, 'an input is named that does not exist')
    image.zero(at + 6, at + LAYER_HEAD_BYTES)
    const layer = { while: controlsAt(image, at), mapping: {} as Record<string, unknown> }
    at += LAYER_HEAD_BYTES
    INPUTS.forEach((input, k) => {
      if (!((named >> k) & 1)) return
      layer.mapping[input] = controlsIn(image.u32(at))
      at += 4
    })
    return layer
  })
  const powerOn = Array.from(
    { length: image.upTo(AT.powerOnRules, 4, 'the number of power-on rules') },
    () => {
      const held = controlsAt(image, at)
      const bank = image.upTo(at + 4, 4, 'the bank')
      image.zero(at + 5, at + RULE_BYTES)
      at += RULE_BYTES
      return { held, then: bank === 0 ? { kind: 'first-cycle-only' } : { kind: 'bank', bank } }
    },
  )
  const bankChange = Array.from(
    { length: image.upTo(AT.bankChanges, 8, 'the number of bank changes') },
    () => {
      const held = controlsAt(image, at)
      const forMs = image.u16(at + 4)
      if (forMs > 10_000) throw new Refusal(at + 4, `the time to hold is ${forMs} ms; 10000 at most`)
      const code = image.upTo(at + 6, PREVIOUS_BANK_CODE, 'the code of the bank')
      if (code === 0) throw new Refusal(at + 6, 'there is no bank 0')
      image.zero(at + 7, at + RULE_BYTES)
      at += RULE_BYTES
      return {
        held,
        forMs,
        bank: code === NEXT_BANK_CODE ? 'next' : code === PREVIOUS_BANK_CODE ? 'previous' : code,
      }
    },
  )
  if (at !== image.end) throw new Refusal(at, 'there is more in the image than its counts say')

  return {
    format: PROFILE_FORMAT,
    version: PROFILE_VERSION,
    name: readName(image),
    notes: '',
    family: 'select-line',
    mapping: Object.fromEntries(INPUTS.map((input, k) => [input, controlsIn(image.u32(AT.mapping + 4 * k))])),
    layers,
    opposite: { vertical: OPPOSITE_POLICIES[opposite & 3], horizontal: OPPOSITE_POLICIES[opposite >> 2] },
    repeat: readRepeat(image),
    powerOn,
    bankChange,
    idleResetNs: image.u32(AT.idleResetNs),
    delayNs: image.u16(AT.delayNs),
    chart: stay
      ? { cycles: rows.slice(0, -1), after: { kind: 'stay', reply: rows[rows.length - 1] } }
      : { cycles: rows, after: { kind: 'start-again' } },
  }
}

function readPhase(image: ImageReader, at: number): Record<number, string> {
  return Object.fromEntries(
    PINS.map((pin, k) => {
      const byte = at + (k >> 1)
      const cell = CELLS[(image.u8(byte) >> (4 * (k & 1))) & 15]
      if (cell === undefined) throw new Refusal(byte, `pin ${pin} carries a code that does not exist`)
      return [pin, cell]
    }),
  )
}

function readRepeat(image: ImageReader): Record<string, unknown> {
  const repeat: Record<string, unknown> = {}
  INPUTS.forEach((input, k) => {
    const at = AT.repeat + 2 * k
    const pressedReads = image.u8(at)
    const releasedReads = image.u8(at + 1)
    if ((pressedReads === 0) !== (releasedReads === 0))
      throw new Refusal(
        at,
        `the repeat of ${input} lacks its ${pressedReads === 0 ? 'pressed' : 'released'} reads`,
      )
    if (pressedReads > 0) repeat[input] = { pressedReads, releasedReads }
  })
  return repeat
}

function controlsAt(image: ImageReader, at: number) {
  const controls = controlsIn(image.u32(at))
  if (controls.length === 0) throw new Refusal(at, 'one control at the least is needed')
  return controls
}

function readName(image: ImageReader): string {
  const length = image.upTo(AT.nameBytes, NAME_ROOM, 'the length of the name in bytes')
  image.zero(AT.name + length, AT.name + NAME_ROOM)
  try {
    const bytes = image.image.subarray(AT.name, AT.name + length)
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes)
  } catch {
    throw new Refusal(AT.name, 'the name is not UTF-8')
  }
}

/** The schema's last word on a field that is one number or text in the image. */
const byteOf = (key: unknown): number =>
  key === 'idleResetNs' ? AT.idleResetNs : key === 'delayNs' ? AT.delayNs : key === 'name' ? AT.name : 0
