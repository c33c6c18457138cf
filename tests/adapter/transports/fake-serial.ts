import type { SerialApi, SerialPortApi } from '../../../src/adapter/transports/web-serial.ts'
import { BenchLink } from '../bench-link.ts'

/**
 * Stands for the browser's Web Serial objects, with the states and DOMException names that the WICG Web Serial API gives
 * them (from memory where its text was not at hand). Behind it is a device on a bench.
 */
class FakeSerialPort extends EventTarget implements SerialPortApi {
  readonly bench = new BenchLink()
  /** What the next call of that name rejects with. */
  readonly failing = new Map<'open' | 'setSignals', string>()
  isOpen = false
  opens = 0
  signals: SerialOutputSignals = {}
  readable: ReadableStream<Uint8Array> | null = null
  writable: WritableStream<Uint8Array> | null = null
  #incoming: ReadableStreamDefaultController<Uint8Array> | null = null
  #outgoing: WritableStreamDefaultController | null = null

  open(): Promise<void> {
    if (this.isOpen) return reject('InvalidStateError', 'The port is already open.')
    const name = this.#takeFailure('open')
    if (name) return reject(name, 'Failed to open serial port.')
    this.isOpen = true
    this.opens++
    this.#newReadable()
    this.writable = new WritableStream<Uint8Array>({
      start: (controller) => void (this.#outgoing = controller),
      write: (bytes) => this.arrive(this.bench.device.receive(bytes)),
    })
    return Promise.resolve()
  }

  setSignals(signals: SerialOutputSignals): Promise<void> {
    const name = this.#takeFailure('setSignals')
    if (name) return reject(name, 'Failed to set control signals.')
    this.signals = signals
    return Promise.resolve()
  }

  /** As in the specification: a locked stream cannot be cancelled, so the port stays open. */
  close(): Promise<void> {
    if (!this.isOpen) return reject('InvalidStateError', 'The port is already closed.')
    if (this.readable?.locked || this.writable?.locked)
      return Promise.reject(new TypeError('Cannot cancel a locked stream'))
    this.isOpen = false
    this.readable = this.writable = null
    this.bench.device.linkClosed()
    return Promise.resolve()
  }

  arrive(bytes: Uint8Array): void {
    if (bytes.length > 0) this.#incoming?.enqueue(bytes)
  }

  /** A framing error or the like: the stream ends and another takes its place. */
  stumble(name: string): void {
    const broken = this.#incoming
    this.#newReadable()
    broken?.error(new DOMException('Framing error', name))
  }

  unplug(): void {
    const gone = new DOMException('The device has been lost.', 'NetworkError')
    const incoming = this.#incoming
    this.readable = this.writable = null
    incoming?.error(gone)
    this.#outgoing?.error(gone)
    this.dispatchEvent(new Event('disconnect'))
  }

  #newReadable(): void {
    this.readable = new ReadableStream<Uint8Array>({
      start: (controller) => void (this.#incoming = controller),
    })
  }

  #takeFailure(call: 'open' | 'setSignals'): string | undefined {
    const name = this.failing.get(call)
    this.failing.delete(call)
    return name
  }
}

export class FakeSerial implements SerialApi {
  readonly port = new FakeSerialPort()
  /** What the next choice rejects with. */
  failing: string | undefined

  requestPort(): Promise<SerialPortApi> {
    const name = this.failing
    this.failing = undefined
    return name ? reject(name, 'No port selected by the user.') : Promise.resolve(this.port)
  }
}

const reject = (name: string, message: string) => Promise.reject(new DOMException(message, name))
