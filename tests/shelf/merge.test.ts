import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { readEntry } from '../../src/shelf/entry.ts'
import type { ProfileEntry } from '../../src/shelf/entry.ts'
import { bothChange, mergeEntries, mergeJson } from '../../src/shelf/merge.ts'
import { sameJson } from '../../src/document/same-json.ts'
import { arbProfile } from '../arbitraries.ts'

/** Keys that every object inherits are keys like all others. */
const arbKey = fc.constantFrom('a', 'b', '__proto__', 'constructor', 'toString')
const { json: arbJson } = fc.letrec((tie) => ({
  json: fc.oneof(
    { maxDepth: 3 },
    fc.constantFrom(0, 1, 'x', null, true),
    fc.array(tie('json'), { maxLength: 3 }),
    fc
      .array(fc.tuple(arbKey, tie('json')), { maxLength: 4 })
      .map((pairs) => Object.fromEntries(pairs) as unknown),
  ),
}))

/** Every leaf by its path; a list whose length differs somewhere is a leaf as a whole. The slow reference works on these alone. */
type Leaves = Map<string, unknown>
type Kind = 'fields' | 'list' | 'leaf'
const kindOf = (value: unknown): Kind =>
  Array.isArray(value) ? 'list' : typeof value === 'object' && value !== null ? 'fields' : 'leaf'

function leavesOf(all: readonly unknown[], path: string, into: readonly Leaves[]): void {
  const kind = kindOf(all[0])
  const lengths = new Set(all.map((one) => (Array.isArray(one) ? one.length : -1)))
  if (kind === 'leaf' || all.some((one) => kindOf(one) !== kind) || (kind === 'list' && lengths.size > 1)) {
    for (const [k, one] of all.entries()) if (one !== undefined) into[k]?.set(path, one)
    return
  }
  for (const key of new Set(all.flatMap((one) => Object.keys(one as object)))) {
    const inner = all.map((one) =>
      Object.hasOwn(one as object, key) ? (one as Record<string, unknown>)[key] : undefined,
    )
    leavesOf(inner, `${path}/${key}`, into)
  }
}

describe('two changes of one document', () => {
  it('are joined leaf by leaf, as a slow reference has it', () => {
    fc.assert(
      fc.property(arbJson, arbJson, arbJson, (base, ours, theirs) => {
        const conflicts: string[] = []
        const merged = mergeJson(base, ours, theirs, conflicts)
        const leaves: [Leaves, Leaves, Leaves] = [new Map(), new Map(), new Map()]
        leavesOf([base, ours, theirs], '', leaves)
        const [b, o, t] = leaves
        let met = 0
        const expected: Leaves = new Map()
        for (const path of new Set([...b.keys(), ...o.keys(), ...t.keys()])) {
          const isMine = !sameJson(b.get(path), o.get(path))
          const isTheirs = !sameJson(b.get(path), t.get(path))
          if (isMine && isTheirs && !sameJson(o.get(path), t.get(path))) met++
          const value = isMine ? o.get(path) : t.get(path)
          if (value !== undefined) expected.set(path, value)
        }
        // The merged one, taken apart where the three are.
        const found: Leaves = new Map()
        leavesOf([base, ours, theirs, merged], '', [new Map(), new Map(), new Map(), found])
        if (
          kindOf(merged) !== 'leaf' &&
          [base, ours, theirs].every((one) => kindOf(one) === kindOf(merged))
        ) {
          expect(found).toEqual(expected)
        }
        expect(conflicts).toHaveLength(met)
        expect(Object.getPrototypeOf(Object(merged))).toBe(
          Object.getPrototypeOf(Object(structuredClone(merged))),
        )
        expect(mergeJson(base, ours, ours)).toEqual(ours)
        expect(mergeJson(base, base, theirs)).toEqual(theirs)
        expect(mergeJson(base, ours, base)).toEqual(ours)
        expect(bothChange(base, ours, base, theirs)).toBe(bothChange(base, theirs, base, ours))
        if (met > 0) expect(bothChange(base, ours, base, theirs)).toBe(true)
      }),
      { numRuns: process.env['NINEPIN_LONG'] ? 20_000 : 500 },
    )
  })

  it('keep a key of the prototype a key', () => {
    const hostile = (value: number) => JSON.parse(`{"__proto__": {"x": ${value}}, "y": 1}`) as unknown
    const merged = mergeJson(hostile(1), { ...(hostile(1) as object), y: 2 }, hostile(3))
    expect(JSON.stringify(merged)).toBe('{"__proto__":{"x":3},"y":2}')
    expect(mergeJson({ constructor: 1 }, {}, { constructor: 1 })).toEqual({})
  })
})

describe('two versions of one entry', () => {
  const entry = (document: ProfileEntry['document'], revision: number): ProfileEntry => ({
    kind: 'profile',
    id: 'a',
    revision,
    place: 0,
    origin: 'own',
    document,
  })

  it('become one that can be read, above both, or none', () => {
    const arbRevision = fc.integer({ min: 1, max: 1_000 })
    fc.assert(
      fc.property(arbProfile, arbProfile, arbProfile, arbRevision, arbRevision, (b, o, t, mine, theirs) => {
        const { entry: merged } = mergeEntries(entry(b, 1), entry(o, mine), entry(t, theirs))
        if (merged === null) return
        expect(merged.revision).toBe(Math.max(mine, theirs) + 1)
        expect(readEntry(structuredClone(merged))).toEqual({ ok: true, value: merged })
      }),
      { numRuns: process.env['NINEPIN_LONG'] ? 2_000 : 60 },
    )
  })

  it('say in which fields both had changed', () => {
    const base = BUILT_IN_PROFILES['six-button']
    const { entry: merged, conflicts } = mergeEntries(
      entry(base, 1),
      entry({ ...base, name: 'Mine', notes: 'Mine' }, 2),
      entry({ ...base, name: 'Theirs', idleResetNs: 1_234_000 }, 2),
    )
    expect(merged?.document).toEqual({ ...base, name: 'Mine', notes: 'Mine', idleResetNs: 1_234_000 })
    expect(conflicts).toEqual(['name'])
  })
})
