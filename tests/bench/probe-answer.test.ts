import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { answerProbe } from '../../src/bench/probe/answer.ts'
import type { LateAnswer, ProbeAnswer } from '../../src/bench/probe/answer.ts'
import { nextLateQuestion } from '../../src/bench/probe/late-replies.ts'
import { Probing } from '../../src/bench/probe/probing.ts'
import type { Answer, Question } from '../../src/bench/probe/suspects.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import type { InputMask } from '../../src/port/pins.ts'
import { workToEnd } from '../../src/port/steps-of-work.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { readTitle, writeTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { draws } from '../draws.ts'
import { chanceOf } from '../title/infer/capture-of.ts'
import { PLAIN } from './plain-titles.ts'
import { actsIn, edgesOf } from './probe-player.ts'

const SIX = BUILT_IN_PROFILES['six-button']
const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }

/** It uses every sample of a burst of five cycles, and never looks for six buttons. */
const TRUTH = PLAIN.burst
/** Its edges, with all that its samples may be. */
const OPEN = edgesOf(TRUTH)

const after = (answers: readonly Answer[]): ProbeAnswer =>
  workToEnd(answerProbe({ title: OPEN, present: SIX, profile: SIX, options, answers, counted: [] }))

const right = (question: Question): InputMask => actsIn(TRUTH, question, chanceOf(7))

const PROBING = new Probing(SIX, OPEN, REFERENCE_ADAPTER)

/** Answers until nothing more is asked. */
function answered(see: (question: Question, k: number) => InputMask | null): Answer[] {
  const answers: Answer[] = []
  for (;;) {
    const next = PROBING.next(answers)
    if (next.kind === 'done') return answers
    answers.push({ question: next.question, acts: see(next.question, answers.length) })
  }
}

const ALL_RIGHT = answered(right)

const nameOf = ({ probe, mode, held }: Question): string => [probe.id, mode, held].join(' ')

describe('a title after some answers', () => {
  test('is told in words, with how many answers say so, and judged', () => {
    const first = after([])
    expect(first.judgement.verdict).toBe('undecided')
    expect(first.told).toEqual([])
    expect(first.open.map(({ about }) => about)).toEqual(['Samples', 'Six-button detection'])
    const { told, against, judgement, found } = after(ALL_RIGHT)
    expect(judgement.verdict).toBe('misread')
    expect(against).toEqual([])
    const used = told.find(({ about }) => about === 'Used')
    // What walks by itself is the identification of the third cycle.
    expect(used?.value).toContain('cycle 3 low')
    expect(used?.certainty).toMatch(/^2 to \d+ answers say so of each, none says otherwise$/)
    expect(JSON.stringify(found)).toContain('"found"')
  })

  test('is what the answers leave, in whatever order they were given', () => {
    const { found } = after(ALL_RIGHT)
    fc.assert(
      fc.property(
        fc.shuffledSubarray(ALL_RIGHT, { minLength: ALL_RIGHT.length, maxLength: ALL_RIGHT.length }),
        (shuffled) => {
          expect(PROBING.found(shuffled)).toEqual(found)
        },
      ),
      { numRuns: draws(20) },
    )
  })

  test('names the answer that does not go with the others', () => {
    const flipped = ALL_RIGHT.map(
      (_, at) =>
        PROBING.left(ALL_RIGHT.map((answer, k) => (k === at ? { ...answer, acts: 0 } : answer))).against,
    )
    for (const [at, against] of flipped.entries()) expect([[], [at]]).toContainEqual(against)
    expect(flipped.filter((against) => against.length > 0).length).toBeGreaterThan(ALL_RIGHT.length / 4)
  })
})

describe('a player who is not sure', () => {
  test('tells nothing by it, and is not asked the same once more', () => {
    fc.assert(
      fc.property(fc.nat(1e6), (seed) => {
        const chance = chanceOf(seed)
        const given = answered((question) => (chance.oneOf(3) === 0 ? null : right(question)))
        const unsure = new Set<string>()
        for (const { question, acts } of given) {
          expect(unsure).not.toContain(nameOf(question))
          if (acts === null) unsure.add(nameOf(question))
        }
        expect(PROBING.found(given)).toEqual(PROBING.found(given.filter(({ acts }) => acts !== null)))
      }),
      { numRuns: draws(20) },
    )
  })
})

describe('a title that shows nothing on screen', () => {
  test('is not taken for one that uses nothing, and is not asked about for long', () => {
    const given = answered(() => 0)
    expect(given.length).toBeLessThanOrEqual(10)
    const { next, found, told, judgement } = after(given)
    expect(next).toEqual({ kind: 'done', why: 'nothing-seen' })
    expect(found).toEqual(OPEN)
    expect([told, judgement.verdict]).toEqual([[], 'undecided'])
    expect(PROBING.page(given)).toBeNull()
  })

  test('counts as shown once anything acts', () => {
    const nothing = answered(() => 0)
    const [first] = ALL_RIGHT
    if (first === undefined) throw new Error('nothing was asked')
    expect(after([...nothing.slice(1), first]).next.kind).not.toBe('done')
  })
})

/** One sample a frame that takes pin 6 for an input, some time after its edge. */
function timing(input: 'a' | 'b'): Title {
  const exactly = (ns: number) => ({ minNs: ns, maxNs: ns })
  const sample = { 6: input }
  const steps = [
    { select: 'low', after: exactly(0) },
    { sample, after: { minNs: 40, maxNs: 4_000, source: { kind: 'guessed' } } },
    { select: 'high', since: 'edge', after: exactly(5_000) },
  ]
  const starts = { kind: 'frame', offsetsNs: [31_000], late: exactly(0) }
  const file = {
    ...(JSON.parse(writeTitle(OPEN)) as object),
    ...{ idle: 'high', rise: null, sixButtons: { kind: 'never' }, modes: [{ reads: [{ starts, steps }] }] },
  }
  const read = readTitle(new TextEncoder().encode(JSON.stringify(file)))
  if (!read.ok) throw new Error(`${read.error.place}: ${read.error.message}`)
  return read.value
}

test('counts of late replies tell the time of the sample that they were counted of, and of none that it has become', () => {
  const ask = (title: Title, counted: readonly LateAnswer[]): ProbeAnswer =>
    workToEnd(answerProbe({ title, present: SIX, profile: SIX, options, answers: [], counted }))
  const question = nextLateQuestion(timing('a'), SIX, REFERENCE_ADAPTER, DEFAULT_MARGIN_NS)
  if (question === null) throw new Error('the verdict turns on when it samples')
  const count = { steady: 9, any: 9 }
  const counted = [{ question, counts: [count, count] }]
  expect(ask(timing('a'), counted).found).not.toEqual(timing('a'))
  expect(ask(timing('b'), counted).found).toEqual(timing('b'))
})
