import { describe, expect, it } from 'vitest'
import { checkTitle } from '../../../src/shelf/files.ts'
import { sourceWords } from '../../../src/title/evidence-words.ts'
import { knownFigures } from '../../../src/title/known-figures.ts'
import type { Title } from '../../../src/title/schema.ts'
import { newTitle } from '../../../src/ui/titles/new-title.ts'
import { withPattern } from '../../../src/ui/titles/ready-patterns.ts'
import { stepAt } from '../../../src/ui/titles/step-places.ts'
import { insteadWords } from '../../../src/ui/titles/step-words.ts'
import { StepsForm } from '../../../src/ui/titles/steps-form.svelte.ts'

const CAPTURE = { sha256: 'ab'.repeat(32), name: 'gulls.vcd', bytes: 4_096 }
const lowFirst = withPattern(newTitle('Gull Weather'), 'low-first')

/** A form over one title, checked as the shelf checks it. */
function formOf(first: Title) {
  let title = first
  const form = new StepsForm(
    () => title,
    (_, change) => {
      const checked = checkTitle(change(title))
      if (checked.ok) title = checked.value
      return checked
    },
  )
  return { form, title: () => title }
}

const SAMPLE = { mode: 0, read: 0, group: null, step: 1 }
const sampleOf = (title: Title) => {
  const step = stepAt(title, SAMPLE)
  if (step === undefined || !('sample' in step)) throw new Error('no sample')
  return step
}

describe('what a sample may be taken for instead', () => {
  it('is added, edited and removed, and what is judged stays', () => {
    const { form, title } = formOf(lowFirst)
    expect(insteadWords(sampleOf(title()))).toBe('Can be taken for nothing else')
    expect(form.addInstead(SAMPLE)).toBe(true)
    expect(form.setPin(SAMPLE, 6, 'b', 0)).toBe(true)
    expect(form.setPin(SAMPLE, 9, undefined, 0)).toBe(true)
    expect(form.addInstead(SAMPLE)).toBe(true)
    expect(form.setMixed(SAMPLE, 'c', 1)).toBe(true)
    expect(sampleOf(title())).toMatchObject({
      sample: { 1: 'up', 2: 'down', 6: 'a', 9: 'start' },
      possible: [
        { 1: 'up', 2: 'down', 6: 'b' },
        { 1: 'up', 2: 'down', 6: 'a', 9: 'start', select: 'c' },
      ],
      source: { kind: 'typed-in' },
    })
    expect(insteadWords(sampleOf(title()))).toBe(
      'Can be taken for these instead: 1 Up, 2 Down, 6 B or 1 Up, 2 Down, 6 A, 9 Start, select C',
    )
    expect(form.removeInstead(SAMPLE, 0)).toBe(true)
    expect(sampleOf(title()).possible).toEqual([{ 1: 'up', 2: 'down', 6: 'a', 9: 'start', select: 'c' }])
    expect(form.removeInstead(SAMPLE, 0)).toBe(true)
    expect(sampleOf(title())).not.toHaveProperty('possible')
  })

  it('refers to another sample by its name, which can change', () => {
    const { form, title } = formOf(lowFirst)
    const last = { ...SAMPLE, step: 3 }
    expect(form.setName(last, 'again')).toBeNull()
    form.addInstead(SAMPLE)
    expect(form.setAgrees(SAMPLE, 1, 'again', 0)).toBe(true)
    expect(form.setName(last, 'second')).toBeNull()
    expect(sampleOf(title())).toMatchObject({
      sample: { 1: 'up' },
      possible: [{ 1: { input: 'up', ifAgrees: 'second' } }],
    })
  })

  it('are sixteen at most, and one more is refused', () => {
    const { form, title } = formOf(lowFirst)
    for (let k = 0; k < 16; k++) expect(form.addInstead(SAMPLE)).toBe(true)
    expect(form.addInstead(SAMPLE)).toBe(false)
    expect(sampleOf(title()).possible).toHaveLength(16)
    expect(form.refusalOf('modes[0].reads[0].steps[1]')).toBeDefined()
  })
})

describe('where a figure comes from', () => {
  it('names the capture that it was measured in', () => {
    const measured = { kind: 'measured', seen: 599, of: 600 } as const
    const title = { captures: [CAPTURE] }
    expect(sourceWords({ ...measured, capture: CAPTURE.sha256 }, title)).toBe(
      'measured in gulls.vcd, 599 of 600',
    )
    expect(sourceWords(measured, title)).toBe('measured, 599 of 600')
    expect(sourceWords(undefined, title)).toBe('not recorded')
  })

  it('is listed for every figure and belief, with what the title says', () => {
    const steps = knownFigures({ ...lowFirst, sources: { clockPpm: { kind: 'guessed' } } })
    const row = (name: string) => steps.filter((one) => one.name === name)
    expect(row('Console clock tolerance')).toMatchObject([
      { value: `${lowFirst.clockPpm} ppm either way`, source: 'guessed', about: null },
    ])
    expect(row('Video standard')).toMatchObject([{ value: '525-line', source: 'not recorded' }])
    expect(row('Select between reads')).toMatchObject([{ value: 'idles high', source: 'not recorded' }])
    expect(row('Opposite directions at once')[0]?.value).toBe('accepted')
    expect(row('Samples')).toMatchObject([{ value: '2 in a read', about: { kind: 'samples' } }])
    const short = knownFigures(newTitle('Gull Weather'))
    expect(short.every(({ source }) => source === 'preset')).toBe(true)
    // Told once, however often it stands in the file.
    expect(short.filter(({ name }) => name === 'Edge to sample')).toHaveLength(1)
  })
})
