import { Readable } from 'node:stream'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { listWires, readVcdStream, readVcdStreamTo } from '../../../src/title/vcd/stream.ts'
import { readVcd } from '../../../src/title/vcd/read.ts'
import { bytesOf, cutAt, dumpText } from './arbitrary.ts'

const HEADER = `$timescale 1 ns $end
$scope module lamp $end
$var wire 1 ! select $end
$var wire 1 " data [3] $end
$var reg 1 " data [3] $end
$var wire 8 # bus [7:0] $end
$var real 64 $ warmth $end
$scope module $ socket $end
$upscope $end
$upscope $end
$var wire 1 ! outside $end
$enddefinitions $end
`.replace('module $ socket', 'module socket')
const GOOD = `${HEADER}#1\n0!\n#4\n1!\n#9\n`

/** A stream of these chunks, and what became of it. */
function streamOf(chunks: readonly Uint8Array[]) {
  const told = { pulled: 0, cancelled: false }
  const stream = new ReadableStream<Uint8Array>(
    {
      pull(controller) {
        const chunk = chunks[told.pulled++]
        if (chunk) controller.enqueue(chunk)
        else controller.close()
      },
      cancel: () => void (told.cancelled = true),
    },
    { highWaterMark: 0 },
  )
  return { stream, told }
}
const pieces = (text: string, size: number): Uint8Array[] =>
  cutAt(
    bytesOf(text),
    Array.from({ length: Math.floor(text.length / size) }, (_, k) => (k + 1) * size),
  )

describe('a stream', () => {
  it('gives what its bytes give, from a ReadableStream and from a Node stream', async () => {
    await fc.assert(
      fc.asyncProperty(
        dumpText,
        fc.option(fc.nat()),
        fc.array(fc.nat(5000), { maxLength: 9 }),
        async ({ text }, cut, places) => {
          const bytes = bytesOf(text).subarray(0, cut === null ? undefined : cut % text.length)
          const chunks = cutAt(bytes, places)
          const expected = readVcd(bytes)
          expect(await readVcdStream(streamOf(chunks).stream)).toEqual(expected)
          expect(await readVcdStream(Readable.from(chunks))).toEqual(expected)
          const timesNs: number[] = []
          const span = await readVcdStreamTo((times) => timesNs.push(...times), Readable.from(chunks))
          expect(span.ok).toBe(expected.ok)
          if (span.ok && expected.ok) {
            expect(timesNs).toEqual([...expected.value.timesNs])
            expect({ ...expected.value, ...span.value }).toEqual(expected.value)
          }
        },
      ),
      { numRuns: 100 },
    )
  })

  it('tells how many bytes were read, up to all', async () => {
    const read: number[] = []
    const onProgress = (bytesRead: number) => read.push(bytesRead)
    await readVcdStream(streamOf(pieces(GOOD, 50)).stream, { onProgress })
    expect(read.slice(0, 3)).toEqual([50, 100, 150])
    expect(read.at(-1)).toBe(GOOD.length)
  })

  it('is given up at the first fault', async () => {
    const { stream, told } = streamOf(pieces('no dump at all '.repeat(100), 50))
    expect(await readVcdStream(stream)).toMatchObject({ ok: false, error: { line: 1 } })
    expect(told).toEqual({ pulled: 1, cancelled: true })
  })

  it('is given up when it is aborted, with the reason', async () => {
    const abort = new AbortController()
    const { stream, told } = streamOf(pieces(GOOD, 50))
    const onProgress = (bytesRead: number) =>
      bytesRead >= 100 && abort.abort(new Error('another file was chosen'))
    await expect(readVcdStream(stream, { abort: abort.signal, onProgress })).rejects.toThrow(
      'another file was chosen',
    )
    expect(told).toEqual({ pulled: 3, cancelled: true })
    const unread = streamOf([])
    await expect(readVcdStream(unread.stream, { abort: abort.signal })).rejects.toThrow('another file')
    expect(unread.told.pulled).toBe(0)
  })

  it('that breaks breaks the promise', async () => {
    const broken = new ReadableStream<Uint8Array>({
      pull: () => Promise.reject(new Error('the stick was pulled out')),
    })
    await expect(readVcdStream(broken)).rejects.toThrow('the stick was pulled out')
  })
})

describe('the wires of a dump', () => {
  it('are listed if they have one bit, each path once, and can be asked for', async () => {
    const wires = await listWires(streamOf([bytesOf(GOOD)]).stream)
    expect(wires).toEqual({
      ok: true,
      value: [
        { name: 'select', path: 'lamp.select' },
        { name: 'data[3]', path: 'lamp.data[3]' },
        { name: 'outside', path: 'outside' },
      ],
    })
    for (const { path } of wires.ok ? wires.value : []) {
      expect(readVcd(bytesOf(GOOD), { signal: path })).toMatchObject({
        ok: true,
        value: { signalPath: path },
      })
    }
  })

  it('are known at the end of the header, and no more is read', async () => {
    const { stream, told } = streamOf(pieces(HEADER + '\0 not a word of this is right\n'.repeat(100), 50))
    expect(await listWires(stream)).toMatchObject({ ok: true })
    expect(told).toEqual({ pulled: Math.ceil(HEADER.length / 50), cancelled: true })
    expect(await listWires(streamOf([bytesOf(HEADER.trim())]).stream)).toMatchObject({ ok: true })
    expect(await listWires(streamOf([bytesOf(HEADER + '\0')]).stream)).toMatchObject({ ok: true })
  })

  it.each([
    ['', 1, /empty/],
    ['\0', 1, /not text/],
    [HEADER.slice(0, -5), 12, /cut off inside "\$enddefinitions"/],
    [HEADER.replace('$upscope $end\n', ''), undefined, undefined],
    [HEADER.replace('1 ns', '3 ns'), 1, /\$timescale is 1, 10 or 100/],
  ])('are refused with their header: %j', async (text, line, message) => {
    const wires = await listWires(Readable.from(pieces(text, 7)))
    if (line === undefined) expect(wires.ok).toBe(true)
    else
      expect(wires).toMatchObject({
        ok: false,
        error: { line, message: expect.stringMatching(message ?? '') },
      })
  })
})
