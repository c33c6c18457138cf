import * as v from 'valibot'
import { controlsIn } from '../pad/controls.ts'
import type { Layout } from '../pad/layout/schema.ts'
import { stickNumbers } from '../pad/stick/numbers.ts'
import { GATES, StickSchema, USUAL_STICK } from '../pad/stick/settings.ts'
import type { StickSettings } from '../pad/stick/settings.ts'
import { CELLS } from '../port/chart.ts'
import { INPUTS, PINS, inputsIn } from '../port/pins.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { t as documentTexts } from '../document/document-texts.ts'
import { subjectWords } from '../words/sentence-texts.ts'
import { checkEnvelope } from './check-envelope.ts'
import { readPads } from './decode-pads.ts'
import { IMAGE_PADS } from './fit-layouts.ts'
import {
  AT,
  BANK_CHANGE_AT,
  CHORD_AT,
  CHORD_BYTES,
  IMAGE_VERSION,
  LAYER_AT,
  LAYER_HEAD_BYTES,
  NAME_ROOM,
  NEXT_BANK_CODE,
  POWER_ON_AT,
  PREVIOUS_BANK_CODE,
  REPEAT_KINDS_BYTES,
  ROW_BYTES,
  RULE_BYTES,
  STICK_AT,
  STICK_BYTES,
  SWEEP_AT,
  SWEEP_BYTES,
} from './image-layout.ts'
import { layersAt } from './image-codes.ts'
import { ImageReader, Refusal } from './image-reader.ts'
import type { ImageNumber } from './image-reader.ts'
import { imageTexts, t } from './profile-file-texts.ts'
import { BANKS, LIMITS, OPPOSITE_POLICIES, PROFILE_FORMAT, PROFILE_VERSION, ProfileSchema } from './schema.ts'
import type { Profile } from './schema.ts'
import { SWEEP_LIMITS, checkSweep, phasesIn } from './sweep.ts'
import type { Sweep } from './sweep.ts'

/** Where an image is wrong (offset in bytes), and how. */
export interface ImageError {
  readonly byte: number
  readonly message: string
}

export const imageSentence = ({ byte, message }: ImageError): string =>
  subjectWords([documentTexts.atByte({ byte })], message)

/** All that an image holds; notes stay at home, so they are empty. */
interface ImageContent {
  readonly profile: Profile
  readonly layouts: readonly Layout[]
  readonly sweep: Sweep | null
}

/** The profile of an image; its notes are empty. Never throws: what is not an image by IMAGE.md is an error with its place. */
export function decodeImage(image: Uint8Array): Result<Profile, ImageError> {
  const content = readImage(image)
  return content.ok ? ok(content.value.profile) : content
}

/** The layouts of the pads in an image, notes empty; none where it is not an image. */
export function layoutsOfImage(image: Uint8Array): readonly Layout[] {
  const content = readImage(image)
  return content.ok ? content.value.layouts : []
}

/** The late replies of an image; `null` where it has none, or is none. */
export function sweepOfImage(image: Uint8Array): Sweep | null {
  const content = readImage(image)
  return content.ok ? content.value.sweep : null
}

function readImage(bytes: Uint8Array): Result<ImageContent, ImageError> {
  try {
    const version = checkEnvelope(bytes)
    const image = new ImageReader(bytes)
    const { candidate, layouts, sweep, sweepAt } = readContent(image, version)
    const parsed = v.safeParse(ProfileSchema, candidate, { abortEarly: true })
    if (parsed.success) {
      const { chart, delayNs } = parsed.output
      const sound = sweep ? checkSweep(sweep, chart, delayNs) : ok(null)
      return sound.ok
        ? ok({ profile: parsed.output, layouts, sweep })
        : err({ byte: sweepAt, message: sound.error })
    }
    const [issue] = parsed.issues
    return err({ byte: byteOf(issue.path?.[0]?.key), message: issue.message })
  } catch (refusal) {
    if (refusal instanceof Refusal) return err({ byte: refusal.byte, message: refusal.message })
    throw refusal
  }
}

