import { imageCrc } from '../../../src/profile/image-crc.ts'
import { err, ok } from '../../../src/port/result.ts'
import type { Result } from '../../../src/port/result.ts'
import type { ControlMask } from '../../../src/pad/controls.ts'
import type { BankStore } from './bank-store.ts'
import {
  BANK_NUMBERS,
  ERROR_TYPE,
  INPUT_EVENT_TYPE,
  REPLY_BIT,
  TRIAL_SLOT,
} from '../../../src/adapter/constants.ts'
import { encodeFrame, Splitter } from '../../../src/adapter/frame.ts'
import type { ReceivedFrame } from '../../../src/adapter/frame.ts'
import type { Request, RequestKind } from '../../../src/adapter/messages.ts'
import type {
  BankContent,
  DeviceErrorName,
  Identity,
  InputEvent,
  Piece,
  Replies,
} from '../../../src/adapter/replies.ts'
import type { PadMemory } from './pad-memory.ts'
import { Staging } from './staging.ts'
import { decodeRequest, encodeError, encodeInputEvent, encodeReply } from './link-device-codec.ts'

/** What the link does to the rest of the box. */
export interface Box {
  /** Whether these bytes are an image that this box can run. */
  accepts(image: Uint8Array): boolean
  /** Controls that the host holds beside those of the pad. */
  setControls(controls: ControlMask): void
  /** The active bank, or what it holds, is another now. */
  activeChanged(): void
  /** What it keeps of pads. */
  readonly padMemory: PadMemory
}

type Answer = { readonly [K in RequestKind]: { readonly kind: K; readonly reply: Replies[K] } }[RequestKind]

const contentOf = (image: Uint8Array | null): BankContent | null =>
  image && { length: image.length, crc32: imageCrc(image) }

/**
 * The device's side of the link: bytes in, bytes out, no time and no waiting. LINK.md says it in words; the firmware
 * says the same in C.
 */
export class Device {
  readonly #identity: Identity
  readonly #store: BankStore
  readonly #box: Box
  readonly #staging: Staging
  #splitter = new Splitter()
  #identified = false
  #monitoring = false
  #events = 0
  #last: { readonly sequence: number; readonly crc32: number; readonly reply: Uint8Array } | null = null

  constructor(identity: Identity, store: BankStore, box: Box) {
    this.#identity = identity
    this.#store = store
    this.#box = box
    this.#staging = new Staging(identity.largestImageBytes, identity.chunkBytes)
  }

  get monitoring(): boolean {
    return this.#monitoring
  }

