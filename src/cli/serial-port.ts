import type { SerialPort } from 'serialport'
import type { Connection, ConnectionListener } from '../adapter/transport.ts'
import type { OpenTrouble } from '../adapter/troubles.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { rowWords } from '../words/lists.ts'
import { clauseWords } from '../words/sentence-texts.ts'
import { BadInput } from './fail.ts'
import { portTexts as t } from './fault-texts.ts'

/** A USB serial port ignores the rate; some value has to be given. */
const LINE = { baudRate: 115_200, dataBits: 8, parity: 'none', stopBits: 1 } as const

/** Two ways in which an open fails that say the path is wrong. */
type WrongPath = 'none' | 'notSerial'

/**
 * Opens a serial port by its path, DTR raised. Whatever was opened on the way to a trouble is closed again.
 *
 * @throws BadInput where no serial port is at that path, with the ports that are
 */
export async function openSerialPort(path: string): Promise<Result<Connection, OpenTrouble>> {
  const library = await load()
  // The library takes an empty path for a mistake of its caller.
  if (path === '') throw await wrongPath(library, '""', 'none')
  const port = new library.SerialPort({ path, ...LINE, autoOpen: false })
  const failed = await outcome((done) => port.open(done))
  if (failed) {
    const trouble = openingTrouble(failed.message)
    if (typeof trouble === 'string') throw await wrongPath(library, path, trouble)
    return err(trouble)
  }
  const connection = new SerialConnection(port)
  // The device takes DTR for "somebody is there", and its fall for "gone".
  const unset = await outcome((done) => port.set({ dtr: true, rts: true }, done))
  if (unset && !HAS_NO_DTR.test(unset.message)) {
    await connection.close()
    return err({ kind: 'unplugged-while-opening' })
  }
  return ok(connection)
}

/** A line without modem signals, such as a pseudo-terminal, has no DTR to raise (ioctl: ENOTTY, EINVAL). */
const HAS_NO_DTR = /Inappropriate ioctl for device|Invalid argument/

const outcome = (act: (done: (error: Error | null) => void) => void): Promise<Error | null> =>
  new Promise((resolve) => act(resolve))

type Library = typeof import('serialport')

/** Native code, so it stays outside the bundle, and the other commands go without. */
async function load(): Promise<Library> {
  try {
    return await import('serialport')
  } catch {
    throw new BadInput('--port', '', t.noLibrary)
  }
}

/**
 * What a failed open means. The library passes on the system's words and no code: strerror(3) in English elsewhere, words of
 * its own on Windows, where a port that another program has open is "Access denied" (common practice, no source).
 */
function openingTrouble(said: string): OpenTrouble | WrongPath {
  if (/No such (file|device)|Not a directory|File not found/.test(said)) return 'none'
  if (/Inappropriate ioctl|Is a directory/.test(said)) return 'notSerial'
  if (/Cannot lock port|busy|Access denied/.test(said)) return { kind: 'held' }
  if (/Permission denied|Operation not permitted/.test(said)) return { kind: 'no-permission' }
  return { kind: 'open-failed', detail: said.replace(/^Error:? /, '') }
}

async function wrongPath(library: Library, path: string, what: WrongPath): Promise<BadInput> {
  return new BadInput(path, '', clauseWords([t[what], await portsHere(library)]))
}

/** An adapter is a USB device, so only such ports are named. */
async function portsHere({ SerialPort }: Library): Promise<string> {
  try {
    const usb = (await SerialPort.list()).filter(({ vendorId }) => vendorId !== undefined)
    if (usb.length > 0) return t.these({ ports: rowWords(usb.map(({ path }) => path)) })
    return t.noUsb
  } catch {
    return t.unknown
  }
}

class SerialConnection implements Connection {
  readonly #port: SerialPort
  #listener: ConnectionListener | null = null
  #lost = false
  #closing: Promise<void> | null = null

  constructor(port: SerialPort) {
    this.#port = port
    port.on('close', this.#onLost)
    // Without a listener an error would end the program.
    port.on('error', this.#onLost)
  }

  listen(listener: ConnectionListener): void {
    this.#listener = listener
    if (this.#lost) listener.lost()
    else this.#port.on('data', (bytes: Uint8Array) => this.#closing ?? listener.bytes(bytes))
  }

  send(bytes: Uint8Array): void {
    if (this.#closing || this.#lost) return
    this.#port.write(bytes)
  }

  close(): Promise<void> {
    this.#closing ??= this.#port.isOpen
      ? outcome((done) => this.#port.close(done)).then(() => undefined)
      : Promise.resolve()
    return this.#closing
  }

  readonly #onLost = (): void => {
    if (this.#lost || this.#closing) return
    this.#lost = true
    this.#listener?.lost()
  }
}
