import { describe, expect, it } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import type { Judgement } from '../../src/bench/judgement.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Title } from '../../src/title/schema.ts'
import { inferTitle } from '../title/infer/infer-title.ts'
import { edgesOf } from '../title/infer/simulate.ts'

/** What is said of a title that was seen in a capture alone where Up and Down, or Left and Right, reach it at once. */

const three = BUILT_IN_PROFILES['three-button']
const judged = (title: Title, profile: Profile = three): Judgement =>
  judge(profile, title, { adapter: REFERENCE_ADAPTER, marginNs: 0 })

function inferred(): Title {
  const edges = Array.from({ length: 60 }, (_, k) =>
    [0, 2_603].map((ns) => k * frameNs('525-line') + 400_003 + ns),
  )
  const changes = [0, ...edges.flat()].map((ns, k): [number, string] => [
    Math.round(ns),
    '10'[k % 2] as string,
  ])
  const result = inferTitle(edgesOf(changes, 60 * frameNs('525-line')), {
    name: 'tide bell',
    source: 'select',
  })
  if (!result.ok) expect.fail(result.error.kind)
  return result.value.title
}

const notes = ({ findings }: Judgement): string[] =>
  findings.filter(({ kind }) => kind === 'opposite').map(({ sentence }) => sentence)

const neutral: Profile = { ...three, opposite: { vertical: 'neutral', horizontal: 'neutral' } }

describe('a title that was inferred', () => {
  it('is right only if it accepts opposite directions at once, where the profile passes both', () => {
    const found = judged(inferred())
    expect(found.verdict).toBe('clean')
    expect(notes(found)).toEqual([
      'Nobody knows whether the title accepts Up and Down at once, and the profile passes both: that it does is a guess.',
    ])
    expect(notes(judged(inferred(), neutral))).toEqual([])
  })

  it('has nothing taken for granted once somebody has said so', () => {
    const title = inferred()
    const said = { ...title, sources: { ...title.sources, takesOpposite: { kind: 'typed-in' as const } } }
    expect(notes(judged(said))).toEqual([])
  })

  it('may ask for six buttons in edges that the capture has lost', () => {
    const sampled = (sampledNs: number): Title => ({
      ...inferred(),
      leftOver: { stretches: [], more: 0, sampledNs },
    })
    const hidden = sampled(4_000)
    const { verdict, hangsOn, reason } = judged(hidden)
    expect(verdict).toBe('undecided')
    expect(reason).toBe(
      'Clean if it never looks for six buttons. Misread if it detects six buttons by edges that the capture does not show: Up and Down at once look like the identification of a six-button pad, and the profile passes both.',
    )
    expect(hangsOn?.misreadIf.map(({ assumes }) => assumes.kind)).toEqual(['asks-six'])
    expect(judged(hidden, neutral).verdict).toBe('clean')
    // Three cycles take a program 5 µs; this read takes 2.603, and one sample longer at the most.
    expect(judged(sampled(2_000)).verdict).toBe('clean')
    const said = { ...hidden, sixButtons: { kind: 'never' as const, source: { kind: 'typed-in' as const } } }
    expect(judged(said).verdict).toBe('clean')
  })

  it('may do so, too, where not all that is left over was kept', () => {
    const hidden: Title = { ...inferred(), leftOver: { stretches: [], more: 1 } }
    expect(judged(hidden).verdict).toBe('undecided')
    expect(judged({ ...hidden, leftOver: { stretches: [], more: 0 } }).verdict).toBe('clean')
  })
})