  /** Takes bytes as they come and returns the replies they call for. A damaged frame is met with silence. */
  receive(bytes: Uint8Array): Uint8Array {
    const replies = this.#splitter
      .push(bytes)
      .map((found) => (found.ok ? this.#answer(found.value) : new Uint8Array()))
    return concat(replies)
  }

  /** An input event for the host; nothing while the monitor is off. */
  inputEvent(event: InputEvent): Uint8Array {
    if (!this.#monitoring) return new Uint8Array()
    const sequence = this.#events++ & 0xff
    return encodeFrame({ type: INPUT_EVENT_TYPE, sequence, payload: encodeInputEvent(event) })
  }

  /** The host has gone: whatever it began or held is over. */
  linkClosed(): void {
    this.#splitter = new Splitter()
    this.#forgetHost()
  }

  #forgetHost(): void {
    this.#identified = false
    this.#monitoring = false
    this.#last = null
    this.#staging.clear()
    this.#box.setControls(0)
  }

  #answer(frame: ReceivedFrame): Uint8Array {
    const last = this.#last
    if (last && last.sequence === frame.sequence && last.crc32 === frame.crc32) return last.reply
    const request = decodeRequest(frame.type, frame.payload)
    const outcome = request.ok ? this.#do(request.value) : err<DeviceErrorName>(refusalOf(request.error))
    const reply = encodeFrame({
      type: outcome.ok ? frame.type | REPLY_BIT : ERROR_TYPE,
      sequence: frame.sequence,
      payload: outcome.ok
        ? encodeReply(outcome.value.kind, outcome.value.reply)
        : encodeError(outcome.error, frame.type),
    })
    this.#last = { sequence: frame.sequence, crc32: frame.crc32, reply }
    return reply
  }

  #do(request: Request): Result<Answer, DeviceErrorName> {
    if (request.kind === 'identify') {
      this.#forgetHost()
      this.#identified = true
      return ok({ kind: 'identify', reply: this.#identity })
    }
    if (!this.#identified) return err('identify first')
    const banks = request.kind === 'select-bank' ? BANK_NUMBERS.length : TRIAL_SLOT + 1
    if ('bank' in request && request.bank >= banks) return err('no such bank')
    switch (request.kind) {
      case 'status':
        return ok({
          kind: 'status',
          reply: {
            active: this.#store.active,
            banks: BANK_NUMBERS.map((_, bank) => contentOf(this.#store.read(bank))),
            // Older firmware says nothing of it.
            trial:
              this.#identity.protocol.minor < 2
                ? null
                : { content: contentOf(this.#store.trial), state: this.#store.trial ? 'armed' : 'empty' },
          },
        })
      case 'write':
        if (request.total > this.#identity.largestImageBytes) return err('image too large')
        if (!this.#staging.put(request.bank, request.total, request.offset, request.bytes))
          return err('out of range')
        return ok({ kind: 'write', reply: null })
      case 'commit':
        return this.#commit(request.bank, { length: request.length, crc32: request.crc32 })
      case 'read':
        return this.#read(request.bank, request.offset, request.count)
      case 'select-bank':
        return this.#selectBank(request.bank)
      case 'monitor':
        this.#monitoring = request.on
        return ok({ kind: 'monitor', reply: null })
      case 'set-controls':
        this.#box.setControls(request.controls)
        return ok({ kind: 'set-controls', reply: null })
      case 'pad-history':
        return ok({
          kind: 'pad-history',
          reply: this.#box.padMemory.history.map(({ pad, descriptor }) => ({
            ...pad,
            descriptorBytes: descriptor.length,
          })),
        })
      case 'read-stored':
        return this.#readStored(request.which, request.offset, request.count)
      case 'forget-pads':
        return this.#box.padMemory.forget() ? ok({ kind: 'forget-pads', reply: null }) : err('memory failed')
      case 'forget-trial':
        return this.#store.setTrial(null) ? ok({ kind: 'forget-trial', reply: null }) : err('memory failed')
    }
  }

  #at(bank: number): Uint8Array | null {
    return bank === TRIAL_SLOT ? this.#store.trial : this.#store.read(bank)
  }

  #commit(bank: number, wanted: BankContent): Result<Answer, DeviceErrorName> {
    const done = { kind: 'commit', reply: null } as const
    const image = this.#staging.whole(bank, wanted.length)
    if (image === null) {
      // The same commit again, after its staging area was let go, finds its work done.
      const there = contentOf(this.#at(bank))
      return there?.length === wanted.length && there.crc32 === wanted.crc32 ? ok(done) : err('incomplete')
    }
    if (imageCrc(image) !== wanted.crc32) return err('checksum differs')
    if (!this.#box.accepts(image)) return err('not an image')
    const kept = bank === TRIAL_SLOT ? this.#store.setTrial(image) : this.#store.commit(bank, image)
    if (!kept) return err('memory failed')
    this.#staging.clear()
    if (bank === this.#store.active) this.#box.activeChanged()
    return ok(done)
  }

  #read(bank: number, offset: number, count: number): Result<Answer, DeviceErrorName> {
    const image = this.#at(bank)
    if (image === null) return err('bank empty')
    const piece = this.#piece(image, offset, count)
    return piece ? ok({ kind: 'read', reply: piece }) : err('out of range')
  }

  #readStored(which: number, offset: number, count: number): Result<Answer, DeviceErrorName> {
    const { lastActivity, history } = this.#box.padMemory
    const whole = which === 0 ? lastActivity : (history[which - 1]?.descriptor ?? null)
    if (whole === null || whole.length === 0) return err('nothing stored')
    const piece = this.#piece(whole, offset, count)
    return piece ? ok({ kind: 'read-stored', reply: piece }) : err('out of range')
  }

  #piece(whole: Uint8Array, offset: number, count: number): Piece | null {
    if (offset >= whole.length || count === 0 || count > this.#identity.chunkBytes) return null
    return { total: whole.length, bytes: whole.slice(offset, offset + count) }
  }

  #selectBank(bank: number): Result<Answer, DeviceErrorName> {
    if (this.#store.read(bank) === null) return err('bank empty')
    if (bank !== this.#store.active) {
      if (!this.#store.setActive(bank)) return err('memory failed')
      this.#box.activeChanged()
    }
    return ok({ kind: 'select-bank', reply: null })
  }
}

const refusalOf = (error: 'unknown message' | 'wrong length' | 'value out of range'): DeviceErrorName =>
  error === 'value out of range' ? 'out of range' : error

function concat(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((length, part) => length + part.length, 0))
  let at = 0
  for (const part of parts) {
    whole.set(part, at)
    at += part.length
  }
  return whole
}
