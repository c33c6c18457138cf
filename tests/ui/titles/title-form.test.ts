import { describe, expect, it } from 'vitest'
import { checkTitle } from '../../../src/shelf/files.ts'
import type { Title } from '../../../src/title/schema.ts'
import { TitleForm } from '../../../src/ui/titles/title-form.svelte.ts'
import { partsOf } from '../../../src/title/ways-of-reading.ts'
import { NEW_TITLE } from '../../../src/ui/titles/new-title.ts'

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
  return { form, title: () => title }
}
const every: Title = {
  ...NEW_TITLE,
  ...partsOf('every', { cyclesPerRead: 4, rest: 'high' }),
}

describe('the form of a title', () => {
  it('takes times in µs and keeps whole nanoseconds', () => {
    const { form, title } = formOf(NEW_TITLE)
    form.spacing.max.value = 6.25
    form.sample.min.value = 0.2101
    form.offsets.value = '250, 8000.5'
    expect(title()).toMatchObject({
      edgeSpacingNs: { minNs: 4_000, maxNs: 6_250 },
      sampleAfterEdgeNs: { minNs: 210, maxNs: 2_700 },
      readOffsetsNs: [250_000, 8_000_500],
    })
  })

  it('says beside the field what cannot be, and the title stays', () => {
    const { form, title } = formOf(NEW_TITLE)
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
    expect(title()).toEqual(NEW_TITLE)
    form.name.value = 'Tern'
    expect([title().name, form.errorOf('name', form.name)]).toEqual(['Tern', undefined])
  })

  it('moves the samples with the number of cycles and the level of rest', () => {
    const { form, title } = formOf(every)
    form.cycles.value = 5
    expect([form.reads, title().samples.length]).toEqual(['every', 10])
    form.setReads('six')
    expect(title().sixButtons).toMatchObject({ kind: 'identified', cycle: 3 })
    form.setRest('low')
    expect([form.reads, title().cyclesPerRead]).toEqual(['six', 3])
    expect(title().sixButtons).toMatchObject({ kind: 'identified', cycle: 2 })
  })

  it('edits samples one by one', () => {
    const { form, title } = formOf(NEW_TITLE)
    expect([title().samples.length, form.canAddSample]).toEqual([2, false])
    form.cycles.value = 2
    form.setReads('first')
    expect(form.canAddSample).toBe(true)
    form.addSample()
    expect(title().samples[2]).toMatchObject({ cycle: 2, level: 'high' })
    expect(form.setPin(2, 6, undefined)).toBe(true)
    expect(form.setPin(2, 1, 'z')).toBe(true)
    expect(title().samples[2]?.pins).toMatchObject({ 1: 'z' })
    expect(title().samples[2]?.pins).not.toHaveProperty('6')
    expect([form.reads, form.setPin(9, 1, 'z')]).toEqual(['own', false])
    form.removeSample(2)
    expect(form.reads).toBe('first')
  })

  it('refuses a choice beside its field', () => {
    const { form, title } = formOf(NEW_TITLE)
    expect(form.setSample(1, { level: 'high' })).toBe(false)
    expect(form.errorOf('samples')).toMatch(/cycle 1 high/)
    expect(form.setSample(1, { when: 'six-buttons' })).toBe(false)
    expect(title()).toEqual(NEW_TITLE)
    expect(form.choose('fragile', (now) => ({ ...now, fragile: true }))).toBe(true)
    expect(form.errorOf('samples')).toBeUndefined()
  })

  it('knows a line that is released and how late it rises', () => {
    const { form, title } = formOf(NEW_TITLE)
    form.setDrive('released')
    form.rise.max.value = 40
    expect(title().drive).toEqual({ kind: 'released', riseNs: { minNs: 15_000, maxNs: 40_000 } })
    form.rise.min.value = 50
    expect(form.rise.min.error).toBe('This is above “at most”.')
    form.setDrive('driven')
    expect(title().drive).toEqual({ kind: 'driven' })
  })

  it('sets where six buttons are found', () => {
    const { form, title } = formOf(every)
    form.setBelief('identified')
    expect(form.setIdentification({ pin: 4, low: false })).toBe(true)
    expect(form.setIdentification({ cycle: 2 })).toBe(true)
    expect(title().sixButtons).toEqual({ kind: 'identified', cycle: 2, level: 'low', lowPins: [1, 2, 3] })
    form.setBelief('never')
    expect(title().sixButtons).toEqual({ kind: 'never' })
  })

  it('takes what a start is late by in µs, the clock in parts per million, and opposite directions', () => {
    const { form, title } = formOf(NEW_TITLE)
    form.jitter.value = 12.5
    form.clock.value = 250
    expect(title()).toMatchObject({ readJitterNs: 12_500, clockPpm: 250, takesOpposite: true })
    expect(form.choose('takesOpposite', (now) => ({ ...now, takesOpposite: false }))).toBe(true)
    expect(title().takesOpposite).toBe(false)
  })

  it('refuses a clock and a lateness that cannot be, beside their fields', () => {
    const { form, title } = formOf(NEW_TITLE)
    form.jitter.value = -1
    form.clock.value = 10_001
    expect(form.errorOf('readJitterNs', form.jitter)).toMatch(/from 0 to 1000000/)
    expect(form.errorOf('clockPpm', form.clock)).toMatch(/from 0 to 10000/)
    form.clock.value = null
    expect(form.clock.error).toBe('Enter a number.')
    expect(title()).toEqual(NEW_TITLE)
  })

  it('takes a rise that was worked out, and the other end of the range gives way', () => {
    const { form, title } = formOf(NEW_TITLE)
    form.setDrive('released')
    form.takeRise('maxNs', 1_374)
    expect(title().drive).toEqual({ kind: 'released', riseNs: { minNs: 1_374, maxNs: 1_374 } })
    form.takeRise('maxNs', 2_000)
    form.takeRise('minNs', 3_000)
    expect(title().drive).toEqual({ kind: 'released', riseNs: { minNs: 3_000, maxNs: 3_000 } })
  })
})