/** The schema's last word on a field that is one number or text in the image. */
const byteOf = (key: unknown): number =>
  key === 'idleResetNs' ? AT.idleResetNs : key === 'delayNs' ? AT.delayNs : key === 'name' ? AT.name : 0

/** Reads section after section, in the order in which they stand. */
function readContent(
  image: ImageReader,
  version: number,
): {
  readonly candidate: unknown
  readonly layouts: readonly Layout[]
  readonly sweep: Sweep | null
  readonly sweepAt: number
} {
  const old = version === 1
  const stay = image.upTo(AT.after, 1, 'after') === 1
  const cycleCount = image.upTo(AT.cycles, stay ? 5 : 6, 'cycles')
  if (cycleCount === 0) throw new Refusal(AT.cycles, t.oneCycle)
  const opposite = image.upTo(AT.opposite, 15, 'opposite')
  const sweeps = version === IMAGE_VERSION ? 1 : 0
  if (old) image.zero(AT.pads, AT.sweeps)
  if (image.upTo(AT.sweeps, sweeps, 'sweeps') < sweeps) throw new Refusal(AT.sweeps, imageTexts.sweepMissing)

  const rowCount = cycleCount + (stay ? 1 : 0)
  const rows = Array.from({ length: rowCount }, (_, k) => {
    const at = AT.chart + k * ROW_BYTES
    return { high: readPhase(image, at), low: readPhase(image, at + ROW_BYTES / 2) }
  })
  image.zero(AT.chart + rowCount * ROW_BYTES, layersAt(rowCount))

  const section = new Sections(image, layersAt(rowCount))
  const layers = section.list(AT.layers, LIMITS.layers, 'layers', (at) => readLayer(image, at, old))
  const powerOn = section.list(AT.powerOnRules, LIMITS.powerOnRules, 'powerOnRules', (at) =>
    readPowerOnRule(image, at),
  )
  const bankChange = section.list(AT.bankChanges, LIMITS.bankChanges, 'bankChanges', (at) =>
    readBankChange(image, at),
  )
  const inMs = old ? 0 : section.next(REPEAT_KINDS_BYTES, (at) => readRepeatKinds(image, at))
  const sticks = old
    ? { left: USUAL_STICK, right: USUAL_STICK }
    : {
        left: section.next(STICK_BYTES, (at) => readStick(image, at)),
        right: section.next(STICK_BYTES, (at) => readStick(image, at)),
      }
  const chords = old ? [] : section.list(AT.chords, LIMITS.chords, 'chords', (at) => readChord(image, at))
  const sweepAt = section.at
  const sweep = sweeps === 0 ? null : section.next(SWEEP_BYTES, (at) => readSweep(image, at))
  const padCount = old ? 0 : image.upTo(AT.pads, IMAGE_PADS, 'pads')
  const { layouts, end } = readPads(image, section.at, padCount)
  if (end !== image.end) throw new Refusal(end, imageTexts.countsTooLow)

  const candidate = {
    format: PROFILE_FORMAT,
    version: PROFILE_VERSION,
    name: image.name(AT.nameBytes, AT.name, NAME_ROOM),
    notes: '',
    family: 'select-line',
    sticks,
    mapping: Object.fromEntries(INPUTS.map((input, k) => [input, controlsIn(image.u32(AT.mapping + 4 * k))])),
    layers,
    chords,
    opposite: { vertical: OPPOSITE_POLICIES[opposite & 3], horizontal: OPPOSITE_POLICIES[opposite >> 2] },
    repeat: readRepeat(image, inMs),
    powerOn,
    bankChange,
    idleResetNs: image.u32(AT.idleResetNs),
    delayNs: image.u16(AT.delayNs),
    chart: stay
      ? { cycles: rows.slice(0, -1), after: { kind: 'stay', reply: rows[rows.length - 1] } }
      : { cycles: rows, after: { kind: 'start-again' } },
  }
  return { candidate, layouts, sweep, sweepAt }
}

