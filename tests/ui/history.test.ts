import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { keyOf } from '../../src/shelf/entry.ts'
import type { ProfileEntry } from '../../src/shelf/entry.ts'
import {
  EMPTY_HISTORY,
  GROUP_PAUSE_MS,
  MAX_STEPS,
  back,
  forth,
  joins,
  record,
  renamed,
  seal,
  meets,
} from '../../src/ui/history.ts'
import type { History, Step } from '../../src/ui/history.ts'
import { entryMap, withChanges } from '../../src/ui/entry-map.ts'
import type { EntryMap } from '../../src/ui/entry-map.ts'
import { draws } from '../draws.ts'

const profile = (id: string, name: string): ProfileEntry => ({
  kind: 'profile',
  id,
  revision: 1,
  place: 0,
  origin: 'own',
  document: { ...BUILT_IN_PROFILES['three-button'], name },
})

/** What a user does to one of three documents: name it anew, or take it off the shelf. */
interface Doing {
  readonly id: string
  readonly name: string | null
  readonly group: string | null
  readonly waitMs: number
}
const arbDoing: fc.Arbitrary<Doing> = fc.record({
  id: fc.constantFrom('a', 'b', 'c'),
  name: fc.option(fc.constantFrom('One', 'Two', 'Three'), { freq: 5 }),
  group: fc.option(fc.constantFrom('g', 'h')),
  waitMs: fc.constantFrom(10, GROUP_PAUSE_MS + 1),
})

function play(doings: readonly Doing[]): { map: EntryMap; history: History; states: EntryMap[] } {
  let map = entryMap([])
  let history = EMPTY_HISTORY
  let atMs = 0
  const states: EntryMap[] = [map]
  for (const { id, name, group, waitMs } of doings) {
    atMs += waitMs
    const key = keyOf({ kind: 'profile', id })
    const change = { key, before: map.get(key) ?? null, after: name === null ? null : profile(id, name) }
    const step: Step = { label: 'x', changes: [change], open: { before: null, after: null }, group, atMs }
    if (joins(history, group, atMs)) states.pop()
    history = record(history, step)
    map = withChanges(map, [change])
    states.push(map)
  }
  return { map, history, states }
}

const reversed = (step: Step) =>
  step.changes.map(({ key, before, after }) => ({ key, before: after, after: before }))

describe('undo', () => {
  it('goes back through every state and forth again to the last', () => {
    fc.assert(
      fc.property(fc.array(arbDoing, { maxLength: 30 }), (doings) => {
        const played = play(doings)
        let { map, history } = played
        for (let k = played.states.length - 1; k > 0; k--) {
          expect(map).toEqual(played.states[k])
          const taken = back(history)
          if (!taken) throw new Error('a step is missing')
          history = taken.history
          map = withChanges(map, reversed(taken.step))
        }
        expect(map).toEqual(entryMap([]))
        expect(back(history)).toBeNull()
        for (let taken = forth(history); taken; taken = forth(history)) {
          history = taken.history
          map = withChanges(map, taken.step.changes)
        }
        expect(map).toEqual(played.map)
      }),
      { numRuns: draws(500) },
    )
  })

  it('takes typing as one step, and a pause or a seal as the end of it', () => {
    const doing = (waitMs: number): Doing => ({ id: 'a', name: 'One', group: 'name', waitMs })
    expect(play([doing(10), doing(10), doing(10)]).history.past).toHaveLength(1)
    expect(play([doing(10), doing(GROUP_PAUSE_MS), doing(10)]).history.past).toHaveLength(2)
    expect(joins(seal(play([doing(10)]).history), 'name', 20)).toBe(false)
  })

  it('forgets what could be done again once something new is done', () => {
    const { history } = play([{ id: 'a', name: 'One', group: null, waitMs: 1 }])
    const taken = back(history)
    const step = history.past[0]
    if (!taken || !step) throw new Error('a step is missing')
    expect(forth(taken.history)?.step.label).toBe('x')
    expect(forth(record(taken.history, step))).toBeNull()
  })

  it('keeps a limited number of steps', () => {
    const doings = Array.from({ length: MAX_STEPS + 20 }, (_, k): Doing => ({
      id: 'a',
      name: `N${k}`,
      group: null,
      waitMs: 1,
    }))
    expect(play(doings).history.past).toHaveLength(MAX_STEPS)
  })

  it('knows what of others meets its steps, taken back or not', () => {
    const before = profile('a', 'One')
    const named = profile('a', 'Two')
    const noted: ProfileEntry = { ...before, document: { ...before.document, notes: 'Noted.' } }
    const doings = ['One', 'Two'].map((name): Doing => ({ id: 'a', name, group: null, waitMs: 1 }))
    const { history } = play(doings)
    const undone = back(history)?.history ?? EMPTY_HISTORY
    const key = 'profile:a'
    for (const steps of [history, undone]) {
      expect(meets(steps, { key, before: named, after: profile('a', 'Three') })).toBe(true)
      expect(meets(steps, { key, before, after: noted })).toBe(false)
      expect(meets(steps, { key, before, after: null })).toBe(true)
      expect(meets(steps, { key: 'profile:b', before, after: null })).toBe(false)
    }
    const [added] = play(doings.slice(0, 1)).history.past
    if (!added) throw new Error('a step is missing')
    expect(meets({ past: [added], future: [] }, { key, before, after: named })).toBe(false)
  })

  it('goes on under a new key, with what was open', () => {
    const { history } = play([{ id: 'a', name: 'One', group: null, waitMs: 1 }])
    const opened = history.past.map((step) => ({ ...step, open: { before: 'z', after: 'a' } }))
    const [step] = renamed({ past: opened, future: [] }, 'profile:a', 'profile:n').past
    expect(step).toMatchObject({
      open: { before: 'z', after: 'n' },
      changes: [{ key: 'profile:n', after: { id: 'n' } }],
    })
  })
})
