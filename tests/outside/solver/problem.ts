import type { RangeNs } from '../../../src/port/range.ts'

/** A formula of SMT-LIB, as text; what is certain is left out of it, so that the solver is not asked for that. */
export type Formula = string

export const YES: Formula = 'true'
export const NO: Formula = 'false'

function joined(how: 'and' | 'or', all: readonly Formula[]): Formula {
  const [nothing, settled] = how === 'and' ? [YES, NO] : [NO, YES]
  if (all.includes(settled)) return settled
  const left = [...new Set(all)].filter((one) => one !== nothing)
  return left.length === 0 ? nothing : left.length === 1 ? (left[0] as Formula) : `(${how} ${left.join(' ')})`
}

export const and = (...all: readonly Formula[]): Formula => joined('and', all)
export const or = (...all: readonly Formula[]): Formula => joined('or', all)
export const not = (one: Formula): Formula => (one === YES ? NO : one === NO ? YES : `(not ${one})`)
export const either = (test: Formula, one: Formula, other: Formula): Formula =>
  or(and(test, one), and(not(test), other))

/** SMT-LIB has no negative numerals. */
const numeral = (ns: number): string => (ns < 0 ? `(- ${-ns})` : `${ns}`)
const ORIGIN = '0'

/** Whether an instant comes no more than so many ns after another one. */
export const isBy = (at: Instant, other: Instant, ns = 0): Formula =>
  at === other ? (ns >= 0 ? YES : NO) : `(<= (- ${at} ${other}) ${numeral(ns)})`

/** The name of a whole number of ns. */
export type Instant = string

/** Everything that holds at once, and what is asked about it. */
export class Problem {
  /** The place of the first read. */
  readonly origin: Instant = ORIGIN
  readonly #lines: string[] = []
  #names = 0

  get text(): string {
    return this.#lines.join('\n')
  }

  instant(): Instant {
    return this.#declared('Int')
  }

  choice(): Formula {
    return this.#declared('Bool')
  }

  #declared(sort: 'Int' | 'Bool'): string {
    const name = `v${this.#names++}`
    this.#lines.push(`(declare-const ${name} ${sort})`)
    return name
  }

  /** A short name for a formula that is needed more than once. */
  named(formula: Formula): Formula {
    if (!formula.startsWith('(')) return formula
    const name = `v${this.#names++}`
    this.#lines.push(`(define-fun ${name} () Bool ${formula})`)
    return name
  }

  assert(formula: Formula): void {
    if (formula !== YES) this.#lines.push(`(assert ${formula})`)
  }

  /** An instant from the least to the most after another. @param when holds only then */
  bound(at: Instant, base: Instant, { minNs, maxNs }: RangeNs, when: Formula = YES): void {
    this.assert(or(not(when), isBy(base, at, -minNs)))
    this.assert(or(not(when), isBy(at, base, maxNs)))
  }

  after(base: Instant, range: RangeNs): Instant {
    const at = this.instant()
    this.bound(at, base, range)
    return at
  }

  /** The one instant or the other. */
  instantOf(test: Formula, one: Instant, other: Instant): Instant {
    if (test === YES || one === other) return one
    if (test === NO) return other
    const at = this.instant()
    this.bound(at, one, { minNs: 0, maxNs: 0 }, test)
    this.bound(at, other, { minNs: 0, maxNs: 0 }, not(test))
    return at
  }

  /** Keeps exactly one of these. */
  oneOf(all: readonly Formula[], when: Formula = YES): void {
    this.assert(or(not(when), ...all))
    this.noTwoOf(all)
  }

  noTwoOf(all: readonly Formula[]): void {
    all.forEach((one, k) => all.slice(k + 1).forEach((other) => this.assert(or(not(one), not(other)))))
  }

  /** A question that the solver can be asked. */
  question(formula: Formula): Formula {
    if (formula === NO || formula === YES) return formula
    const name = this.choice()
    this.assert(`(= ${name} ${formula})`)
    return name
  }
}
