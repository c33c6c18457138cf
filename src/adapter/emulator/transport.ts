import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { Connection, ConnectionListener, Transport } from '../transport.ts'
import type { OpenTrouble } from '../troubles.ts'
import type { Chip } from './chip.ts'

/** Emulated time in which a computer must have come to terms with the device. */
const CONFIGURE_LIMIT_NS = 10e9

/**
 * The way to an emulated adapter: the serial port of the computer at the other end of its USB cable. Plugs the cable in
 * where it is not. Somebody must let the chip's time pass (run.ts, run-real-time.ts), or nothing ever comes of it.
 */
export const chipTransport = (chip: Chip): Transport => ({
  kind: 'emulated',
  async open() {
    if (chip.usb.portIsOpen) return err({ kind: 'held' })
    chip.usb.attach()
    if (!(await configured(chip))) return err({ kind: 'unplugged-while-opening' })
    return ok(new ChipConnection(chip)) satisfies Result<Connection, OpenTrouble>
  },
})

function configured(chip: Chip): Promise<boolean> {
  if (chip.usb.state === 'configured') return Promise.resolve(true)
  return new Promise((resolve) => {
    const before = chip.usb.onConfigured
    const limit = chip.at(chip.nowNs + CONFIGURE_LIMIT_NS, () => end(false))
    const end = (came: boolean): void => {
      limit.cancel()
      chip.usb.onConfigured = before
      resolve(came)
    }
    chip.usb.onConfigured = () => {
      before()
      end(true)
    }
  })
}

class ChipConnection implements Connection {
  #listener: ConnectionListener | null = null
  #lost = false
  #closed = false

  constructor(private readonly chip: Chip) {
    const { usb } = chip
    usb.onBytes = (bytes) => this.#listener?.bytes(bytes)
    usb.onLost = () => {
      this.#lost = true
      this.#listener?.lost()
    }
    usb.openPort()
  }

  listen(listener: ConnectionListener): void {
    this.#listener = listener
    if (this.#lost) listener.lost()
  }

  send(bytes: Uint8Array): void {
    if (this.#closed || this.#lost) return
    this.chip.usb.send(bytes)
  }

  close(): Promise<void> {
    this.#listener = null
    if (!this.#closed && !this.#lost) this.chip.usb.closePort()
    this.#closed = true
    return Promise.resolve()
  }
}