/** What one section read: its value and how many bytes it took. */
interface Taken {
  readonly value: unknown
  readonly bytes: number
}

/** Goes through what stands behind the chart. */
class Sections {
  constructor(
    private readonly image: ImageReader,
    public at: number,
  ) {}

  next<T>(bytes: number, read: (at: number) => T): T {
    const value = read(this.at)
    this.at += bytes
    return value
  }

  /** As many as the count in the head says. */
  list(countAt: number, most: number, what: ImageNumber, read: (at: number) => Taken): unknown[] {
    return Array.from({ length: this.image.upTo(countAt, most, what) }, () => {
      const { value, bytes } = read(this.at)
      this.at += bytes
      return value
    })
  }
}

function readPhase(image: ImageReader, at: number): Record<number, string> {
  return Object.fromEntries(
    PINS.map((pin, k) => {
      const byte = at + (k >> 1)
      const cell = CELLS[(image.u8(byte) >> (4 * (k & 1))) & 15]
      if (cell === undefined) throw new Refusal(byte, imageTexts.cell({ pin }))
      return [pin, cell]
    }),
  )
}

function readLayer(image: ImageReader, at: number, old: boolean): Taken {
  const by = image.controls(at + LAYER_AT.by)
  const named = inputsIn(image.inputs(at + LAYER_AT.named, imageTexts.noSuchNamedInput))
  if (old) image.zero(at + LAYER_AT.toggled, at + LAYER_HEAD_BYTES)
  const toggled = image.upTo(at + LAYER_AT.toggled, 1, 'layerKind') === 1
  image.zero(at + LAYER_AT.zero, at + LAYER_HEAD_BYTES)
  const mapping = Object.fromEntries(
    named.map((input, k) => [input, controlsIn(image.u32(at + LAYER_HEAD_BYTES + 4 * k))]),
  )
  return {
    value: { kind: toggled ? 'toggled' : 'held', by, mapping },
    bytes: LAYER_HEAD_BYTES + 4 * named.length,
  }
}

function readPowerOnRule(image: ImageReader, at: number): Taken {
  const held = image.controls(at + POWER_ON_AT.held)
  const bank = image.upTo(at + POWER_ON_AT.bank, BANKS.length, 'bank')
  image.zero(at + POWER_ON_AT.zero, at + RULE_BYTES)
  const then = bank === 0 ? { kind: 'first-cycle-only' } : { kind: 'bank', bank }
  return { value: { held, then }, bytes: RULE_BYTES }
}

function readBankChange(image: ImageReader, at: number): Taken {
  const { bank: bankAt, forMs: forMsAt, held: heldAt, zero } = BANK_CHANGE_AT
  const held = image.controls(at + heldAt)
  const forMs = image.u16(at + forMsAt)
  if (forMs > LIMITS.maxHoldMs)
    throw new Refusal(at + forMsAt, imageTexts.holdTooLong({ found: forMs, most: LIMITS.maxHoldMs }))
  const code = image.upTo(at + bankAt, PREVIOUS_BANK_CODE, 'bankCode')
  if (code === 0) throw new Refusal(at + bankAt, imageTexts.bank0)
  image.zero(at + zero, at + RULE_BYTES)
  const bank = code === NEXT_BANK_CODE ? 'next' : code === PREVIOUS_BANK_CODE ? 'previous' : code
  return { value: { held, forMs, bank }, bytes: RULE_BYTES }
}

