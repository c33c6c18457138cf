import { readFileSync, readdirSync } from 'node:fs'
import fc from 'fast-check'
import { beforeEach, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { writeProfile } from '../../../src/profile/file.ts'
import { HEAD_BYTES, isCapture } from '../../../src/shelf/files.ts'
import { tray } from '../../../src/ui/capture/tray.svelte.ts'
import { handOver } from '../../../src/ui/file-exchange.ts'
import { arbProfile } from '../../arbitraries.ts'
import { dump, fileOf, session } from './captures.ts'

const bytesOf = (text: string) => new TextEncoder().encode(text)
const DEMO = new URL('../../../static/demo/', import.meta.url)

beforeEach(() => tray.clear())

it('tells a capture by what it begins with', () => {
  expect(isCapture(bytesOf(dump({ frames: 3 })))).toBe(true)
  expect(isCapture(bytesOf('\uFEFF\r\n\t $timescale 1ns $end'))).toBe(true)
  expect(isCapture(bytesOf('$var'))).toBe(true)
  expect(isCapture(session({ frames: 3 }, ['select'], 0))).toBe(true)
  for (const other of ['', '$', '$5 for the lamp', '$variable', '{"format": "$date"}', 'PK', '#0\n1!'])
    expect(isCapture(bytesOf(other)), other).toBe(false)
})

// Every declaration command that a dump may open with (source: IEEE 1364-2005, clause 18).
it.each(['comment', 'date', 'enddefinitions', 'scope', 'timescale', 'upscope', 'var', 'version'])(
  'takes a dump that opens with $%s',
  (keyword) => {
    expect(isCapture(bytesOf(`$${keyword}\n$end`))).toBe(true)
  },
)

it('takes no profile, image or title for a capture', () => {
  fc.assert(
    fc.property(arbProfile, (profile) => {
      expect(isCapture(bytesOf(writeProfile(profile)))).toBe(false)
      expect(isCapture(encodeImage(profile))).toBe(false)
    }),
    { numRuns: 50 },
  )
  for (const name of readdirSync(new URL('titles/', DEMO)))
    expect(isCapture(new Uint8Array(readFileSync(new URL(`titles/${name}`, DEMO)))), name).toBe(false)
})

it('parts captures from other files, in their order, whatever they are called', async () => {
  const files = [
    fileOf(dump({ frames: 3 }), 'first.json'),
    fileOf(writeProfile(BUILT_IN_PROFILES['six-button']), 'profile.vcd'),
    fileOf(session({ frames: 3 }, ['select'], 0).slice(), 'second'),
    fileOf('', 'empty.vcd'),
  ]
  const taken: string[] = []
  await handOver(files, (others) => taken.push(...others.map(({ name }) => name)))
  expect(taken).toEqual(['profile.vcd', 'empty.vcd'])
  expect([tray.isOpen, tray.file?.name, tray.waiting]).toEqual([true, 'first.json', 1])
  await handOver([fileOf(dump({ frames: 3 }), 'third')], () => undefined)
  expect([tray.file?.name, tray.waiting]).toEqual(['first.json', 2])
  tray.next()
  expect([tray.file?.name, tray.waiting]).toEqual(['second', 1])
  tray.next()
  expect([tray.file?.name, tray.waiting]).toEqual(['third', 0])
  tray.next()
  expect([tray.isOpen, tray.file]).toEqual([false, null])
})

it('bothers nobody with nothing, and looks at the beginning of a file only', async () => {
  const asked: number[] = []
  const file = fileOf(dump({ frames: 3 }))
  const slice = file.slice.bind(file)
  Object.defineProperties(file, {
    slice: {
      value: (from: number, to: number) => {
        asked.push(from, to)
        return slice(from, to)
      },
    },
    arrayBuffer: { value: () => Promise.reject(new Error('the whole was asked for')) },
    text: { value: () => Promise.reject(new Error('the whole was asked for')) },
  })
  let taken = 0
  await handOver([file], () => taken++)
  expect([taken, tray.file]).toEqual([0, file])
  expect(asked).toEqual([0, HEAD_BYTES])
})

it('leaves a file that cannot be read to those who say why', async () => {
  const folder = fileOf('', 'folder')
  Object.defineProperty(folder, 'slice', {
    value: () => ({ arrayBuffer: () => Promise.reject(new DOMException('gone', 'NotFoundError')) }),
  })
  let taken = 0
  await handOver([folder], () => taken++)
  expect([taken, tray.isOpen]).toEqual([1, false])
})

it('asks for a capture until there is one', () => {
  tray.ask()
  expect([tray.isOpen, tray.file]).toEqual([true, null])
  const file = fileOf(dump({ frames: 3 }))
  tray.lay([file])
  expect(tray.file).toBe(file)
  tray.next()
  expect(tray.isOpen).toBe(false)
})
