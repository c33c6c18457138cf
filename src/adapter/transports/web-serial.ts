import { err, ok } from '../../port/result.ts'
import type { Connection, ConnectionListener, Transport } from '../transport.ts'
import type { OpenTrouble } from '../troubles.ts'
import { anyway, choosingTrouble, errorName, openFailed } from './browser-error.ts'

/** What is used of the Web Serial API (WICG). */
export interface SerialPortApi {
  readonly readable: ReadableStream<Uint8Array> | null
  readonly writable: WritableStream<Uint8Array> | null
  open(options: SerialOptions): Promise<void>
  setSignals(signals: SerialOutputSignals): Promise<void>
  close(): Promise<void>
  addEventListener(type: 'disconnect', listener: () => void): void
  removeEventListener(type: 'disconnect', listener: () => void): void
}
export interface SerialApi {
  requestPort(): Promise<SerialPortApi>
}

/** A USB serial port ignores the rate; some value has to be given. */
const OPTIONS: SerialOptions = { baudRate: 115_200, bufferSize: 4096 }

/** Serial ports through the browser's Web Serial API. */
export const webSerial = (serial: SerialApi, system: 'linux' | 'other'): Transport => ({
  kind: 'web-serial',
  async open() {
    let port: SerialPortApi
    try {
      port = await serial.requestPort()
    } catch (error) {
      return err(choosingTrouble(error))
    }
    try {
      await port.open(OPTIONS)
    } catch (error) {
      return err(openingTrouble(error, system))
    }
    try {
      // Many devices send nothing before they see that somebody is there.
      await port.setSignals({ dataTerminalReady: true, requestToSend: true })
      return ok(new SerialConnection(port))
    } catch (error) {
      await anyway(() => port.close())
      return err(
        errorName(error) === 'NetworkError' ? { kind: 'unplugged-while-opening' } : openFailed(error),
      )
    }
  },
})

/**
 * Source: WICG Web Serial API, open(): InvalidStateError when this page has the port open already, NetworkError when
 * the system refuses, for whichever reason. Only on Linux is missing permission among the usual reasons (common
 * practice, no source).
 */
function openingTrouble(error: unknown, system: 'linux' | 'other'): OpenTrouble {
  switch (errorName(error)) {
    case 'InvalidStateError':
      return { kind: 'held' }
    case 'NetworkError':
      return { kind: system === 'linux' ? 'held-or-no-permission' : 'held' }
    default:
      return openFailed(error)
  }
}

class SerialConnection implements Connection {
  readonly #port: SerialPortApi
  readonly #writer: WritableStreamDefaultWriter<Uint8Array> | undefined
  #reader: ReadableStreamDefaultReader<Uint8Array> | undefined
  #listener: ConnectionListener | undefined
  #reading: Promise<void> = Promise.resolve()
  #lost = false
  #closing: Promise<void> | undefined

  constructor(port: SerialPortApi) {
    this.#port = port
    this.#writer = port.writable?.getWriter()
    port.addEventListener('disconnect', this.#onLost)
  }

  listen(listener: ConnectionListener): void {
    this.#listener = listener
    if (this.#lost) listener.lost()
    else this.#reading = this.#read(listener)
  }

  send(bytes: Uint8Array): void {
    if (this.#closing) return
    if (this.#writer) this.#writer.write(bytes).catch(this.#onLost)
    else this.#onLost()
  }

  close(): Promise<void> {
    this.#closing ??= this.#close()
    return this.#closing
  }

  readonly #onLost = (): void => {
    if (this.#lost || this.#closing) return
    this.#lost = true
    this.#listener?.lost()
  }

  /** A damaged character or a full buffer ends one stream and starts another; only a lost device leaves none. */
  async #read(listener: ConnectionListener): Promise<void> {
    let stream = this.#port.readable
    while (stream && !this.#closing) {
      const reader = stream.getReader()
      this.#reader = reader
      try {
        for (;;) {
          const { value, done } = await reader.read()
          if (done) break
          listener.bytes(value)
        }
      } catch {
        // What the next stream is, decides.
      } finally {
        reader.releaseLock()
      }
      const next = this.#port.readable
      stream = next === stream ? null : next
    }
    this.#onLost()
  }

  async #close(): Promise<void> {
    this.#port.removeEventListener('disconnect', this.#onLost)
    // A locked stream would keep the port open.
    await anyway(() => this.#reader?.cancel())
    await this.#reading
    await anyway(() => this.#writer?.abort())
    this.#writer?.releaseLock()
    await anyway(() => this.#port.close())
  }
}
