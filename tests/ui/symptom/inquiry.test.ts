import { describe, expect, it } from 'vitest'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { answerSymptoms } from '../../../src/bench/symptoms.ts'
import type { Explanation } from '../../../src/bench/symptoms.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { EMPTY_DESK } from '../../../src/shelf/desk.ts'
import type { ProfileEntry } from '../../../src/shelf/entry.ts'
import type { ShelfStore } from '../../../src/shelf/store.ts'
import { Notices } from '../../../src/ui/notices.svelte.ts'
import { ShelfState } from '../../../src/ui/shelf-state.svelte.ts'
import { Inquiry } from '../../../src/ui/symptom/inquiry.svelte.ts'
import type { Answerers } from '../../../src/ui/worker/answerer.ts'
import { ANSWERERS } from '../../../src/ui/worker/answerers.ts'
import type { Questions } from '../../../src/ui/worker/questions.ts'
import { scripted } from '../worker/scripted-worker.ts'

const kept = (id: string, place: number, document: Profile): ProfileEntry => ({
  kind: 'profile',
  id,
  revision: 1,
  place,
  origin: 'own',
  document,
})

/** What was worked out once need not be again: the question is all that an answer rests on. */
const known = new Map<string, Explanation>()
const answerers: Answerers<Questions> = {
  ...ANSWERERS,
  symptom: async () =>
    function* (question) {
      const key = JSON.stringify(question)
      const answer = known.get(key) ?? (yield* answerSymptoms(question))
      known.set(key, answer)
      return answer
    },
}

function inquiry() {
  const { bridge, until } = scripted(answerers)
  const profiles = [
    kept('a', 0, { ...BUILT_IN_PROFILES['six-button'], name: 'Gull', powerOn: [] }),
    kept('b', 1, { ...BUILT_IN_PROFILES['three-button'], name: 'Tern' }),
  ]
  const store = { write: () => undefined } as unknown as ShelfStore
  const shelf = new ShelfState(store, {
    kind: 'read',
    loaded: { entries: profiles, desk: EMPTY_DESK, unreadable: [], older: new Map() },
  })
  const notices = new Notices()
  const one = new Inquiry(
    {
      shelf,
      notices,
      judgeOptions: { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS },
      editProfile: (label, change) => {
        const edited = shelf.edit(label, change)
        return edited.ok ? null : edited.error.message
      },
    },
    bridge,
  )
  /** Until the answer is there. */
  const answered = () => until(() => one.errand.state !== 'running')
  return { one, shelf, notices, answered }
}

describe('an inquiry', () => {
  it('answers what is ticked, narrows with each trial, and takes each back', async () => {
    const { one, answered } = inquiry()
    one.tick('walks', true)
    await answered()
    const all = one.causes.length
    expect(all).toBeGreaterThan(2)
    const counts = [all]
    while (one.trail.next) {
      const [largest] = one.trail.next.outcomes.toSorted((p, q) => q.patterns.length - p.patterns.length)
      one.see(largest?.saw ?? '')
      expect(one.causes.length).toBeLessThan(counts.at(-1) ?? 0)
      counts.push(one.causes.length)
    }
    expect(counts.length).toBeGreaterThan(2)
    for (let step = counts.length - 2; step >= 0; step--) {
      one.takeBack(step)
      expect(one.causes.length).toBe(counts[step])
    }
    one.tick('walks', false)
    await answered()
    expect([one.isAnswered, one.causes.length]).toEqual([false, 0])
  })

  it('asks anew from the first trial when something else is ticked', async () => {
    const { one, answered } = inquiry()
    one.tick('walks', true)
    await answered()
    one.see(one.trail.next?.outcomes[0]?.saw ?? '')
    one.tick('sticks', true)
    await answered()
    expect(one.trail.taken).toEqual([])
  })

  it('goes on about the same profile when another one is opened for a trial', async () => {
    const { one, shelf, answered } = inquiry()
    one.tick('walks', true)
    await answered()
    const before = one.causes
    one.apply({ kind: 'profile', name: 'Tern' })
    expect(shelf.open.id).toBe('b')
    expect([one.present.name, one.isAboutOpen]).toEqual(['Gull', false])
    expect(one.causes).toEqual(before)
    one.ask()
    await answered()
    expect([one.present.name, one.isAboutOpen]).toEqual(['Tern', true])
    // No pad of one cycle answers "six buttons here" (port facts, three-button pad), so no burst walks.
    expect(one.causes.map(({ family }) => family)).not.toContain('burst')
    expect(before.map(({ family }) => family)).toContain('burst')
  })

  it('sets the profile in question, whichever is open, as one step for undo', async () => {
    const { one, shelf, notices, answered } = inquiry()
    one.tick('opposites', true)
    await answered()
    shelf.openProfile('b')
    const opposite = { vertical: 'neutral', horizontal: 'neutral' } as const
    one.apply({ kind: 'setting', set: { opposite } })
    expect(shelf.open).toMatchObject({ id: 'a', document: { opposite } })
    expect(shelf.undoLabel).toBe('set opposite directions to pass neither')
    expect(notices.all.at(-1)?.message).toContain('Gull is set')
    shelf.undo()
    expect(shelf.profiles[0]?.document.opposite.vertical).toBe('as-held')
    expect(shelf.undoLabel).toBeNull()
  })

  it('refuses to set a profile that is gone', async () => {
    const { one, shelf, notices, answered } = inquiry()
    one.tick('walks', true)
    await answered()
    shelf.remove(
      'removal',
      shelf.profiles.filter(({ id }) => id === 'a'),
    )
    const before = shelf.profiles
    one.apply({ kind: 'setting', set: { delayNs: 0 } })
    expect(shelf.profiles).toEqual(before)
    expect(notices.all).toMatchObject([{ urgent: true }])
  })

  it('puts a built-in profile on the shelf to open it, and undo takes it off again', async () => {
    const { one, shelf, answered } = inquiry()
    one.tick('walks', true)
    await answered()
    one.apply({ kind: 'profile', name: 'Three buttons' })
    expect([shelf.open.document.name, shelf.profiles.length]).toEqual(['Three buttons', 3])
    shelf.undo()
    expect([shelf.open.id, shelf.profiles.length]).toEqual(['a', 2])
  })
})
