import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { ProfileEntry } from '../../src/shelf/entry.ts'
import { fileOfUnreadable, isShelfFile, readShelfFile, shelfFile } from '../../src/shelf/pack.ts'

const entry = (id: string, change: Partial<ProfileEntry> = {}): ProfileEntry => ({
  kind: 'profile',
  id,
  revision: 2,
  place: 0,
  origin: 'own',
  document: BUILT_IN_PROFILES['six-button'],
  ...change,
})
const bytesOf = (text: string) => new TextEncoder().encode(text)
const saved = (...entries: readonly unknown[]): string =>
  JSON.stringify({ format: 'ninepin-shelf', version: 1, entries, unreadable: [] })
function read(text: string) {
  const shelf = readShelfFile('s.json', bytesOf(text))
  if (!shelf.ok) throw new Error(shelf.error)
  return shelf.value
}

describe('a saved shelf', () => {
  it('comes back as it was, odd ids and what cannot be read included', () => {
    const entries = ['a', '__proto__', 'constructor', '\nline', ':', '😀', '\ud800'].map((id) => entry(id))
    const unreadable = { key: 'profile:f', record: { version: 99 }, sentence: 'newer' }
    const adapters = { A1: { label: 'left', layoutIds: ['pad'] }, constructor: { label: '', layoutIds: [] } }
    const { name, text } = shelfFile({ entries, unreadable: [unreadable], older: new Map(), adapters }, 0)
    expect(name).toBe('ninepin-shelf-1970-01-01.json')
    expect(isShelfFile(bytesOf(text).slice(0, 64))).toBe(true)
    const { sentence: _, ...record } = unreadable
    expect(read(text)).toEqual({ entries, unreadable: [record], adapters: { A1: adapters.A1 }, refused: [] })
  })

  it('goes along in the older form where an older Ninepin wrote it', () => {
    const older = { ...entry('a'), document: { old: true } }
    const { text } = shelfFile(
      { entries: [entry('a')], unreadable: [], older: new Map([['profile:a', older]]), adapters: {} },
      0,
    )
    expect((JSON.parse(text) as { entries: unknown[] }).entries).toEqual([older])
  })

  it('leaves no record without an id, no place where nothing comes after, no number that cannot go up', () => {
    const { entries, refused } = read(
      saved(
        entry(''),
        entry('a', { revision: Number.MAX_SAFE_INTEGER }),
        entry('b', { revision: 1e300 }),
      ).replace('"place":0', '"place":0'),
    )
    expect(refused).toHaveLength(1)
    expect(entries.map(({ id }) => id)).toEqual(['a', 'b'])
    for (const { revision } of entries) expect(revision + 1).toBeGreaterThan(revision)
    const [far] = read(saved(entry('a')).replace('"place":0', '"place":1e999')).entries
    expect(far?.place).toBe(0)
  })

  it('comes back where it says nothing, or nonsense, of adapters; what is said of them is made fit to be shown', () => {
    const withAdapters = (adapters: unknown) =>
      read(JSON.stringify({ ...(JSON.parse(saved(entry('a'))) as object), adapters })).adapters
    expect(read(saved(entry('a'))).adapters).toEqual({})
    expect(withAdapters('none')).toEqual({})
    expect(
      withAdapters({ A1: { label: 'left\u202e', layoutIds: 7 }, B2: { label: 'x'.repeat(41) } }),
    ).toEqual({
      A1: { label: 'left?', layoutIds: null },
      B2: { label: '', layoutIds: null },
    })
  })

  it('is refused in a sentence where it is damaged, however deep', () => {
    const deep = (levels: number) =>
      `{"format":"ninepin-shelf","version":1,"entries":[],"unreadable":[{"key":"profile:x","record":${'['.repeat(levels)}"]\\"["${']'.repeat(levels)}}]}`
    for (const text of ['null', '[]', '"x"', '{', '', deep(300), deep(5_000_000)]) {
      const refused = readShelfFile('s.json', bytesOf(text))
      expect(refused.ok ? 'read' : refused.error).toMatch(/^s\.json: .* Nothing was changed\.$/)
    }
    expect(read(deep(100)).unreadable).toHaveLength(1)
    const newer = readShelfFile('s.json', bytesOf(saved().replace('"version":1', '"version":2')))
    expect(newer).toMatchObject({ ok: false, error: expect.stringContaining('newer Ninepin') as string })
  })
})

describe('a record that cannot be read', () => {
  it('becomes a file, whatever a store can hold', () => {
    const circle: Record<string, unknown> = { large: 5n, twice: [1], again: [1] }
    circle['self'] = circle
    const file = fileOfUnreadable({ key: 'profile:a/b', record: circle, sentence: 'x' })
    expect(file.name).toBe('profile-a-b.record.json')
    expect(JSON.parse(file.text)).toEqual({ large: '5', twice: [1], again: [1], self: 'a circle' })
    const shared = { x: 1 }
    const both = fileOfUnreadable({ key: 'k', record: [shared, shared], sentence: 'x' })
    expect(JSON.parse(both.text)).toEqual([shared, shared])
    expect(fileOfUnreadable({ key: 'k', record: undefined, sentence: 'x' }).text).toBe('undefined\n')
  })
})
