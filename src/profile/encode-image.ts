import { controlMask } from '../pad/controls.ts'
import type { Layout } from '../pad/layout/schema.ts'
import { stickNumbers } from '../pad/stick/numbers.ts'
import type { StickSettings } from '../pad/stick/settings.ts'
import { CELLS } from '../port/chart.ts'
import type { Phase } from '../port/chart.ts'
import { INPUTS, PINS, maskOf } from '../port/pins.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { crc32 } from '../document/crc32.ts'
import { ByteWriter } from './byte-writer.ts'
import { encodePad } from './encode-pad.ts'
import { fitLayouts } from './fit-layouts.ts'
import {
  AT,
  CHORD_BYTES,
  CRC_BYTES,
  IMAGE_FAMILY_SELECT_LINE,
  IMAGE_MAGIC,
  IMAGE_MAX_BYTES,
  IMAGE_VERSION,
  PLAIN_IMAGE_VERSION,
  LAYER_HEAD_BYTES,
  NEXT_BANK_CODE,
  PREVIOUS_BANK_CODE,
  REPEAT_KINDS_BYTES,
  RULE_BYTES,
  STICK_BYTES,
  SWEEP_BYTES,
} from './image-layout.ts'
import { gateCode, layersAt, oppositeCode } from './image-codes.ts'
import { imageTexts as t } from './profile-file-texts.ts'
import type { BankTarget, Layer, Profile, Repeat } from './schema.ts'
import { SWEEP_LIMITS, checkSweep, phaseBits } from './sweep.ts'
import type { Sweep } from './sweep.ts'

const namedInputs = (layer: Layer) => INPUTS.filter((input) => layer.mapping[input] !== undefined)

const layerBytes = (layer: Layer): number => LAYER_HEAD_BYTES + 4 * namedInputs(layer).length

const bankCode = (bank: BankTarget): number =>
  bank === 'next' ? NEXT_BANK_CODE : bank === 'previous' ? PREVIOUS_BANK_CODE : bank

/** Whether these layouts fit into one image; the error is a sentence about the first that does not. */
export function checkLayouts(layouts: readonly Layout[]): Result<null, string> {
  const [first] = fitLayouts(layouts).leftOut
  return first === undefined ? ok(null) : err(first.sentence)
}

/**
 * The image of a profile and the pads that it is played with, as IMAGE.md lays it out. There is exactly one.
 *
 * @throws RangeError for layouts that `checkLayouts` refuses, for a sweep that `checkSweep` does, or where a sweep finds no room
 */
