import { execFileSync, spawn } from 'node:child_process'
import type { ChildProcessByStdio } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Readable, Writable } from 'node:stream'
import { fileURLToPath } from 'node:url'
import { writeTables } from '../../../src/adapter/firmware/build.ts'
import { findTool } from '../../tools.ts'

/** Compilers of C11 for this machine, as `describeWith` wants them. */
export const HOST_COMPILER = 'cc|gcc|clang'
/** Time for a hook that compiles, on a machine that has other things to do. */
export const COMPILE_MS = 120_000

const FLAGS = ['-std=c11', '-O2', '-Wall', '-Wextra', '-Werror']
/** What would be undefined on the chip ends the program here. (Under it gcc finds conversions where there are none.) */
const WATCHED = ['-g', '-fsanitize=address,undefined', '-fno-sanitize-recover=all', '-static-libasan']

const FIRMWARE = fileURLToPath(new URL('../../../src/adapter/firmware/', import.meta.url))
const HERE = fileURLToPath(new URL('./', import.meta.url))
const LENGTH_BYTES = 4

interface Waiting {
  readonly resolve: (answer: Uint8Array) => void
  readonly reject: (error: Error) => void
}

/**
 * Parts of the firmware compiled for this machine, with a program of the tests around them. It takes messages over its
 * standard input and answers each with one over its standard output; a message is its length (32 bits) and its bytes.
 */
export class HostProgram {
  readonly #process: ChildProcessByStdio<Writable, Readable, null>
  readonly #folder: string
  #come: Buffer[] = []
  #comeBytes = 0
  #neededBytes = LENGTH_BYTES
  readonly #waiting: Waiting[] = []
  #ended: Error | null = null

  private constructor(folder: string, path: string) {
    this.#folder = folder
    this.#process = spawn(path, { stdio: ['pipe', 'pipe', 'inherit'] })
    this.#process.stdout.on('data', (bytes: Buffer) => this.#take(bytes))
    this.#process.stdin.on('error', () => undefined)
    this.#process.on('close', (code, signal) => this.#end(`the host program ended (${signal ?? code})`))
  }

  /**
   * @param program a C file beside this one
   * @param parts C files of the firmware
   * @param options.tables with the C files that the build makes
   */
  static start(
    program: string,
    parts: readonly string[],
    { watched = true, tables = false }: { readonly watched?: boolean; readonly tables?: boolean } = {},
  ): HostProgram {
    const compiler = findTool(HOST_COMPILER)
    if (compiler === undefined) throw new Error('no C compiler')
    const folder = mkdtempSync(join(tmpdir(), 'ninepin-host-'))
    const path = join(folder, 'program')
    const sources = [join(HERE, program), ...parts.map((part) => join(FIRMWARE, part))]
    if (tables) sources.push(...writeTables(folder))
    execFileSync(compiler, [...FLAGS, ...(watched ? WATCHED : []), '-I', FIRMWARE, '-o', path, ...sources])
    return new HostProgram(folder, path)
  }

  /** One message there, one back. Several may be on their way; they are answered in order. */
  ask(message: Uint8Array): Promise<Uint8Array> {
    if (this.#ended) return Promise.reject(this.#ended)
    return new Promise((resolve, reject) => {
      this.#waiting.push({ resolve, reject })
      const head = Buffer.alloc(LENGTH_BYTES)
      head.writeUInt32LE(message.length)
      this.#process.stdin.write(Buffer.concat([head, message]))
    })
  }

  /** Ends the program; what it has to say against itself (memory, undefined behaviour) is an error. */
  async stop(): Promise<void> {
    const ended = new Promise<number | null>((resolve) => this.#process.on('close', resolve))
    this.#process.stdin.end()
    const code = this.#process.exitCode ?? (await ended)
    rmSync(this.#folder, { recursive: true, force: true })
    if (code !== 0) throw new Error(`the host program ended with ${code}`)
  }

  #take(bytes: Buffer): void {
    this.#come.push(bytes)
    this.#comeBytes += bytes.length
    while (this.#comeBytes >= this.#neededBytes) {
      const all = Buffer.concat(this.#come)
      const end = LENGTH_BYTES + all.readUInt32LE(0)
      const whole = all.length >= end
      const rest = whole ? all.subarray(end) : all
      this.#come = [rest]
      this.#comeBytes = rest.length
      this.#neededBytes = whole ? LENGTH_BYTES : end
      if (whole) this.#waiting.shift()?.resolve(new Uint8Array(all.subarray(LENGTH_BYTES, end)))
    }
  }

  #end(message: string): void {
    this.#ended = new Error(message)
    for (const { reject } of this.#waiting.splice(0)) reject(this.#ended)
  }
}

/** Bytes behind one another, as the programs read them. Little-endian. */
export class Message {
  #room = new Uint8Array(256)
  #length = 0

  #grow(count: number): void {
    if (this.#length + count <= this.#room.length) return
    const larger = new Uint8Array(2 * (this.#length + count))
    larger.set(this.#room.subarray(0, this.#length))
    this.#room = larger
  }

  u8(value: number): this {
    this.#grow(1)
    this.#room[this.#length++] = value
    return this
  }
  u16(value: number): this {
    return this.u8(value).u8(value >> 8)
  }
  u32(value: number): this {
    return this.u16(value).u16(value >>> 16)
  }
  bytes(bytes: Uint8Array): this {
    this.#grow(bytes.length)
    this.#room.set(bytes, this.#length)
    this.#length += bytes.length
    return this
  }
  /** Bytes with their number (16 bits) before them. */
  counted(bytes: Uint8Array): this {
    return this.u16(bytes.length).bytes(bytes)
  }
  done(): Uint8Array {
    return this.#room.subarray(0, this.#length)
  }
}

/** Reads an answer of a host program from front to back. */
export class Reader {
  readonly #bytes: Uint8Array
  #at = 0

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes
  }
  u8(): number {
    const byte = this.#bytes[this.#at++]
    if (byte === undefined) throw new RangeError('the answer is too short')
    return byte
  }
  u16(): number {
    return this.u8() | (this.u8() << 8)
  }
  u32(): number {
    return (this.u16() | (this.u16() << 16)) >>> 0
  }
  take(count: number): Uint8Array {
    if (this.#at + count > this.#bytes.length) throw new RangeError('the answer is too short')
    return this.#bytes.slice(this.#at, (this.#at += count))
  }
  counted(): Uint8Array {
    return this.take(this.u16())
  }
}
