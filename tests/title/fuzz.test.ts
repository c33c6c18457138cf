import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { documentSentence } from '../../src/document/document.ts'
import { readTitle, writeTitle } from '../../src/title/file.ts'
import { IDENTIFIES, scheduleOf } from '../../src/title/schedule.ts'
import type { Schedule, Way } from '../../src/title/schedule.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { CASES } from '../bench/steps-titles.ts'
import { arbShortTitle } from './arbitrary-short.ts'
import { bytesOf, bytesOfJson } from './changed-json.ts'
import { HAND_TITLE } from './hand-title.ts'
import { OLD_TITLE } from './old-title.ts'
import { withoutFileWords } from '../file-words.ts'
import { draws, often } from '../draws.ts'

/** Whatever a title file holds: no exception, a place and a sentence for what is refused, and a schedule for what is not. */

const SHORT = fc.sample(arbShortTitle, { numRuns: 8, seed: 13 }).map((short) => titleOfShort(short))
const FILES: readonly unknown[] = [HAND_TITLE, OLD_TITLE, ...CASES.map(({ title }) => title), ...SHORT].map(
  (title) => JSON.parse(JSON.stringify(title)) as unknown,
)

const range = (minNs: number, maxNs: number) => ({ minNs, maxNs })
/** Values that stand in titles, near misses of them, and anything. */
const arbValue = fc.oneof(
  fc.constantFrom<unknown>(0, 1, -1, 2, 99, 100, 1_500, 250_000, 16_688_152, 1e8, 1e8 + 1, 1e300, 0.5),
  fc.constantFrom<unknown>('low', 'high', 'release', 'up', 'six', 'told', 'never', 'onwards', '', null, true),
  fc.constantFrom<unknown>('always', 'six-buttons', 'three-buttons', 'step', 'edge', 'frame', 'interval'),
  fc.constantFrom<unknown>(
    [],
    {},
    [1],
    range(0, 0),
    range(0, 1),
    range(5, 1),
    range(1_400, 1_700),
    range(0, 1e8),
  ),
  fc.constantFrom<unknown>(
    { select: 'low', after: range(100, 200) },
    { select: 'release', after: range(1_400, 1_700), waits: true },
    { sample: { 1: 'up', select: 'a' }, after: range(0, 50), since: 'edge' },
    { sample: { 1: { input: 'up', ifAgrees: 'six' } }, name: 'six', after: range(700, 900) },
    { repeat: 3, steps: [{ select: 'high', after: range(400, 600), when: 'six-buttons' }] },
    { kind: 'interval', after: range(0, 3_000_000) },
    { kind: 'measured', seen: 3, of: 4 },
    { byNs: 2_000_000, times: 2 },
  ),
  fc.jsonValue(),
)

/** Every path in a piece of JSON. */
const paths = (value: unknown, path: readonly string[] = []): string[][] => [
  [...path],
  ...(typeof value === 'object' && value !== null
    ? Object.entries(value).flatMap(([key, inner]) => paths(inner, [...path, key]))
    : []),
]

type Bend = { readonly kind: string; readonly which: number; readonly from: number; readonly value: unknown }

/** Words that stand for one another: a title with the other one is often a title, too. */
const WORDS = [
  ['low', 'high', 'release'],
  ['always', 'six-buttons', 'three-buttons'],
  ['step', 'edge'],
  ['read', 'onwards'],
  ['never', 'assumed'],
  ['525-line', '625-line'],
]

/** A value a little different from this one, of its kind where it has one. */
function nudged(value: unknown, from: number): unknown {
  if (typeof value === 'number') return [value + 1, value - 1, value * 2, Math.floor(value / 2), 0][from % 5]
  if (typeof value === 'boolean') return !value
  const words = WORDS.find((all) => all.includes(value as string))
  return words ? words[from % words.length] : value
}

/** One place of a file nudged, set, taken away, doubled, moved, or set to what stands in another place. */
function bend(json: unknown, { kind, which, from, value }: Bend): unknown {
  const all = paths(json)
  const path = all[which % all.length] ?? []
  const last = path.at(-1)
  if (last === undefined) return kind === 'set' ? structuredClone(value) : json
  const at = (keys: readonly string[]) =>
    keys.reduce<unknown>((place, key) => (place as Record<string, unknown>)[key], json)
  const place = at(path.slice(0, -1)) as Record<string, unknown> | unknown[]
  const put = (next: unknown): void => {
    Reflect.set(place, last, structuredClone(next))
  }
  if (kind === 'set') put(value)
  else if (kind === 'copy') put(at(all[from % all.length] ?? []))
  else if (!Array.isArray(place)) {
    if (kind === 'drop') Reflect.deleteProperty(place, last)
    else put(nudged(place[last], from))
  } else {
    const k = Number(last)
    const other = from % place.length
    if (kind === 'drop') place.splice(k, 1)
    else if (kind === 'double') place.splice(k, 0, structuredClone(place[k]))
    else if (kind === 'swap') [place[k], place[other]] = [place[other], place[k]]
    else put(nudged(place[k], from))
  }
  return json
}

const arbBent = fc
  .record({
    file: fc.constantFrom(...FILES),
    bends: fc.array(
      fc.record({
        kind: fc.constantFrom('nudge', 'nudge', 'nudge', 'set', 'drop', 'double', 'swap', 'copy'),
        which: fc.nat(),
        from: fc.nat(),
        value: arbValue,
      }),
      { minLength: 1, maxLength: 3 },
    ),
  })
  .map(({ file, bends }) => JSON.stringify(bends.reduce(bend, structuredClone(file))))

