import { MemoryBankStore } from '../reference/adapter/bank-store.ts'
import { PROTOCOL } from '../../src/adapter/constants.ts'
import { Device } from '../reference/adapter/device.ts'
import { PadMemoryModel } from '../reference/adapter/pad-memory.ts'
import type { Identity } from '../../src/adapter/replies.ts'
import type { Connection, ConnectionListener } from '../../src/adapter/transport.ts'

export const BENCH_IDENTITY: Identity = {
  protocol: PROTOCOL,
  firmware: { major: 0, minor: 3, patch: 1 },
  board: 'Bench board',
  serialNumber: '0001',
  largestImageBytes: 2048,
  chunkBytes: 128,
  delayStepNs: 8,
  delayStretch: 1,
  replyMinNs: 150,
  replyMaxNs: 420,
  idleResetToleranceMinNs: -1000,
  idleResetToleranceMaxNs: 2500,
}

/** What the line does to bytes on their way: none, one or more pieces come out. */
export type Line = (bytes: Uint8Array) => readonly Uint8Array[]

const clean: Line = (bytes) => [bytes]

/** A device on a bench, with a line in between that can be made to misbehave. What is in `refused` it cannot run. */
export class BenchLink {
  readonly store = new MemoryBankStore()
  readonly padMemory = new PadMemoryModel()
  readonly refused: Uint8Array[] = []
  readonly device: Device
  controls = 0
  starts = 0
  toDevice: Line = clean
  toHost: Line = clean

  constructor(identity: Partial<Identity> = {}) {
    this.device = new Device({ ...BENCH_IDENTITY, ...identity }, this.store, {
      accepts: (image) => !this.refused.some((bad) => Buffer.compare(bad, image) === 0),
      setControls: (controls) => (this.controls = controls),
      activeChanged: () => void this.starts++,
      padMemory: this.padMemory,
    })
  }

  open(): BenchConnection {
    return new BenchConnection(this)
  }
}

export class BenchConnection implements Connection {
  closes = 0
  readonly sent: Uint8Array[] = []
  readonly #bench: BenchLink
  #listener: ConnectionListener | null = null

  constructor(bench: BenchLink) {
    this.#bench = bench
  }

  listen(listener: ConnectionListener): void {
    this.#listener = listener
  }

  send(bytes: Uint8Array): void {
    this.sent.push(bytes)
    for (const piece of this.#bench.toDevice(bytes)) this.deliver(this.#bench.device.receive(piece))
  }

  /** Bytes from the device, through the line. */
  deliver(bytes: Uint8Array): void {
    for (const piece of this.#bench.toHost(bytes)) queueMicrotask(() => this.#listener?.bytes(piece))
  }

  unplug(): void {
    this.#bench.device.linkClosed()
    queueMicrotask(() => this.#listener?.lost())
  }

  close(): Promise<void> {
    this.closes++
    this.#bench.device.linkClosed()
    return Promise.resolve()
  }
}
