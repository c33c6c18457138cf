import { Readable } from 'node:stream'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { HeadedChunks } from '../../../src/title/capture/chunks.ts'
import { readCapture } from '../../../src/title/capture/read-capture.ts'
import type { CaptureAnswer, CaptureProgress, LineChoice } from '../../../src/title/capture/read-capture.ts'
import { shortTitle } from '../../bench/short-titles.ts'
import { PATTERN, dump, session } from '../../ui/capture/captures.ts'
import { bytesOf, cutAt } from '../vcd/arbitrary.ts'
import { draws } from '../../draws.ts'

/** These chunks through one buffer, as a file is read; and what became of them. */
function reused(chunks: readonly Uint8Array[]) {
  const told = { taken: 0, left: false }
  function* one() {
    const buffer = new Uint8Array(Math.max(0, ...chunks.map(({ length }) => length)))
    try {
      for (const chunk of chunks) {
        told.taken++
        buffer.set(chunk)
        yield buffer.subarray(0, chunk.length)
        buffer.fill(0)
      }
    } finally {
      told.left = true
    }
  }
  return { chunks: one(), told }
}

async function told(
  chunks: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  choice: LineChoice = { by: 'itself' },
): Promise<{ progress: CaptureProgress[]; answer: CaptureAnswer }> {
  const progress: CaptureProgress[] = []
  const reading = readCapture({ name: 'evening.vcd', bytes: null, chunks }, choice)
  for (;;) {
    const step = await reading.next()
    if (step.done) return { progress, answer: step.value }
    progress.push(step.value)
  }
}

const places = fc.array(fc.nat(100_000), { maxLength: 12 })

describe('bytes that are read once', () => {
  it('are all there, whatever was looked at before and however they are cut', async () => {
    const arbBytes = fc.uint8Array({ maxLength: 200 })
    await fc.assert(
      fc.asyncProperty(arbBytes, places, fc.nat(40), fc.nat(5), async (bytes, at, begin, heads) => {
        const pieces = cutAt(bytes, at)
        for (const chunks of [reused(pieces).chunks, Readable.from(pieces)]) {
          const headed = new HeadedChunks(chunks)
          const first = await headed.begin(begin)
          expect(first.length).toBeGreaterThanOrEqual(Math.min(begin, bytes.length))
          expect(first).toEqual(bytes.slice(0, first.length))
          let left = heads
          for await (const chunk of headed.head()) if (chunk.length === 0 || left-- === 0) break
          const all: number[] = []
          for await (const chunk of headed.all()) all.push(...chunk)
          expect(all).toEqual([...bytes])
          expect(headed.bytesRead).toBe(bytes.length)
        }
      }),
      { numRuns: draws(200) },
    )
  })
})

describe('a capture', () => {
  const text = dump({ frames: 20 }, PATTERN, ['select', 'pin1'])
  const packed = session({ frames: 20 }, ['pin1', 'select'], 1)

  it('tells the same, however its bytes come', async () => {
    for (const bytes of [bytesOf(text), packed]) {
      const whole = (await told([bytes])).answer
      if (whole.kind !== 'found' || whole.found.title === null) throw new Error('no title')
      expect(shortTitle(whole.found.title).cyclesPerRead).toBe(3)
      await fc.assert(
        fc.asyncProperty(places, async (at) => {
          const pieces = cutAt(bytes, at)
          expect((await told(reused(pieces).chunks)).answer).toEqual(whole)
          expect((await told(Readable.from(pieces))).answer).toEqual(whole)
        }),
        { numRuns: 10 },
      )
    }
  })

  it('takes a line by itself, by its id or by its name', async () => {
    const of = async (bytes: Uint8Array, choice: LineChoice) => {
      const { answer } = await told([bytes], choice)
      return answer.kind === 'found' ? answer.line : answer
    }
    expect(await of(bytesOf(text), { by: 'itself' })).toBe('port.select')
    expect(await of(bytesOf(text), { by: 'id', id: 'port.pin1' })).toBe('port.pin1')
    expect(await of(bytesOf(text), { by: 'name', name: 'pin1' })).toBe('port.pin1')
    expect(await of(bytesOf(text), { by: 'name', name: 'lamp' })).toMatchObject({
      kind: 'refused',
      place: expect.stringMatching(/^line \d+$/),
      message: expect.stringMatching(/No wire is called "lamp"/),
    })
    expect(await of(packed, { by: 'name', name: 'pin1' })).toBe('pin1')
    expect(await of(packed, { by: 'id', id: '0' })).toBe('pin1')
    expect(await of(packed, { by: 'name', name: 'lamp' })).toEqual({
      kind: 'choose',
      sentence: 'No line is called "lamp"; choose one of pin1, select.',
    })
  })

  it('is given up at the first fault, and its source is told', async () => {
    const source = reused(cutAt(bytesOf('no dump at all '.repeat(100)), [50, 100, 150]))
    expect((await told(source.chunks)).answer).toMatchObject({ kind: 'refused', place: 'line 1' })
    expect(source.told).toEqual({ taken: 1, left: true })
  })

  it('can be left at any step, and its source is told', async () => {
    const pieces = cutAt(
      bytesOf(text),
      Array.from({ length: 50 }, (_, k) => 500 * k),
    )
    const { progress } = await told(reused(pieces).chunks)
    for (const at of [0, 1, 20, progress.length - 1]) {
      const source = reused(pieces)
      const reading = readCapture({ name: 'x', bytes: null, chunks: source.chunks }, { by: 'itself' })
      for (let step = 0; step <= at; step++) expect((await reading.next()).done).toBe(false)
      await reading.return({ kind: 'choose', sentence: '' })
      expect(source.told.left).toBe(true)
      expect((await reading.next()).done).toBe(true)
    }
  })

  it('throws what its source throws', async () => {
    const broken = new ReadableStream<Uint8Array>({
      pull: () => Promise.reject(new Error('the stick was pulled out')),
    })
    await expect(told(broken as unknown as AsyncIterable<Uint8Array>)).rejects.toThrow(
      'the stick was pulled out',
    )
  })
})
