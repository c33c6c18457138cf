import { readFileSync } from 'node:fs'
import { encodeBankRecord } from '../../../src/adapter/bank-record.ts'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { copyAt } from '../../../src/adapter/flash-places.ts'
import { Splitter, encodeFrame } from '../../../src/adapter/frame.ts'
import type { ReceivedFrame } from '../../../src/adapter/frame.ts'
import { IDENTIFY, encodeRequest } from '../../../src/adapter/messages.ts'
import { INPUT_EVENT_TYPE, REPLY_BIT } from '../../../src/adapter/constants.ts'
import type { Request } from '../../../src/adapter/messages.ts'
import { decodeInputEvent, decodeReply } from '../../../src/adapter/replies.ts'
import type { InputEvent, Replies } from '../../../src/adapter/replies.ts'

/** The firmware as it is committed. */
export const FIRMWARE_BIN = new Uint8Array(
  readFileSync(new URL('../../../static/firmware/ninepin.bin', import.meta.url)),
)

const MS = 1_000_000
/** By then the reply engine answers: the crystal settles and the flash is read. */
export const STARTED_NS = 25 * MS
/** From a pad's first report to the power-on rules, and a little. */
const JUDGED_NS = 502 * MS

/** A flash with the firmware and some banks, as the boot loader would leave it. */
export function flashWith(banks: readonly (Uint8Array | null)[] = []): Uint8Array {
  const flash = new Uint8Array(0x200000).fill(0xff)
  flash.set(FIRMWARE_BIN)
  banks.forEach((image, bank) => {
    if (image === null) return
    for (const copy of [0, 1] as const) flash.set(encodeBankRecord(image, 1), copyAt(bank, copy))
  })
  return flash
}

/** The firmware on an emulated chip, with a computer at its USB plug that asks one thing at a time. */
export class Rig {
  readonly chip: Chip
  /** Input events since the link was opened. */
  readonly events: InputEvent[] = []
  readonly #frames: ReceivedFrame[] = []
  #sequence = 0

  constructor(chip: Chip) {
    this.chip = chip
    chip.runFor(STARTED_NS)
  }

  static with(banks: readonly (Uint8Array | null)[], select: 'low' | 'high' = 'high'): Rig {
    return new Rig(new Chip({ flash: flashWith(banks), select }))
  }

  /** Plugs the computer in and opens the link. */
  connect(): Replies['identify'] {
    const { chip } = this
    const splitter = new Splitter()
    chip.usb.onBytes = (bytes) => {
      for (const found of splitter.push(bytes)) if (found.ok) this.#take(found.value)
    }
    chip.usb.attach()
    if (!chip.runUntil(() => chip.usb.state === 'configured', 1000 * MS)) {
      throw new Error(`USB is ${chip.usb.state}: ${chip.usb.faults.join(', ')}`)
    }
    chip.usb.openPort()
    return this.ask<'identify'>(IDENTIFY)
  }

  #take(frame: ReceivedFrame): void {
    const event = frame.type === INPUT_EVENT_TYPE ? decodeInputEvent(frame.payload) : null
    if (event?.ok) this.events.push(event.value)
    else this.#frames.push(frame)
  }

  /** Sends a request and lets time pass until it is answered. */
  ask<K extends keyof Replies>(request: Request & { kind: K }, everyNs = 100_000): Replies[K] {
    const { type, payload } = encodeRequest(request)
    const sequence = this.#sequence++ & 0xff
    this.#frames.length = 0
    this.chip.usb.send(encodeFrame({ type, sequence, payload }))
    const isReply = (frame: ReceivedFrame): boolean => frame.sequence === sequence && frame.type < 0xc0
    const isRefusal = (frame: ReceivedFrame): boolean => frame.sequence === sequence && frame.type === 0xff
    const answer = (): ReceivedFrame | undefined =>
      this.#frames.find((frame) => isReply(frame) || isRefusal(frame))
    if (!this.chip.runUntil(() => answer() !== undefined, 3000 * MS, everyNs)) {
      throw new Error(`no answer to ${request.kind}`)
    }
    const frame = answer() as ReceivedFrame
    if (frame.type !== (type | REPLY_BIT))
      throw new Error(`${request.kind} was refused: ${frame.payload.join(' ')}`)
    const reply = decodeReply(request.kind, frame.payload)
    if (!reply.ok) throw new Error(`the answer to ${request.kind}: ${reply.error}`)
    return reply.value
  }

  /** From now on the host is the pad, and holds nothing; lets time pass until the power-on rules are judged. */
  becomePad(): void {
    this.hold(0)
    this.chip.runFor(JUDGED_NS)
  }

  hold(controls: number): void {
    this.ask({ kind: 'set-controls', controls }, 10_000)
  }

  /** Writes an image into a bank in chunks, and commits it. */
  flash(bank: number, image: Uint8Array, crc32: number): void {
    const CHUNK = 128
    for (let offset = 0; offset < image.length; offset += CHUNK) {
      const bytes = image.subarray(offset, offset + CHUNK)
      this.ask({ kind: 'write', bank, total: image.length, offset, bytes })
    }
    this.ask({ kind: 'commit', bank, length: image.length, crc32 })
  }
}
