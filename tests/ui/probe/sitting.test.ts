import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Question } from '../../../src/bench/probe/suspects.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import type { InputMask } from '../../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Sweep } from '../../../src/profile/sweep.ts'
import { EMPTY_DESK } from '../../../src/shelf/desk.ts'
import type { ProfileEntry, TitleEntry } from '../../../src/shelf/entry.ts'
import type { ShelfStore } from '../../../src/shelf/store.ts'
import { Notices } from '../../../src/ui/notices.svelte.ts'
import { Sitting } from '../../../src/ui/probe/sitting.svelte.ts'
import { ShelfState } from '../../../src/ui/shelf-state.svelte.ts'
import type { Answerers } from '../../../src/ui/worker/answerer.ts'
import { ANSWERERS } from '../../../src/ui/worker/answerers.ts'
import type { Questions } from '../../../src/ui/worker/questions.ts'
import { readTitle } from '../../../src/title/file.ts'
import type { Title } from '../../../src/title/schema.ts'
import { PLAIN } from '../../bench/plain-titles.ts'
import { actsIn, edgesOf } from '../../bench/probe-player.ts'
import { draws } from '../../draws.ts'
import { chanceOf } from '../../title/infer/capture-of.ts'
import { scripted } from '../worker/scripted-worker.ts'

/** It uses every sample of a burst of five cycles; of its edges nobody knows. */
const TRUTH = PLAIN.burst
const OPEN = edgesOf(TRUTH)

const right = (question: Question): InputMask => actsIn(TRUTH, question, chanceOf(7))

const profile: ProfileEntry = {
  kind: 'profile',
  id: 'p',
  revision: 1,
  place: 0,
  origin: 'own',
  document: BUILT_IN_PROFILES['six-button'],
}
const card: TitleEntry = { ...profile, kind: 'title', id: 't', document: OPEN }

function sat(answerers: Answerers<Questions> = ANSWERERS, one: TitleEntry = card) {
  const { bridge, until, workers } = scripted(answerers)
  const store = { write: () => undefined } as unknown as ShelfStore
  const shelf = new ShelfState(store, {
    kind: 'read',
    loaded: { entries: [profile, one], desk: EMPTY_DESK, unreadable: [], older: new Map() },
  })
  const notices = new Notices()
  const judgeOptions = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
  const sitting = new Sitting({ shelf, notices, judgeOptions }, one, bridge)
  const settled = () => until(() => !sitting.isWorking)
  const asked = (): Question => {
    if (sitting.stage.kind === 'put') sitting.runs(sitting.stage.question)
    if (sitting.stage.kind !== 'ask') throw new Error(`nothing is asked: ${sitting.stage.kind}`)
    return sitting.stage.question
  }
  const answer = async (acts: InputMask | null) => {
    sitting.answer(acts)
    await settled()
  }
  const begin = async () => {
    sitting.ask()
    await settled()
  }
  const toEnd = async () => {
    while (sitting.stage.kind !== 'over') await answer(right(asked()))
  }
  return { sitting, shelf, notices, workers, settled, asked, answer, begin, toEnd }
}

