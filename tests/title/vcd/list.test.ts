import { describe, expect, it } from 'vitest'
import { WireLister } from '../../../src/title/vcd/list.ts'
import { readVcd } from './read-vcd.ts'
import { bytesOf, cutAt } from './arbitrary.ts'

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

const pieces = (text: string, size: number): Uint8Array[] =>
  cutAt(
    bytesOf(text),
    Array.from({ length: Math.floor(text.length / size) }, (_, k) => (k + 1) * size),
  )

/** The wires, as they are listed from chunks, and how many of these it took. */
function listed(chunks: readonly Uint8Array[]) {
  const lister = new WireLister()
  let taken = 0
  for (const chunk of chunks) {
    taken++
    if (!lister.push(chunk)) break
  }
  return { wires: lister.finish(), taken }
}

describe('the wires of a dump', () => {
  it('are listed if they have one bit, each path once, and can be asked for', () => {
    const { wires } = listed([bytesOf(GOOD)])
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

  it('are known at the end of the header, and no more is read', () => {
    const { wires, taken } = listed(pieces(HEADER + '\0 not a word of this is right\n'.repeat(100), 50))
    expect(wires).toMatchObject({ ok: true })
    expect(taken).toBe(Math.ceil(HEADER.length / 50))
    expect(listed([bytesOf(HEADER.trim())]).wires).toMatchObject({ ok: true })
    expect(listed([bytesOf(HEADER + '\0')]).wires).toMatchObject({ ok: true })
  })

  it.each([
    ['', 1, /empty/],
    ['\0', 1, /not text/],
    [HEADER.slice(0, -5), 12, /cut off inside "\$enddefinitions"/],
    [HEADER.replace('$upscope $end\n', ''), undefined, undefined],
    [HEADER.replace('1 ns', '3 ns'), 1, /\$timescale is 1, 10 or 100/],
  ])('are refused with their header: %j', (text, line, message) => {
    const { wires } = listed(pieces(text, 7))
    if (line === undefined) expect(wires.ok).toBe(true)
    else
      expect(wires).toMatchObject({
        ok: false,
        error: { line, message: expect.stringMatching(message ?? '') },
      })
  })
})
