import { readFile } from 'node:fs/promises'
import { readdirSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { PadReader } from '../../src/pad/extract.ts'
import { controlsIn } from '../../src/pad/controls.ts'
import { fitLayouts } from '../../src/profile/fit-layouts.ts'
import { loadDemo } from '../../src/shelf/demo.ts'

const DEMO = new URL('../../static/demo/', import.meta.url)
const fromDisk = (path: string) =>
  readFile(new URL(path, DEMO)).then(
    (bytes) => new Uint8Array(bytes),
    () => null,
  )

describe('the demo', () => {
  it('is the museum: two profiles, six titles and a pad, every file listed', async () => {
    const demo = await loadDemo(fromDisk)
    if (!demo.ok) throw new Error(demo.error)
    const count = (kind: string) => demo.value.filter((kept) => kept.kind === kind).length
    expect([count('profile'), count('title'), count('layout')]).toEqual([
      readdirSync(new URL('profiles/', DEMO)).length,
      readdirSync(new URL('titles/', DEMO)).length,
      readdirSync(new URL('layouts/', DEMO)).length,
    ])
    expect(count('title')).toBe(6)
    expect(new Set(demo.value.map(({ id }) => id)).size).toBe(demo.value.length)
    expect(demo.value.every(({ origin }) => origin === 'demo')).toBe(true)
  })

  it('has a pad that fits a bank, finds all but the extras and reads a report', async () => {
    const demo = await loadDemo(fromDisk)
    if (!demo.ok) throw new Error(demo.error)
    const layouts = demo.value.flatMap((kept) => (kept.kind === 'layout' ? [kept.document] : []))
    expect(fitLayouts(layouts)).toEqual({ fit: layouts, leftOut: [] })
    const [pad] = layouts
    if (!pad) throw new Error('no pad')
    // A hat goes round from up, its null state is out of its range (HID 1.11 section 6.2.2.5); buttons are bits from the second byte on.
    const reader = new PadReader(pad)
    const held = (...bytes: number[]) => reader.report(Uint8Array.from(bytes))
    const rest = held(8, 0, 0, 128, 128, 128, 128)
    expect(rest).toEqual({ controls: 0, left: { x: 0, y: 0 }, right: { x: 0, y: 0 } })
    const pressed = held(1, 0b0000_0010, 0b0001_0000, 4, 128, 128, 255)
    expect(controlsIn(pressed.controls)).toEqual(['face-south', 'dpad-up', 'dpad-right', 'centre'])
    expect([pressed.left, pressed.right]).toEqual([
      { x: -32767, y: 0 },
      { x: 0, y: 32767 },
    ])
  })

  it('says what is missing or damaged', async () => {
    const without = (missing: string) => (path: string) =>
      path === missing ? Promise.resolve(null) : fromDisk(path)
    expect(await loadDemo(without('index.json'))).toMatchObject({ ok: false })
    expect(await loadDemo(without('titles/tidewatch.json'))).toMatchObject({
      ok: false,
      error: expect.stringContaining('titles/tidewatch.json') as string,
    })
    const damaged = (path: string) =>
      path === 'titles/tidewatch.json' ? Promise.resolve(new TextEncoder().encode('{')) : fromDisk(path)
    expect(await loadDemo(damaged)).toMatchObject({
      ok: false,
      error: expect.stringContaining('cut off') as string,
    })
    expect(await loadDemo(() => Promise.resolve(new TextEncoder().encode('[]')))).toMatchObject({ ok: false })
  })
})
