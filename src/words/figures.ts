import { figure } from './texts.ts'

/** Figures with their units. Units are the same in every language. */

/** A time as a technician reads it. Cut off, never rounded up, so that nothing looks better than it is. */
export function timeWord(ns: number): string {
  const size = Math.abs(ns)
  const sign = ns < 0 ? '−' : ''
  if (size < 1_000) return `${sign}${figure(size)} ns`
  const [unit, perUnit] = size < 1_000_000 ? ['µs', 1_000] : ['ms', 1_000_000]
  const hundredths = Math.floor(size / (perUnit / 100))
  return `${sign}${figure(hundredths / 100, 2)} ${unit}`
}

/** A measured time in the unit that suits it, exact to the nanosecond. */
export function exactTimeWord(ns: number): string {
  const size = Math.abs(ns)
  if (size < 1_000) return `${figure(ns)} ns`
  if (size < 1_000_000) return `${figure(ns / 1_000)} µs`
  return size < 1_000_000_000 ? `${figure(ns / 1_000_000)} ms` : `${figure(ns / 1_000_000_000)} s`
}

/** A frequency to four decimals, in the unit that suits it. */
export function frequencyWord(hz: number): string {
  const [unit, perUnit] = hz < 1e3 ? ['Hz', 1] : hz < 1e6 ? ['kHz', 1e3] : ['MHz', 1e6]
  return `${figure(hz / perUnit, 4)} ${unit}`
}

/** A size in MB, or in kB below that, with as many digits as tell something. */
export function sizeWord(bytes: number): string {
  const [unit, perUnit] = bytes < 1e6 ? ['kB', 1e3] : ['MB', 1e6]
  const size = bytes / perUnit
  return `${figure(size, size < 100 ? 1 : 0)} ${unit}`
}
