import type { Result } from '../port/result.ts'
import type { OpenTrouble } from './troubles.ts'

export interface ConnectionListener {
  bytes(bytes: Uint8Array): void
  /** The other end has gone. Told once, and never after our own close. */
  lost(): void
}

/** An open way to some device: bytes out, bytes in. It knows nothing of frames. */
export interface Connection {
  /** From here on what arrives is delivered; a loss that was noticed before is told at once. Called once. */
  listen(listener: ConnectionListener): void
  /** Sends in order. A failure shows as a loss. */
  send(bytes: Uint8Array): void
  /** Gives the device back, so that it can be opened again. Never fails and may be called again. */
  close(): Promise<void>
}

/** A kind of way to a device. It may be opened again after it failed or was closed. */
export interface Transport {
  readonly kind: 'web-serial' | 'web-usb' | 'emulated'
  /** Must follow a press of the user where the browser shows its list. Whatever was opened on the way to a trouble is closed again. */
  open(): Promise<Result<Connection, OpenTrouble>>
}
