import { controlMask } from '../pad/controls.ts'
import { CELLS } from '../port/chart.ts'
import type { Phase } from '../port/chart.ts'
import { INPUTS, PINS } from '../port/pins.ts'
import { crc32 } from '../document/crc32.ts'
import {
  AT,
  CRC_BYTES,
  IMAGE_FAMILY_SELECT_LINE,
  IMAGE_MAGIC,
  IMAGE_VERSION,
  LAYER_HEAD_BYTES,
  NEXT_BANK_CODE,
  PREVIOUS_BANK_CODE,
  ROW_BYTES,
  RULE_BYTES,
  layersAt,
  oppositeCode,
} from './image-layout.ts'
import type { BankTarget, Layer, Profile } from './schema.ts'

const namedInputs = (layer: Layer) => INPUTS.filter((input) => layer.mapping[input] !== undefined)

const layerBytes = (layer: Layer): number => LAYER_HEAD_BYTES + 4 * namedInputs(layer).length

const bankCode = (bank: BankTarget): number =>
  bank === 'next' ? NEXT_BANK_CODE : bank === 'previous' ? PREVIOUS_BANK_CODE : bank

/** The image of a profile, as IMAGE.md lays it out. Every profile has one; equal profiles have equal images. */
export function encodeImage(profile: Profile): Uint8Array<ArrayBuffer> {
  const { chart } = profile
  const rows = chart.after.kind === 'stay' ? [...chart.cycles, chart.after.reply] : chart.cycles
  const rules = profile.powerOn.length + profile.bankChange.length
  const length =
    layersAt(rows.length) +
    profile.layers.reduce((sum, layer) => sum + layerBytes(layer), 0) +
    rules * RULE_BYTES +
    CRC_BYTES

  const image = new Uint8Array(length)
  const view = new DataView(image.buffer)
  const u8 = (at: number, value: number) => view.setUint8(at, value)
  const u16 = (at: number, value: number) => view.setUint16(at, value, true)
  const u32 = (at: number, value: number) => view.setUint32(at, value, true)

  const name = new TextEncoder().encode(profile.name)
  image.set(IMAGE_MAGIC)
  u8(AT.version, IMAGE_VERSION)
  u8(AT.family, IMAGE_FAMILY_SELECT_LINE)
  u16(AT.length, length)
  u32(AT.idleResetNs, profile.idleResetNs)
  u16(AT.delayNs, profile.delayNs)
  u8(AT.cycles, chart.cycles.length)
  u8(AT.after, chart.after.kind === 'stay' ? 1 : 0)
  u8(AT.opposite, oppositeCode(profile.opposite.vertical) | (oppositeCode(profile.opposite.horizontal) << 2))
  u8(AT.layers, profile.layers.length)
  u8(AT.powerOnRules, profile.powerOn.length)
  u8(AT.bankChanges, profile.bankChange.length)
  u8(AT.nameBytes, name.length)
  image.set(name, AT.name)
  INPUTS.forEach((input, k) => {
    const repeat = profile.repeat[input]
    u8(AT.repeat + 2 * k, repeat?.pressedReads ?? 0)
    u8(AT.repeat + 2 * k + 1, repeat?.releasedReads ?? 0)
    u32(AT.mapping + 4 * k, controlMask(profile.mapping[input]))
  })

  const phase = (at: number, cells: Phase) =>
    PINS.forEach((pin, k) => {
      const byte = at + (k >> 1)
      u8(byte, view.getUint8(byte) | (CELLS.indexOf(cells[pin]) << (4 * (k & 1))))
    })
  rows.forEach((row, k) => {
    phase(AT.chart + k * ROW_BYTES, row.high)
    phase(AT.chart + k * ROW_BYTES + ROW_BYTES / 2, row.low)
  })

  let at = layersAt(rows.length)
  for (const layer of profile.layers) {
    const named = namedInputs(layer)
    u32(at, controlMask(layer.while))
    u16(
      at + 4,
      named.reduce((mask, input) => mask | (1 << INPUTS.indexOf(input)), 0),
    )
    at += LAYER_HEAD_BYTES
    for (const input of named) {
      u32(at, controlMask(layer.mapping[input] ?? []))
      at += 4
    }
  }
  for (const rule of profile.powerOn) {
    u32(at, controlMask(rule.held))
    u8(at + 4, rule.then.kind === 'bank' ? rule.then.bank : 0)
    at += RULE_BYTES
  }
  for (const change of profile.bankChange) {
    u32(at, controlMask(change.held))
    u16(at + 4, change.forMs)
    u8(at + 6, bankCode(change.bank))
    at += RULE_BYTES
  }
  u32(at, crc32(image.subarray(0, at)))
  return image
}
