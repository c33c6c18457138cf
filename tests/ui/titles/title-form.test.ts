import { describe, expect, it } from 'vitest'
import { checkTitle } from '../../../src/shelf/files.ts'
import type { Title } from '../../../src/title/schema.ts'
import type { ShortTitle } from '../../../src/title/short-title.ts'
import { TitleForm } from '../../../src/ui/titles/title-form.svelte.ts'
import { partsOf } from '../../../src/title/ways-of-reading.ts'
import { newTitle } from '../../../src/ui/titles/new-title.ts'
import { shortTitle, withShort } from '../../bench/short-titles.ts'

const NEW = newTitle('Gull Weather')

/** A form over one title, checked as the shelf checks it. */
function formOf(first: Title) {
  let title = first
  const form = new TitleForm(
    () => title,
    (_, change) => {
      const checked = checkTitle(change(title))
      if (checked.ok) title = checked.value
      return checked
    },
  )
  return { form, title: () => title, short: () => shortTitle(title) }
}
const every = withShort(NEW, partsOf('every', { cyclesPerRead: 4, rest: 'high' }))

describe('the form of a title', () => {
  it('takes times in µs and keeps whole nanoseconds', () => {
    const { form, short } = formOf(NEW)
    form.spacing.max.value = 6.25
    form.sample.min.value = 0.2101
    form.offsets.value = '250, 8000.5'
    expect(short()).toMatchObject({
      edgeSpacingNs: { minNs: 4_000, maxNs: 6_250 },
      sampleAfterEdgeNs: { minNs: 210, maxNs: 2_700 },
      readOffsetsNs: [250_000, 8_000_500],
    })
  })

  it('says beside the field what cannot be, and the title stays', () => {
    const { form, title } = formOf(NEW)
    form.spacing.min.value = 9
    expect(form.spacing.min.error).toBe('This is above “at most”.')
    form.spacing.max.value = null
    expect(form.spacing.max.error).toBe('Enter a number.')
    form.cycles.value = 17
    expect(form.errorOf('cyclesPerRead', form.cycles)).toMatch(/1 to 16/)
    form.offsets.value = '250, soon'
    expect(form.offsets.error).toContain('numbers in µs')
    form.name.value = ' '
    expect(form.name.error).toBeDefined()
    expect(title()).toEqual(NEW)
    form.name.value = 'Tern'
    expect([title().name, form.errorOf('name', form.name)]).toEqual(['Tern', undefined])
  })

  it('says times in µs in its refusals, as its fields take them', () => {
    const { form } = formOf(NEW)
    form.sample.max.value = 4
    expect(form.sample.max.error).toBe(
      'a sample has to come before the next edge, which can follow after 4 µs; this is 4 µs.',
    )
    form.jitter.value = 1000.5
    expect(form.jitter.error).toBe(
      'expected a time from 0 µs to 1000 µs, in steps of 0.001 µs, found 1000.5 µs.',
    )
  })

  it('keeps what a captured title leaves open and what is left over', () => {
    const leftOver: Title['leftOver'] = {
      stretches: [{ startLevel: 'high', edgesNs: [0, 2_600], sinceRiseNs: null, seen: 3 }],
      more: 2,
    }
    const captured = withShort(NEW, { isOpen: true, leftOver })
    const { form, title, short } = formOf(captured)
    form.clock.value = 321
    form.spacing.max.value = 6.25
    expect(short()).toMatchObject({ clockPpm: 321, isOpen: true, leftOver })
    expect(title().leftOver).toEqual(leftOver)
    form.setBelief('assumed')
    expect(title().leftOver).toEqual(leftOver)
  })

  it('moves the samples with the number of cycles and the level of rest', () => {
    const { form, short } = formOf(every)
    form.cycles.value = 5
    expect([form.reads, short().samples.length]).toEqual(['every', 10])
    form.setReads('six')
    expect(short().sixButtons).toMatchObject({ kind: 'identified', cycle: 3 })
    form.setRest('low')
    expect([form.reads, short().cyclesPerRead]).toEqual(['six', 3])
    expect(short().sixButtons).toMatchObject({ kind: 'identified', cycle: 2 })
  })

  it('edits samples one by one', () => {
    const { form, short } = formOf(NEW)
    expect([short().samples.length, form.canAddSample]).toEqual([2, false])
    form.cycles.value = 2
    form.setReads('first')
    expect(form.canAddSample).toBe(true)
    form.addSample()
    expect(short().samples[2]).toMatchObject({ cycle: 2, level: 'high' })
    expect(form.setPin(2, 6, undefined)).toBe(true)
    expect(form.setPin(2, 1, 'z')).toBe(true)
    expect(short().samples[2]?.pins).toMatchObject({ 1: 'z' })
    expect(short().samples[2]?.pins).not.toHaveProperty('6')
    expect([form.reads, form.setPin(9, 1, 'z')]).toEqual(['own', false])
    form.removeSample(2)
    expect(form.reads).toBe('first')
  })

  it('refuses a choice beside its field', () => {
    const { form, title } = formOf(NEW)
    expect(form.setSample(1, { level: 'high' })).toBe(false)
    expect(form.errorOf('samples')).toBe('A sample is taken in cycle 1 high already.')
    // As the table shows it, and the phase chart: from rest low the rise that opens the read opens cycle 2.
    const idlesLow = formOf(withShort(NEW, { rest: 'low' })).form
    expect(idlesLow.setSample(1, { level: 'high' })).toBe(false)
    expect(idlesLow.errorOf('samples')).toBe('A sample is taken in cycle 2 high already.')
    expect(form.setSample(1, { when: 'six-buttons' })).toBe(false)
    expect(title()).toEqual(NEW)
    form.chooseOf('fragile', { fragile: true })
    expect([title().fragile, form.errorOf('samples')]).toEqual([true, undefined])
  })

  it('knows a line that is released and how late it rises', () => {
    const { form, short } = formOf(NEW)
    form.setDrive('released')
    form.rise.max.value = 40
    expect(short().drive).toEqual({ kind: 'released', riseNs: { minNs: 15_000, maxNs: 40_000 } })
    form.rise.min.value = 50
    expect(form.rise.min.error).toBe('This is above “at most”.')
    form.setDrive('driven')
    expect(short().drive).toEqual({ kind: 'driven' })
  })

  it('sets where six buttons are found', () => {
    const { form, short } = formOf(every)
    form.setBelief('identified')
    expect(form.setIdentification({ pin: 4, low: false })).toBe(true)
    expect(form.setIdentification({ cycle: 2 })).toBe(true)
    expect(short().sixButtons).toEqual({ kind: 'identified', cycle: 2, level: 'low', lowPins: [1, 2, 3] })
    form.setBelief('never')
    expect(short().sixButtons).toEqual({ kind: 'never' })
  })

  it('takes what a start is late by in µs, the clock in parts per million, and opposite directions', () => {
    const { form, title, short } = formOf(NEW)
    form.jitter.value = 12.5
    form.clock.value = 250
    expect(short()).toMatchObject({ readJitterNs: 12_500, clockPpm: 250, takesOpposite: true })
    form.chooseOf('takesOpposite', { takesOpposite: false })
    expect(title().takesOpposite).toBe(false)
  })

  it('refuses a clock and a lateness that cannot be, beside their fields', () => {
    const { form, title } = formOf(NEW)
    form.jitter.value = -1
    form.clock.value = 10_001
    expect(form.errorOf('readJitterNs', form.jitter)).toMatch(/from 0 µs to 1000 µs/)
    expect(form.errorOf('clockPpm', form.clock)).toMatch(/from 0 to 10000/)
    form.clock.value = null
    expect(form.clock.error).toBe('Enter a number.')
    expect(title()).toEqual(NEW)
  })

  it('takes a rise that was worked out, and the other end of the range gives way', () => {
    const { form, short } = formOf(NEW)
    form.setDrive('released')
    form.takeRise('maxNs', 1_374)
    expect(short().drive).toEqual({ kind: 'released', riseNs: { minNs: 1_374, maxNs: 1_374 } })
    form.takeRise('maxNs', 2_000)
    form.takeRise('minNs', 3_000)
    expect(short().drive).toEqual({ kind: 'released', riseNs: { minNs: 3_000, maxNs: 3_000 } })
  })

  it('says of what is typed in or chosen that it is, and all else keeps its source', () => {
    const PRESET = { kind: 'preset' }
    const typedIn = (short: ShortTitle): string[] =>
      Object.entries(short.sources).flatMap(([figure, { kind }]) => {
        if (kind !== 'typed-in') expect([figure, kind]).toEqual([figure, 'preset'])
        return kind === 'typed-in' ? [figure] : []
      })
    const changes: [(form: TitleForm) => unknown, string[]][] = [
      [(form) => (form.name.value = 'Tern'), []],
      [(form) => (form.notes.value = 'Looks twice.'), []],
      [(form) => form.chooseOf('fragile', { fragile: true }), []],
      [(form) => (form.spacing.max.value = 6.25), ['edgeSpacingNs']],
      [(form) => (form.sample.min.value = 2.6), ['sampleAfterEdgeNs']],
      [(form) => (form.offsets.value = '300'), ['readOffsetsNs']],
      [(form) => (form.jitter.value = 12.5), ['readJitterNs']],
      [(form) => (form.clock.value = 250), ['clockPpm']],
      [(form) => form.chooseOf('standard', { standard: '625-line' }), ['standard']],
      [(form) => form.chooseOf('takesOpposite', { takesOpposite: false }), ['takesOpposite']],
      [(form) => form.setDrive('released'), ['drive']],
      [(form) => form.setRest('low'), ['rest']],
      [(form) => form.setPin(0, 6, 'x'), ['samples']],
      [(form) => form.setBelief('assumed'), ['sixButtons']],
      // One choice sets both.
      [(form) => form.setReads('six'), ['samples', 'sixButtons']],
    ]
    for (const [change, figures] of changes) {
      const { form, short } = formOf(NEW)
      expect(short().sources.readOffsetsNs).toEqual(PRESET)
      change(form)
      expect(form.errorOf('samples')).toBeUndefined()
      expect(typedIn(short()).sort(), String(change)).toEqual(figures)
      expect(Object.keys(short().sources).sort()).toEqual(Object.keys(shortTitle(NEW).sources).sort())
    }
  })
})
