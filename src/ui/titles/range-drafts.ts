import type { RangeNs } from '../../port/range.ts'
import { Draft } from '../draft.svelte.ts'
import { t } from './title-form-texts.ts'

export const US = 1_000

/** The two ends of a time range, in µs. */
export interface RangeDrafts {
  readonly min: Draft<number | null>
  readonly max: Draft<number | null>
}

export type RangeEnd = keyof RangeNs

/** A time in a field, in µs. @param write tries whole ns; gives the sentence of a refusal, or `null` */
export const timeDraft = (read: () => number, write: (ns: number) => string | null): Draft<number | null> =>
  new Draft<number | null>(
    () => read() / US,
    (us) => (us === null ? t.needed : write(Math.round(us * US))),
  )

/** A range of time in two fields; ends that would cross are refused where they are typed. */
export function rangeDrafts(
  read: () => RangeNs,
  write: (range: RangeNs, end: RangeEnd) => string | null,
): RangeDrafts {
  const end = (which: RangeEnd) =>
    timeDraft(
      () => read()[which],
      (ns) => {
        const { minNs, maxNs }: RangeNs = { ...read(), [which]: ns }
        if (minNs > maxNs) return which === 'minNs' ? t.aboveMost : t.belowLeast
        return write({ minNs, maxNs }, which)
      },
    )
  return { min: end('minNs'), max: end('maxNs') }
}

/** A figure without a unit of time. */
export const numberDraft = (
  read: () => number,
  write: (value: number) => string | null,
): Draft<number | null> =>
  new Draft<number | null>(read, (value) => (value === null ? t.needed : write(value)))

/** Times in one field, in µs, separated by commas. */
export const timesDraft = (
  read: () => readonly number[],
  write: (ns: number[]) => string | null,
): Draft<string> =>
  new Draft(
    () =>
      read()
        .map((ns) => String(ns / US))
        .join(', '),
    (text) => {
      const numbers = text
        .split(/[,;\s]+/)
        .filter((part) => part !== '')
        .map(Number)
      if (numbers.some(Number.isNaN)) return t.numbersNeeded
      return write(numbers.map((us) => Math.round(us * US)))
    },
  )
