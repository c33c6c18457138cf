import { err, ok } from '../../../src/port/result.ts'
import type { ModelAdapter } from './model-adapter.ts'
import type { Connection, ConnectionListener, Transport } from '../../../src/adapter/transport.ts'

/** The way to a model adapter in memory; bytes take a turn of the event loop, as they would over a cable. */
export const modelTransport = (model: ModelAdapter): Transport => ({
  kind: 'emulated',
  open() {
    const connection = new ModelConnection()
    const outcome = model.attach(connection)
    if (outcome !== 'attached') {
      const kind = outcome === 'held' ? 'held' : 'unplugged-while-opening'
      return Promise.resolve(err({ kind }))
    }
    connection.model = model
    return Promise.resolve(ok(connection))
  },
})

class ModelConnection implements Connection, ConnectionListener {
  /** Null once it is closed or lost. */
  model: ModelAdapter | null = null
  #listener: ConnectionListener | null = null
  #lost = false

  listen(listener: ConnectionListener): void {
    this.#listener = listener
    if (this.#lost) listener.lost()
  }

  send(bytes: Uint8Array): void {
    const copy = bytes.slice()
    queueMicrotask(() => this.model?.receive(copy))
  }

  close(): Promise<void> {
    this.#listener = null
    const model = this.model
    this.model = null
    model?.detach()
    return Promise.resolve()
  }

  bytes(bytes: Uint8Array): void {
    queueMicrotask(() => this.#listener?.bytes(bytes))
  }

  lost(): void {
    this.model = null
    this.#lost = true
    this.#listener?.lost()
  }
}
