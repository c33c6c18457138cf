import { expect, it } from 'vitest'
import { titleThatDoes } from '../../src/bench/doubts.ts'
import { judge } from '../../src/bench/judge.ts'
import type { Judgement } from '../../src/bench/judgement.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { CABLE_NS } from '../../src/port/cable.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Title } from '../../src/title/schema.ts'
import { inferTitle } from '../title/infer/infer-title.ts'
import { edgesOf } from '../title/infer/simulate.ts'

/**
 * An adapter that replies late, in front of a title that was seen in a capture alone. Edges leave every time from the soonest sample of a program on (port-facts:
 * 4 cycles of its processor, 521 ns, from memory), so a reply that can come later than that is no clean one, however late the title samples in truth.
 */

const SOONEST_NS = 521
const six = BUILT_IN_PROFILES['six-button']

function inferred(): Title {
  const edges = Array.from({ length: 60 }, (_, k) =>
    [0, 2_603, 5_206, 7_809].map((ns) => k * frameNs('525-line') + 400_003 + ns),
  )
  const changes = [0, ...edges.flat()].map((ns, k): [number, string] => [
    Math.round(ns),
    '10'[k % 2] as string,
  ])
  const result = inferTitle(edgesOf(changes, 60 * frameNs('525-line')), {
    name: 'late lamp',
    source: 'select',
  })
  if (!result.ok) expect.fail(result.error.kind)
  return result.value.title
}

/** @param latestNs of the reply, at the console's end of the cable */
const judged = (title: Title, latestNs: number): Judgement => {
  const maxNs = latestNs - CABLE_NS[REFERENCE_ADAPTER.cable].maxNs
  const adapter = { ...REFERENCE_ADAPTER, replyNs: { minNs: 100, maxNs } }
  return judge(six, title, { adapter, marginNs: 50 })
}

it('reads right as long as its replies come before the soonest sample of a program', () => {
  expect(judged(inferred(), SOONEST_NS - 50).verdict).toBe('clean')
  const { verdict, marginNs } = judged(inferred(), SOONEST_NS - 1)
  expect([verdict, marginNs]).toEqual(['tight', 1])
})

it('is undecided where they can come later, and says when the title would have to sample', () => {
  const title = inferred()
  const { verdict, hangsOn } = judged(title, SOONEST_NS + 57)
  expect(verdict).toBe('undecided')
  expect(hangsOn?.misreadIf.map(({ assumes }) => assumes.kind)).toEqual(['times'])
  expect(hangsOn?.misreadIf[0]?.condition).toBe('it samples cycle 1 low as soon as 521 ns after the edge')
  expect(hangsOn?.cleanIf).toBe('it samples 578 ns after the edge or later')
})

it('shows a title that samples as soon as that, and reads wrong', () => {
  const title = inferred()
  const [doubt] = judged(title, SOONEST_NS + 57).hangsOn?.misreadIf ?? []
  const soon = titleThatDoes(title, (doubt ?? expect.fail()).assumes)
  expect(judged(soon, SOONEST_NS + 57).verdict).toBe('misread')
  expect(judged(soon, SOONEST_NS - 50).verdict).toBe('clean')
})
