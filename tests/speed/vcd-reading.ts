import { spawnSync } from 'node:child_process'
import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { chunksOf } from '../../src/cli/files.ts'
import { VcdReader } from '../../src/title/vcd/read.ts'

const STAMPS = 5_000_000

const codeOf = (wire: number): string => String.fromCharCode(33 + wire)

/** A dump of over 100 MB: select, which moves at each stamp, and six pins that each move at every second one, at random. */
function* bigDump(): Generator<string> {
  const names = ['select', 'pin1', 'pin2', 'pin3', 'pin4', 'pin6', 'pin9']
  yield '$timescale 1 ns $end\n$scope module port $end\n'
  yield names.map((name, wire) => `$var wire 1 ${codeOf(wire)} ${name} $end\n`).join('')
  yield '$upscope $end\n$enddefinitions $end\n'
  const levels = names.map(() => 0)
  let random = 1
  for (let stamp = 0; stamp < STAMPS; stamp++) {
    random = (Math.imul(random, 1_103_515_245) + 12_345) >>> 0
    let piece = `#${stamp * 1300}\n`
    levels.forEach((level, wire) => {
      if (stamp > 0 && wire > 0 && ((random >> (15 + wire)) & 1) === 0) return
      levels[wire] = 1 - level
      piece += `${level}${codeOf(wire)}\n`
    })
    yield piece
  }
}

/** Writes the dump. @returns its size in bytes */
function write(path: string): number {
  const file = openSync(path, 'w')
  let bytes = 0
  let held = ''
  const out = () => {
    bytes += writeSync(file, held)
    held = ''
  }
  for (const piece of bigDump()) {
    held += piece
    if (held.length > 1 << 20) out()
  }
  out()
  closeSync(file)
  return bytes
}

/** All changes of select, from the file on disk. */
function ours(path: string): void {
  let changes = 0
  const reader = new VcdReader((timesNs) => (changes += timesNs.length))
  for (const chunk of chunksOf(path)) reader.push(chunk)
  if (!reader.finish().ok || changes !== STAMPS) throw new Error(`the dump was read wrongly: ${changes}`)
}

/** A reader of dumps that is done once the promise is. */
type Peer = (path: string) => Promise<void> | void

type Parser = NodeJS.WritableStream & { change: { any(listener: () => void): void } }

/**
 * vcd-stream (npm), in its WebAssembly form; chunks from the same file. Every change is delivered, which is its quickest way: asked for
 * one wire it is slower.
 */
function vcdStream(): Peer | undefined {
  const require = createRequire(import.meta.url)
  let createParser: (module: unknown) => Promise<Parser>
  let createModule: () => Promise<unknown>
  try {
    createParser = require('vcd-stream/lib/web-vcd-parser.js')
    createModule = require('vcd-stream/out/vcd.js')
  } catch {
    return undefined
  }
  return async (path) => {
    const parser = await createParser(await createModule())
    let changes = 0
    parser.change.any(() => changes++)
    const copies = function* () {
      for (const chunk of chunksOf(path)) yield Buffer.from(chunk)
    }
    await pipeline(Readable.from(copies()), parser)
    if (changes < STAMPS) throw new Error(`vcd-stream saw ${changes} changes`)
  }
}

/** vcd2fst (GTKWave), the whole process, which also writes what it read in a format of its own. */
function vcd2fst(): Peer | undefined {
  const tool = 'vcd2fst'
  const run = (...args: string[]) => spawnSync(tool, args, { stdio: 'ignore' })
  if (run('--help').error) return undefined
  return (path) => {
    if (run(path, `${path}.fst`).status !== 0) throw new Error(`${tool} failed`)
  }
}

const ROUNDS = 5

/**
 * Each reads the same file, in turns, so that they share whatever else the machine does. Our time is that of the reading in this
 * process, without the start of Node.
 */
export async function vcdReading(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'ninepin-speed-'))
  try {
    const path = join(folder, 'dump.vcd')
    const megabytes = write(path) / 1e6
    const runners = [
      { name: 'vcd-read', read: ours, needs: '' },
      { name: 'vcd-stream', read: vcdStream(), needs: 'npm package vcd-stream' },
      { name: 'vcd2fst', read: vcd2fst(), needs: 'Debian package gtkwave' },
    ].map((runner) => ({ ...runner, ms: [] as number[] }))
    for (let round = 0; round <= ROUNDS; round++) {
      for (const { read, ms } of runners) {
        const start = performance.now()
        await read?.(path)
        // The first round warms up.
        if (round > 0) ms.push(performance.now() - start)
      }
    }
    let oursMs = 0
    for (const { name, read, needs, ms } of runners) {
      if (!read) {
        console.log(`skipped: ratio vcd-read-over-${name} (${needs} is absent)`)
        continue
      }
      const median = ms.sort((p, q) => p - q)[Math.floor(ROUNDS / 2)] as number
      console.log(`MB/s ${name} ${((megabytes / median) * 1000).toFixed(0)}`)
      if (read === ours) oursMs = median
      else console.log(`ratio vcd-read-over-${name} ${(median / oursMs).toFixed(2)}`)
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
