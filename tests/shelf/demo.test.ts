import { readFile } from 'node:fs/promises'
import { readdirSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { loadDemo } from '../../src/shelf/demo.ts'

const DEMO = new URL('../../static/demo/', import.meta.url)
const fromDisk = (path: string) =>
  readFile(new URL(path, DEMO)).then(
    (bytes) => new Uint8Array(bytes),
    () => null,
  )

describe('the demo', () => {
  it('is the museum: two profiles and six titles, every file listed', async () => {
    const demo = await loadDemo(fromDisk)
    if (!demo.ok) throw new Error(demo.error)
    const count = (kind: string) => demo.value.filter((kept) => kept.kind === kind).length
    expect([count('profile'), count('title')]).toEqual([
      readdirSync(new URL('profiles/', DEMO)).length,
      readdirSync(new URL('titles/', DEMO)).length,
    ])
    expect(count('title')).toBe(6)
    expect(new Set(demo.value.map(({ id }) => id)).size).toBe(demo.value.length)
    expect(demo.value.every(({ origin }) => origin === 'demo')).toBe(true)
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