describe('a sitting', () => {
  it('puts a probe in before it asks, and ends with what is so, for the shelf', async () => {
    const { sitting, shelf, notices, settled, begin, toEnd } = sat()
    sitting.ask()
    expect(sitting.stage.kind).toBe('working')
    await settled()
    expect(sitting.stage.kind).toBe('put')
    // Not before the title runs with it.
    sitting.answer(0)
    expect(sitting.answers).toEqual([])
    await toEnd()
    expect(sitting.stage).toEqual({ kind: 'over', why: 'told' })
    expect(sitting.known?.judgement.verdict).toBe('misread')
    expect(sitting.known?.told.find(({ about }) => about === 'Used')?.value).toContain('cycle 3 low')

    expect(sitting.standing).toBe('same')
    sitting.keep()
    expect(sitting.standing).toBe('kept')
    expect(JSON.stringify(shelf.titles[0]?.document)).toContain('"found"')
    expect(notices.all.at(-1)?.message).toContain(OPEN.name)
    shelf.undo()
    expect(shelf.titles[0]?.document).toEqual(OPEN)
    expect(sitting.standing).toBe('same')
    await begin()
    expect(sitting.known?.judgement.verdict).toBe('misread')
  })

  it('loses no answer, whatever is done, and never changes what was asked', async () => {
    const acts = fc.constantFrom(
      'right',
      'right',
      'not sure',
      'back',
      'onwards',
      'again',
      'put',
      'stop',
      'on',
    )
    await fc.assert(
      fc.asyncProperty(fc.array(acts, { maxLength: 10 }), async (all) => {
        const { sitting, asked, answer, begin } = sat()
        await begin()
        for (const act of all) {
          const before = sitting.answers
          const { stage } = sitting
          if (act === 'right' || act === 'not sure') {
            if (stage.kind === 'over') continue
            const question = asked()
            await answer(act === 'right' ? right(question) : null)
            const at = 'at' in stage ? (stage.at ?? before.length) : before.length
            expect(sitting.answers[at]?.question).toBe(question)
          } else if (act === 'back') sitting.back()
          else if (act === 'onwards') sitting.onwards()
          else if (act === 'again' && before.length > 0) sitting.backTo(0)
          else if (act === 'put' && stage.kind === 'ask') {
            sitting.putAgain()
            expect(sitting.stage).toEqual({ ...stage, kind: 'put' })
          } else if (act === 'stop') sitting.stop()
          else if (act === 'on') sitting.askOn()
          expect(sitting.answers.length).toBeGreaterThanOrEqual(before.length)
          expect(before.map(({ question }) => question)).toEqual(
            sitting.answers.slice(0, before.length).map(({ question }) => question),
          )
        }
        sitting.askOn()
        sitting.onwards()
        expect(['put', 'ask', 'over']).toContain(sitting.stage.kind)
      }),
      { numRuns: draws(20) },
    )
  })

  it('shows a slip and leads back to it', async () => {
    const { sitting, answer, begin, toEnd } = sat()
    await begin()
    await toEnd()
    const correct = sitting.answers.map(({ acts }) => acts)
    let shown = 0
    for (const [at, acts] of correct.entries()) {
      sitting.backTo(at)
      await answer(0)
      const against = sitting.known?.against ?? []
      if (against.length > 0) expect(against).toEqual([at])
      shown += against.length
      sitting.backTo(at)
      expect(sitting.stage).toMatchObject({ kind: 'ask', at })
      await answer(acts)
      expect(sitting.known?.against).toEqual([])
    }
    expect(shown).toBeGreaterThan(0)
    expect(sitting.answers.map(({ acts }) => acts)).toEqual(correct)
  })

  it('says what is known when it is broken off, and goes on from there after its sheet was away', async () => {
    const { sitting, asked, answer, begin } = sat()
    await begin()
    for (let k = 0; k < 4; k++) await answer(right(asked()))
    sitting.stop()
    expect(sitting.stage).toEqual({ kind: 'over', why: 'stopped' })
    expect(sitting.known?.open.length).toBeGreaterThan(0)
    // It goes in the midst of the work.
    sitting.askOn()
    sitting.answer(right(asked()))
    expect(sitting.isWorking).toBe(true)
    sitting.rest()
    expect(sitting.answers.length).toBe(5)
    await begin()
    expect(sitting.stage.kind).toBe('ask')
    await answer(right(asked()))
    expect(sitting.answers.length).toBe(6)
  })

  it('does not undo what was changed meanwhile, and begins again with that', async () => {
    const { sitting, shelf, begin, settled, toEnd } = sat()
    await begin()
    await toEnd()
    shelf.editTitle('t', 'notes', (now) => ({ ...now, notes: 'Tested on a Sunday.' }))
    expect(sitting.standing).toBe('changed')
    sitting.keep()
    expect(shelf.titles[0]?.document.notes).toBe('Tested on a Sunday.')
    expect(JSON.stringify(shelf.titles[0]?.document)).not.toContain('"found"')
    sitting.begin()
    await settled()
    await toEnd()
    sitting.keep()
    expect(shelf.titles[0]?.document.notes).toBe('Tested on a Sunday.')
    expect(JSON.stringify(shelf.titles[0]?.document)).toContain('"found"')
    expect(sitting.standing).toBe('kept')
  })

  it('begins again where nothing was seen, without answers that tell nothing', async () => {
    const { sitting, asked, answer, begin, settled, toEnd } = sat()
    await begin()
    while (sitting.stage.kind !== 'over') {
      asked()
      await answer(0)
    }
    expect(sitting.stage).toEqual({ kind: 'over', why: 'nothing-seen' })
    sitting.begin()
    await settled()
    expect(sitting.answers).toEqual([])
    await toEnd()
    expect(sitting.known?.judgement.verdict).toBe('misread')
  })

  it('keeps what was found of a title that is gone as a title of its own', async () => {
    const { sitting, shelf, begin, toEnd } = sat()
    await begin()
    await toEnd()
    shelf.remove('removal', shelf.titles)
    expect(sitting.standing).toBe('gone')
    sitting.keep()
    expect(shelf.titles.map(({ document }) => document.name)).toEqual([OPEN.name])
  })

  it('keeps its answers where the work fails or is called off, and works on', async () => {
    let fails = false
    const { sitting, settled, asked, answer, begin } = sat({
      ...ANSWERERS,
      probe: async () => {
        if (fails) throw new Error('no network')
        return ANSWERERS.probe()
      },
    })
    await begin()
    await answer(right(asked()))
    fails = true
    await answer(right(asked()))
    expect(sitting.stage).toEqual({ kind: 'failed', fault: 'not-loaded' })
    fails = false
    sitting.again()
    sitting.errand.cancel()
    expect(sitting.stage.kind).toBe('called-off')
    sitting.again()
    await settled()
    expect(sitting.stage.kind).toBe('ask')
    expect(sitting.answers.length).toBe(2)
  })
})

