import { createRequire } from 'node:module'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { readVcd } from '../../src/title/vcd/read.ts'
import { medianMs } from './median.ts'

/** A dump of about 16 MB: select and six pins that all move. */
function bigDump(): Uint8Array {
  const names = ['select', 'pin1', 'pin2', 'pin3', 'pin4', 'pin6', 'pin9']
  const code = (k: number) => String.fromCharCode(33 + k)
  const lines = ['$timescale 1 ns $end', '$scope module port $end']
  names.forEach((name, k) => lines.push(`$var wire 1 ${code(k)} ${name} $end`))
  lines.push('$upscope $end', '$enddefinitions $end')
  let random = 1
  for (let k = 0; k < 550_000; k++) {
    lines.push(`#${k * 1300}`)
    for (let wire = 0; wire < 7; wire++) {
      random = (Math.imul(random, 1_103_515_245) + 12_345) >>> 0
      if (wire === 0 || random & 0x10000)
        lines.push(`${wire === 0 ? k & 1 : (random >> 20) & 1}${code(wire)}`)
    }
  }
  return new TextEncoder().encode(lines.join('\n') + '\n')
}

type Parser = NodeJS.WritableStream & { change: { any(listener: () => void): void } }

/** Peer: vcd-stream (npm), in its WebAssembly form, every change delivered to a listener. Absent, only ours is printed. */
export async function vcdReading(): Promise<void> {
  const bytes = bigDump()
  const megabytes = bytes.length / 1e6
  const oursMs = await medianMs(7, () => {
    if (!readVcd(bytes).ok) throw new Error('the dump was refused')
  })
  console.log(`MB/s vcd-read ${((megabytes / oursMs) * 1000).toFixed(0)}`)
  const require = createRequire(import.meta.url)
  let createParser: (module: unknown) => Promise<Parser>
  let createModule: () => Promise<unknown>
  try {
    createParser = require('vcd-stream/lib/web-vcd-parser.js')
    createModule = require('vcd-stream/out/vcd.js')
  } catch {
    console.log('skipped: ratio vcd-read-over-vcd-stream (npm package vcd-stream is absent)')
    return
  }
  const theirsMs = await medianMs(3, async () => {
    const parser = await createParser(await createModule())
    let changes = 0
    parser.change.any(() => changes++)
    const chunks = Array.from({ length: Math.ceil(bytes.length / 65_536) }, (_, k) =>
      Buffer.from(bytes.subarray(k * 65_536, (k + 1) * 65_536)),
    )
    await pipeline(Readable.from(chunks), parser)
    if (changes === 0) throw new Error('the peer saw no change')
  })
  console.log(`ratio vcd-read-over-vcd-stream ${(theirsMs / oursMs).toFixed(2)}`)
}
