import fc from 'fast-check'
import { expect, test } from 'vitest'
import { pageText, readAnswers } from '../../src/bench/probe/answers-file.ts'
import { Probing } from '../../src/bench/probe/probing.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { READ_PATTERNS } from '../../src/bench/symptoms/patterns.ts'
import { INPUTS, inputsIn } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { leaveOpen } from '../../src/title/leave-open.ts'
import type { Title } from '../../src/title/schema.ts'

const AFTER = { minNs: 521, maxNs: 600, source: { kind: 'guessed' } } as const
const { title: pattern } = READ_PATTERNS.find(({ id }) => id === 'six') as (typeof READ_PATTERNS)[number]
const title: Title = leaveOpen(
  {
    ...pattern,
    sixButtons: { kind: 'never' },
    modes: pattern.modes.map((mode) => ({
      ...mode,
      reads: mode.reads.map((read) => ({ ...read, steps: read.steps.filter((step) => !('sample' in step)) })),
    })),
  },
  () => AFTER,
)
const probing = new Probing(BUILT_IN_PROFILES['six-button'], title, REFERENCE_ADAPTER)
const page = probing.page([]) as NonNullable<ReturnType<typeof probing.page>>
const text = pageText(page, { title: title.name, modes: [], image: 'probe-1.image' })

test('a page that nobody filled in has no answers', () => {
  expect(readAnswers(text, probing, 1)).toEqual({ ok: true, value: [] })
})

test('what is filled in is read as it was meant, in whatever order, with what is not sure left out', () => {
  fc.assert(
    fc.property(
      fc.array(fc.option(fc.nat((1 << INPUTS.length) - 1)), {
        minLength: page.questions.length,
        maxLength: page.questions.length,
      }),
      fc.nat(1e6),
      (acts, turn) => {
        const lines = text.split('\n')
        const first = lines.findIndex((line) => line.startsWith('hold'))
        const filled = page.questions.map((_, k) => {
          const seen = acts[k]
          const words =
            seen === null || seen === undefined
              ? '?'
              : seen === 0
                ? 'nothing'
                : inputsIn(seen).join(k % 2 === 0 ? ', ' : ' ')
          return `${lines[first + k]} ${words.toUpperCase()} # remark`
        })
        const at = turn % filled.length
        const turned = [...filled.slice(at), ...filled.slice(0, at)]
        const read = readAnswers([...lines.slice(0, first), ...turned].join('\r\n'), probing, 1)
        if (!read.ok) throw new Error(JSON.stringify(read.error))
        const expected = page.questions.flatMap((question, k) => {
          const seen = acts[k]
          return seen === null || seen === undefined ? [] : [{ held: question.held, acts: seen }]
        })
        const key = ({ held, acts: seen }: { held: number; acts: number | null }): string => `${held} ${seen}`
        expect(
          read.value.map(({ question: { held }, acts: seen }) => key({ held, acts: seen })).sort(),
        ).toEqual(expected.map(key).sort())
      },
    ),
    { numRuns: 60 },
  )
})

test('anything else is refused with its line, and never thrown', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary', maxLength: 60 }), (line) => {
      const read = readAnswers(`${text}${line}`, probing, 1)
      if (!read.ok) expect(read.error.line).toBeGreaterThan(2)
    }),
    { numRuns: 200 },
  )
})
