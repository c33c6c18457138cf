import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { encodeBankRecord } from '../bank-record.ts'
import { FLASH_MAP } from '../flash-map.ts'
import { BANKS_END, copyAt } from '../flash-places.ts'
import type { Connection, ConnectionListener, Transport } from '../transport.ts'
import type { OpenTrouble } from '../troubles.ts'
import type { FromChip, Measured, Stimulus, ToChip } from './worker-messages.ts'

/** The part of the flash that banks and the log of the active one are in. */
export const BANK_AREA_BYTES = BANKS_END - FLASH_MAP.banksAt

/** A bank area as it is delivered: one image in bank 1, the others empty. */
export function deliveredBanks(image: Uint8Array): Uint8Array {
  const area = new Uint8Array(BANK_AREA_BYTES).fill(0xff)
  for (const copy of [0, 1] as const)
    area.set(encodeBankRecord(image, 1), copyAt(0, copy) - FLASH_MAP.banksAt)
  return area
}

export interface WorkerChipOptions {
  /** A worker that runs chip.worker.ts. */
  readonly worker: Worker
  readonly firmware: Uint8Array
  readonly banks: Uint8Array
  /** Told what the bank area holds after each change. What the adapter says next waits until this is done. */
  readonly keep: (banks: Uint8Array) => Promise<unknown>
}

/** An emulated chip in a worker: a transport like any other, and a logic analyser on its pins. */
export class WorkerChip implements Transport {
  readonly kind = 'emulated'
  readonly #worker: Worker
  #opening: ((result: Result<Connection, OpenTrouble>) => void) | null = null
  #connection: WorkerConnection | null = null
  #measuring: ((measured: Measured) => void) | null = null
  #trapped = false
  /** Settled while all that was handed out is kept. */
  #kept: Promise<unknown> = Promise.resolve()

  constructor({ worker, firmware, banks, keep }: WorkerChipOptions) {
    this.#worker = worker
    worker.addEventListener('message', ({ data }: MessageEvent<FromChip>) => {
      if (data.kind === 'banks') this.#kept = this.#kept.then(() => keep(data.bytes)).catch(() => undefined)
      else void this.#kept.then(() => this.#heard(data))
    })
    worker.addEventListener('error', () => this.#fall())
    this.#tell({ kind: 'power', firmware, banks })
  }

  open(): Promise<Result<Connection, OpenTrouble>> {
    if (this.#trapped) return Promise.resolve(err({ kind: 'unplugged-while-opening' }))
    if (this.#opening || this.#connection?.open) return Promise.resolve(err({ kind: 'held' }))
    return new Promise((resolve) => {
      this.#opening = resolve
      this.#tell({ kind: 'open' })
    })
  }

  /** What stands on the chip's pins while select moves so, with what is held at the moment. */
  measure(stimulus: Stimulus): Promise<Measured> {
    return new Promise((resolve) => {
      this.#measuring = resolve
      this.#tell({ kind: 'measure', stimulus })
    })
  }

  #tell(message: ToChip): void {
    this.#worker.postMessage(message)
  }

  #heard(message: FromChip): void {
    switch (message.kind) {
      case 'opened': {
        const connection = new WorkerConnection((to) => this.#tell(to))
        this.#connection = connection
        this.#opened(ok(connection))
        return
      }
      case 'refused':
        return this.#opened(err(message.trouble))
      case 'bytes':
        return this.#connection?.bytes(message.bytes)
      case 'lost':
        return this.#connection?.lost()
      case 'measured':
        this.#measuring?.(message.measured)
        this.#measuring = null
        return
      case 'trapped':
        console.error(`The emulated chip stands still: ${message.message}`)
        return this.#fall()
    }
  }

  #opened(result: Result<Connection, OpenTrouble>): void {
    this.#opening?.(result)
    this.#opening = null
  }

  #fall(): void {
    this.#trapped = true
    this.#opened(err({ kind: 'unplugged-while-opening' }))
    this.#connection?.lost()
  }
}

class WorkerConnection implements Connection, ConnectionListener {
  open = true
  #listener: ConnectionListener | null = null
  #early: Uint8Array[] = []
  #lost = false

  constructor(private readonly tell: (message: ToChip) => void) {}

  listen(listener: ConnectionListener): void {
    this.#listener = listener
    for (const bytes of this.#early.splice(0)) listener.bytes(bytes)
    if (this.#lost) listener.lost()
  }

  send(bytes: Uint8Array): void {
    if (this.open) this.tell({ kind: 'send', bytes })
  }

  close(): Promise<void> {
    this.#listener = null
    if (this.open) this.tell({ kind: 'close' })
    this.open = false
    return Promise.resolve()
  }

  bytes(bytes: Uint8Array): void {
    if (!this.open) return
    if (this.#listener) this.#listener.bytes(bytes)
    else this.#early.push(bytes)
  }

  lost(): void {
    if (!this.open) return
    this.open = false
    this.#lost = true
    this.#listener?.lost()
  }
}