export function encodeImage(
  profile: Profile,
  layouts: readonly Layout[] = [],
  sweep: Sweep | null = null,
): Uint8Array<ArrayBuffer> {
  const { chart } = profile
  for (const room of [checkLayouts(layouts), sweep ? checkSweep(sweep, chart, profile.delayNs) : ok(null)])
    if (!room.ok) throw new RangeError(room.error)
  const rows = chart.after.kind === 'stay' ? [...chart.cycles, chart.after.reply] : chart.cycles
  const pads = layouts.map(encodePad)
  const sum = (lengths: readonly number[]) => lengths.reduce((a, b) => a + b, 0)
  const length =
    layersAt(rows.length) +
    sum(profile.layers.map(layerBytes)) +
    (profile.powerOn.length + profile.bankChange.length) * RULE_BYTES +
    REPEAT_KINDS_BYTES +
    2 * STICK_BYTES +
    profile.chords.length * CHORD_BYTES +
    (sweep ? SWEEP_BYTES : 0) +
    sum(pads.map((pad) => pad.length)) +
    CRC_BYTES

  if (length > IMAGE_MAX_BYTES) throw new RangeError(t.tooLong({ bytes: length, most: IMAGE_MAX_BYTES }))

  const name = new TextEncoder().encode(profile.name)
  const { opposite } = profile
  const image = new ByteWriter(length)
    .put(IMAGE_MAGIC)
    .u8(sweep ? IMAGE_VERSION : PLAIN_IMAGE_VERSION)
    .u8(IMAGE_FAMILY_SELECT_LINE)
    .u16(length)
    .u32(profile.idleResetNs)
    .u16(profile.delayNs)
    .u8(chart.cycles.length)
    .u8(chart.after.kind === 'stay' ? 1 : 0)
    .u8(oppositeCode(opposite.vertical) | (oppositeCode(opposite.horizontal) << 2))
    .u8(profile.layers.length)
    .u8(profile.powerOn.length)
    .u8(profile.bankChange.length)
    .u8(name.length)
    .put(name)
    .zeroTo(AT.pads)
    .u8(pads.length)
    .u8(profile.chords.length)
    .u8(sweep ? 1 : 0)
  for (const input of INPUTS) for (const steps of stepsOf(profile.repeat[input])) image.u8(steps)
  for (const input of INPUTS) image.u32(controlMask(profile.mapping[input]))
  for (const { high, low } of rows) {
    putPhase(image, high)
    putPhase(image, low)
  }
  image.zeroTo(layersAt(rows.length))
  for (const layer of profile.layers) putLayer(image, layer)
  for (const { held, then } of profile.powerOn) {
    image
      .u32(controlMask(held))
      .u8(then.kind === 'bank' ? then.bank : 0)
      .zeroTo(image.at + 3)
  }
  for (const { held, forMs, bank } of profile.bankChange)
    image.u32(controlMask(held)).u16(forMs).u8(bankCode(bank)).u8(0)
  image.u16(maskOf(INPUTS.filter((input) => profile.repeat[input]?.kind === 'time'))).u16(0)
  putStick(image, profile.sticks.left)
  putStick(image, profile.sticks.right)
  for (const { held, inputs, withinMs } of profile.chords)
    image.u32(controlMask(held)).u16(maskOf(inputs)).u16(withinMs)
  if (sweep) putSweep(image, sweep)
  for (const pad of pads) image.put(pad)
  return image.u32(crc32(image.bytes.subarray(0, image.at))).bytes
}

function stepsOf(repeat: Repeat | undefined): readonly [number, number] {
  if (repeat === undefined) return [0, 0]
  return repeat.kind === 'reads'
    ? [repeat.pressedReads, repeat.releasedReads]
    : [repeat.pressedMs, repeat.releasedMs]
}

/** Six cell codes, the lower half of a byte first. */
function putPhase(image: ByteWriter, cells: Phase): void {
  const codes = PINS.map((pin) => CELLS.indexOf(cells[pin]))
  for (let k = 0; k < codes.length; k += 2) image.u8((codes[k] ?? 0) | ((codes[k + 1] ?? 0) << 4))
}

function putLayer(image: ByteWriter, layer: Layer): void {
  const named = namedInputs(layer)
  image
    .u32(controlMask(layer.by))
    .u16(maskOf(named))
    .u8(layer.kind === 'toggled' ? 1 : 0)
    .u8(0)
  for (const input of named) image.u32(controlMask(layer.mapping[input] ?? []))
}

function putSweep(image: ByteWriter, { input, phases, firstNs, stepNs, steps, onMs, offMs }: Sweep): void {
  const { cycleNs, stepMs } = SWEEP_LIMITS
  image
    .u8(INPUTS.indexOf(input))
    .u8(steps)
    .u16(phaseBits(phases))
    .u16(firstNs / cycleNs)
    .u16(stepNs / cycleNs)
    .u8(onMs / stepMs)
    .u8(offMs / stepMs)
    .u16(0)
}

function putStick(image: ByteWriter, settings: StickSettings): void {
  const { press, release, enter, begin, leave } = stickNumbers(settings)
  image
    .u8(gateCode(settings.gate))
    .u8(settings.innerPercent)
    .u8(settings.outerPercent)
    .u8(settings.diagonalPercent)
    .u8(settings.hysteresisPercent)
    .u8(0)
    .u16(press)
    .u16(release)
    .u16(enter)
    .u16(begin)
    .u16(leave)
}
