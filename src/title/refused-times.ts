import { whole } from '../document/fields.ts'
import { figure } from '../words/texts.ts'
import { t } from './title-file-texts.ts'

/**
 * Times in the sentences of refusals: as the file has them, in ns, or as the fields of the app have them, in µs. Which of the two is not
 * known where a sentence is made, deep inside the check of a title, so it holds for everything that is checked meanwhile.
 */
type Unit = 'ns' | 'us'

let unit: Unit = 'ns'

/** Checks something for fields in which people type µs: what is refused meanwhile says its times so. */
export function refusedInMicroseconds<T>(check: () => T): T {
  const before = unit
  unit = 'us'
  try {
    return check()
  } finally {
    unit = before
  }
}

/** A time in a refusal, with its unit. */
export const refusedTime = (ns: number): string =>
  unit === 'ns' ? `${figure(ns)} ns` : `${figure(ns / 1_000)} µs`

/** A whole number of ns within bounds. */
export const wholeNs = (min: number, max: number) =>
  whole(
    min,
    max,
    () =>
      unit === 'ns'
        ? t.wholeNs({ min, max })
        : t.time({ min: refusedTime(min), max: refusedTime(max), step: refusedTime(1) }),
    (ns) => (unit === 'ns' ? String(ns) : refusedTime(ns)),
  )