const arbTorn = fc
  .record({
    file: fc.constantFrom(...FILES),
    at: fc.nat(),
    drop: fc.nat(6),
    put: fc.uint8Array({ maxLength: 4 }),
  })
  .map(({ file, at, drop, put }) => {
    const whole = bytesOfJson(file)
    const place = at % whole.length
    return Uint8Array.from([...whole.subarray(0, place), ...put, ...whole.subarray(place + drop)])
  })

const soonestNs = (way: Way): number => way.lasts.minNs + (way.kind === 'place' ? way.late.minNs : 0)

/** What is wrong with a schedule, by what everybody who asks one goes by: ways lead to nodes and all nodes are come to, and time goes on. */
function faultsOf({ nodes, samples, rise }: Schedule): string[] {
  const faults: string[] = []
  const must = (holds: boolean, what: string, node: number): void => {
    if (!holds) faults.push(`${what} at node ${node}`)
  }
  must((rise !== null) === nodes.some(({ writes }) => writes === 'release'), 'a rise for a release', 0)
  const isComeTo = new Set([0])
  nodes.forEach(({ next, read, samples: looks }, k) => {
    must(next.length > 0, 'a way on', k)
    for (const { to, frames, lasts } of next) {
      isComeTo.add(to)
      must(to in nodes, 'a way to a node', k)
      must(lasts.minNs >= 0 && lasts.minNs <= lasts.maxNs, 'a way that lasts', k)
      must(frames > 0 || to > k || read !== nodes[to]?.read, 'no way back within a read', k)
    }
    const leaveNs = Math.min(...next.map(soonestNs))
    let lastNs = 0
    for (const { after, uses, isReadBack } of looks) {
      must(after.minNs >= 0 && after.minNs <= after.maxNs, 'a sample that takes its time', k)
      must(after.maxNs === 0 || after.maxNs < leaveNs, 'a sample before its node is left', k)
      must(uses.length > 0 && uses.every((use) => use === IDENTIFIES || use in samples), 'a sample of use', k)
      // Select itself is read back in the instant of the sample that it is mixed into.
      must(isReadBack || after.minNs >= lastNs, 'samples in order', k)
      lastNs = after.maxNs
    }
  })
  for (const { agreesWith } of samples)
    must(
      Object.values(agreesWith).every((other) => other in samples),
      'agreement with a sample',
      0,
    )
  for (const k of nodes.keys()) must(isComeTo.has(k), 'a way to it', k)
  for (const k of ringsWithoutTime(nodes)) must(false, 'a ring that takes time', k)
  return faults
}

/** Nodes that are come to again without time going on. */
function ringsWithoutTime(nodes: Schedule['nodes']): number[] {
  const into = nodes.map(() => 0)
  const atOnce = nodes.map(({ next }) => next.flatMap((way) => (soonestNs(way) > 0 ? [] : [way.to])))
  for (const to of atOnce.flat()) into[to] = (into[to] ?? 0) + 1
  const free = into.flatMap((n, k) => (n === 0 ? [k] : []))
  for (const k of free)
    for (const to of atOnce[k] ?? []) {
      into[to] = (into[to] ?? 0) - 1
      if (into[to] === 0) free.push(to)
    }
  return into.flatMap((n, k) => (n > 0 ? [k] : []))
}

const isObject = (json: unknown): boolean => typeof json === 'object' && json !== null && !Array.isArray(json)

/** What is said, without its figures; empty where nothing is wrong. */
function checkFile(bytes: Uint8Array, needsPlace: boolean): string {
  const result = readTitle(bytes)
  if (result.ok) {
    expect(readTitle(bytesOf(writeTitle(result.value)))).toEqual(result)
    expect(faultsOf(scheduleOf(result.value))).toEqual([])
    return ''
  }
  const said = documentSentence(result.error)
  expect(withoutFileWords(said)).not.toMatch(/\n|undefined|\[object|NaN/)
  expect(said.length).toBeLessThan(400)
  if (needsPlace) expect(result.error.place).not.toBe('')
  return result.error.message.replace(/\d+/g, 'n')
}

describe('the reader of titles gives a title that comes back and has a schedule, or one sentence', () => {
  it('and a place, for files in which something stands where it should not', () => {
    let sound = 0
    const said = new Set<string>()
    fc.assert(
      fc.property(arbBent, (text) => {
        const sentence = checkFile(bytesOf(text), isObject(JSON.parse(text)))
        if (sentence === '') sound++
        said.add(sentence)
      }),
      { numRuns: draws(5_000) },
    )
    expect(sound).toBeGreaterThan(often(300))
    expect(said.size).toBeGreaterThan(often(40))
  })

  it('for torn files and for any bytes', () => {
    let sound = 0
    const arbBytes = fc.uint8Array({ maxLength: 200 })
    fc.assert(
      fc.property(
        fc.oneof({ weight: 5, arbitrary: arbTorn }, { weight: 1, arbitrary: arbBytes }),
        (bytes) => {
          if (checkFile(bytes, false) === '') sound++
        },
      ),
      { numRuns: draws(2_000) },
    )
    expect(sound).toBeGreaterThan(often(20))
  })
})