describe('when a title samples', () => {
  const SAMPLES_NS = 900
  const at = (select: 'low' | 'high', ns: number) => ({
    select,
    since: 'edge',
    after: { minNs: ns, maxNs: ns },
  })
  const sample = {
    sample: { 1: 'up', 2: 'down', 6: 'a', 9: 'start' },
    after: { minNs: 40, maxNs: 4_000, source: { kind: 'guessed' } },
  }
  const starts = { kind: 'frame', offsetsNs: [31_000], late: { minNs: 0, maxNs: 0 } }
  const file = {
    ...PLAIN.once,
    idle: 'high',
    rise: null,
    sixButtons: { kind: 'never' },
    modes: [{ reads: [{ starts, steps: [at('low', 0), sample, at('high', 5_000)] }] }],
  }
  function guessed(): Title {
    const read = readTitle(new TextEncoder().encode(JSON.stringify(file)))
    if (!read.ok) throw new Error(`${read.error.place}: ${read.error.message}`)
    return read.value
  }

  const acting = ({ firstNs, stepNs, steps }: Sweep): number =>
    Array.from({ length: steps }, (_, k) => 70 + firstNs + k * stepNs).filter((ns) => ns <= SAMPLES_NS).length

  it('is asked where a verdict turns on it: late replies go in, presses are counted, and the title is kept with them', async () => {
    const { sitting, shelf, settled, begin } = sat(ANSWERERS, { ...card, document: guessed() })
    await begin()
    expect(sitting.stage).toEqual({ kind: 'over', why: 'timing' })
    expect(sitting.known?.judgement.verdict).toBe('undecided')
    for (let flash = 0; sitting.known?.late; flash++) {
      expect(flash).toBeLessThan(3)
      sitting.beginTiming()
      expect(sitting.stage.kind).toBe('put-late')
      expect(sitting.lateNumber).toBe(flash + 1)
      sitting.runsLate()
      if (sitting.stage.kind !== 'count') throw new Error('presses are counted now')
      const n = acting(sitting.stage.late.sweep)
      sitting.count([
        { steady: n, any: n },
        { steady: n, any: n },
      ])
      await settled()
    }
    expect(sitting.known?.judgement.verdict).toBe('clean')
    sitting.keep()
    expect(sitting.standing).toBe('kept')
    expect(JSON.stringify(shelf.titles[0]?.document)).toContain('"found"')
  })

  it('is asked again where counts contradict one another, and nothing is concluded from them; not sure goes back', async () => {
    const { sitting, settled, begin } = sat(ANSWERERS, { ...card, document: guessed() })
    await begin()
    sitting.beginTiming()
    sitting.runsLate()
    sitting.endTiming()
    expect(sitting.stage).toEqual({ kind: 'over', why: 'timing' })
    sitting.beginTiming()
    sitting.runsLate()
    sitting.count([
      { steady: 3, any: 3 },
      { steady: 9, any: 9 },
    ])
    await settled()
    expect(sitting.known?.countFault).toBe('contradicting')
    expect(sitting.known?.found).toEqual(guessed())
    expect(sitting.known?.late).not.toBeNull()
  })
})