/** What `checkSweep` then looks at. */
function readSweep(image: ImageReader, at: number): Sweep {
  const { cycleNs, stepMs } = SWEEP_LIMITS
  image.zero(at + SWEEP_AT.zero, at + SWEEP_BYTES)
  const input = INPUTS[image.u8(at + SWEEP_AT.input)]
  if (input === undefined) throw new Refusal(at + SWEEP_AT.input, imageTexts.noSuchNamedInput)
  const bits = image.u16(at + SWEEP_AT.phases)
  if (bits >> (2 * PINS.length) !== 0) throw new Refusal(at + SWEEP_AT.phases, t.sweepPhases)
  return {
    input,
    phases: phasesIn(bits),
    firstNs: image.u16(at + SWEEP_AT.first) * cycleNs,
    stepNs: image.u16(at + SWEEP_AT.step) * cycleNs,
    steps: image.u8(at + SWEEP_AT.steps),
    onMs: image.u8(at + SWEEP_AT.on) * stepMs,
    offMs: image.u8(at + SWEEP_AT.off) * stepMs,
  }
}

/** Bit set of the inputs whose repeat counts milliseconds. */
function readRepeatKinds(image: ImageReader, at: number): number {
  const inMs = image.inputs(at, imageTexts.noSuchRepeatedInput)
  INPUTS.forEach((input, k) => {
    if ((inMs >> k) & 1 && image.u8(AT.repeat + 2 * k) === 0)
      throw new Refusal(at, imageTexts.msWithoutRepeat({ input }))
  })
  image.zero(at + 2, at + REPEAT_KINDS_BYTES)
  return inMs
}

function readRepeat(image: ImageReader, inMs: number): Record<string, unknown> {
  const repeat: Record<string, unknown> = {}
  INPUTS.forEach((input, k) => {
    const at = AT.repeat + 2 * k
    const pressed = image.u8(at)
    const released = image.u8(at + 1)
    const timed = ((inMs >> k) & 1) === 1
    if ((pressed === 0) !== (released === 0))
      throw new Refusal(
        at,
        imageTexts.halfRepeat({
          input,
          half: `${pressed === 0 ? 'pressed' : 'released'}${timed ? 'Ms' : 'Reads'}`,
        }),
      )
    if (pressed === 0) return
    repeat[input] = timed
      ? { kind: 'time', pressedMs: pressed, releasedMs: released }
      : { kind: 'reads', pressedReads: pressed, releasedReads: released }
  })
  return repeat
}

/** The numbers that follow from the settings stand there for readers that cannot work them out. */
function readStick(image: ImageReader, at: number): StickSettings {
  const gate = GATES[image.upTo(at + STICK_AT.gate, GATES.length - 1, 'gate')]
  image.zero(at + STICK_AT.zero, at + STICK_AT.press)
  const parsed = v.safeParse(
    StickSchema,
    {
      gate,
      innerPercent: image.u8(at + STICK_AT.inner),
      outerPercent: image.u8(at + STICK_AT.outer),
      diagonalPercent: image.u8(at + STICK_AT.diagonal),
      hysteresisPercent: image.u8(at + STICK_AT.hysteresis),
    },
    { abortEarly: true },
  )
  if (!parsed.success) throw new Refusal(at, parsed.issues[0].message)
  const numbers = stickNumbers(parsed.output)
  for (const name of ['press', 'release', 'enter', 'begin', 'leave'] as const) {
    const found = image.u16(at + STICK_AT[name])
    if (found !== numbers[name])
      throw new Refusal(at + STICK_AT[name], imageTexts.stickNumber({ name, found, due: numbers[name] }))
  }
  return parsed.output
}

function readChord(image: ImageReader, at: number): Taken {
  const held = image.controls(at + CHORD_AT.held)
  if (held.length < 2) throw new Refusal(at + CHORD_AT.held, t.twoControls)
  const inputs = inputsIn(image.inputs(at + LAYER_AT.named, imageTexts.noSuchNamedInput))
  if (inputs.length === 0) throw new Refusal(at + CHORD_AT.inputs, t.oneInput)
  const withinMs = image.u16(at + CHORD_AT.ms)
  if (withinMs > LIMITS.maxChordMs)
    throw new Refusal(at + CHORD_AT.ms, imageTexts.chordTooLong({ found: withinMs, most: LIMITS.maxChordMs }))
  return { value: { held, withinMs, inputs }, bytes: CHORD_BYTES }
}
