import fc from 'fast-check'
import { init, killThreads, Z3_lbool } from 'z3-solver'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { explored } from '../../src/bench/explored.ts'
import { weighTitle } from '../../src/bench/weigh-title.ts'
import { ALL_INPUTS, inputBit } from '../../src/port/pins.ts'
import type { Input, Pin } from '../../src/port/pins.ts'
import { cellLevel } from '../../src/port/chart.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { CabledAdapter } from '../../src/bench/judgement.ts'
import { IDENTIFIES } from '../../src/title/schedule.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbAdapter, arbTypicalProfile } from '../bench/arbitrary-profile.ts'
import { arbTitle } from '../bench/arbitrary-title.ts'
import { limits } from '../bench/play.ts'
import { combinations } from '../bench/watch.ts'

/**
 * A title in front of a profile as an SMT solver understands it: every instant, reply and reset a whole number within its range, every
 * rule of the port a formula, and the question whether any timing of the first frames misreads. The judge has to say the same.
 */

type Z3 = Awaited<ReturnType<typeof init>>
let solver: Z3
beforeAll(async () => {
  solver = await init()
})
afterAll(() => killThreads(solver.em))

const FRAMES = 2

const and = (...all: string[]): string => (all.length === 0 ? 'true' : `(and ${all.join(' ')})`)
const or = (...all: string[]): string => (all.length === 0 ? 'false' : `(or ${all.join(' ')})`)
const not = (one: string): string => `(not ${one})`
/** SMT-LIB has no negative numerals. */
const numeral = (n: number): string => (n < 0 ? `(- ${-n})` : `${n}`)
const plus = (one: string, other: string): string => `(+ ${one} ${other})`

interface Changed {
  /** Whether it comes at all, when, and what is counted and what the level is after it. */
  readonly comes: string
  readonly at: string
  readonly row: string
  readonly high: boolean | string
  /** When the pins can show it, if nothing before it is later. */
  readonly shown: string
}

/** What a sample of one read meets, as a formula for each row and level. */
interface Sampled {
  readonly index: number | 'identify'
  readonly meets: (row: number, high: boolean) => string
}

class Problem {
  readonly lines: string[] = []
  #names = 0

  whole(): string {
    const name = `v${this.#names++}`
    this.lines.push(`(declare-const ${name} Int)`)
    return name
  }

  within(base: string, { minNs, maxNs }: { minNs: number; maxNs: number }): string {
    const name = this.whole()
    this.assert(`(<= ${plus(base, numeral(minNs))} ${name} ${plus(base, numeral(maxNs))})`)
    return name
  }

  named(sort: 'Int' | 'Bool', formula: string): string {
    const name = `v${this.#names++}`
    this.lines.push(`(define-fun ${name} () ${sort} ${formula})`)
    return name
  }

  assert(formula: string): void {
    this.lines.push(`(assert ${formula})`)
  }
}

/** Everything that can happen in the first frames. @returns the samples of every read */
function describePair(problem: Problem, profile: Profile, title: Title, adapter: CabledAdapter): Sampled[][] {
  const within = limits(profile, title, adapter)
  const { cycles, after } = profile.chart
  const next = (row: string): string =>
    after.kind === 'stay'
      ? `(ite (>= ${row} ${cycles.length}) ${cycles.length} (+ ${row} 1))`
      : `(ite (= ${row} ${cycles.length - 1}) 0 (+ ${row} 1))`
  const changes: Changed[] = []
  const reads: { index: Sampled['index']; at: string; reads: number }[] = []
  /** Before the next write: rows since the last rise, its reset, and the rise of a line that was let go. */
  let row = '0'
  let reset: { due: string; at: string } | null = null
  let high = title.rest === 'high' ? 'true' : 'false'
  let released: string | null = null
  /** The resets that can have come by an instant make a row of 0. */
  const rowBy = (at: string): string =>
    reset === null ? row : `(ite (and ${reset.due} (<= ${reset.at} ${at})) 0 ${row})`
  const change = (comes: string, at: string, rowThen: string, isHigh: boolean | string): void => {
    changes.push({ comes, at, row: rowThen, high: isHigh, shown: problem.within(at, within.reply) })
  }
  const resets: { at: string; due: string; k: number }[] = []
  const rise = (comes: string, at: string): void => {
    const before = reset
    const rowNow = problem.named('Int', `(ite ${comes} ${next(rowBy(at))} ${row})`)
    change(comes, at, rowNow, true)
    const mine = problem.within(at, within.idle)
    resets.push({ at: mine, due: comes, k: changes.length })
    reset = {
      due: problem.named('Bool', or(comes, before?.due ?? 'false')),
      at: problem.named('Int', `(ite ${comes} ${mine} ${before?.at ?? mine})`),
    }
    row = rowNow
  }
  const levels: string[] = []
  let place = '0'
  let read = 0
  for (let frame = 0; frame < FRAMES; frame++)
    for (let k = 0; k < title.readOffsetsNs.length; k++, read++) {
      if (read > 0)
        place = problem.within(
          place,
          within.toNextRead[(k + title.readOffsetsNs.length - 1) % title.readOffsetsNs.length] ?? NEVER,
        )
      let at = problem.within(place, within.readStart)
      const last = 2 * title.cyclesPerRead - (title.rest === 'low' ? 1 : 0)
      for (let phase = 0; phase <= last; phase++) {
        if (phase > 0) at = problem.within(at, within.spacing)
        const isHigh = phase % 2 === 0
        if (title.rest === 'low' || phase > 0) {
          if (!isHigh) {
            if (released !== null) {
              // A fall on the instant of the rise, or before it, keeps it from coming.
              const came = problem.named('Bool', `(< ${released} ${at})`)
              rise(came, released)
              high = came
              released = null
            }
            const rowThen = problem.named('Int', rowBy(at))
            change(high, at, rowThen, false)
            high = 'false'
          } else if (title.drive.kind === 'released') released = problem.within(at, within.rise)
          else {
            rise('true', at)
            high = 'true'
          }
        }
        levels.push(high)
        const cycle = Math.floor(phase / 2) + 1
        const level = isHigh ? 'high' : 'low'
        const uses: Sampled['index'][] = title.samples.flatMap((s, n) =>
          s.cycle === cycle && s.level === level ? [n] : [],
        )
        const six = title.sixButtons
        if (six.kind === 'identified' && six.cycle === cycle && six.level === level) uses.unshift('identify')
        if (uses.length === 0) continue
        const sample = problem.within(at, within.sample)
        for (const index of uses) reads.push({ index, at: sample, reads: read })
      }
    }
  if (released !== null) rise('true', released)
  // Resets: not one that a rise comes before; among the changes by their times.
  const rises = resets.map(({ due, k }) => ({ due, at: (changes[k - 1] as Changed).at }))
  const all: (Changed & { readonly order: number })[] = changes.map((one, order) => ({ ...one, order }))
  resets.forEach(({ at, due }, n) => {
    const stays = rises.slice(n + 1).map((later) => or(not(later.due), `(<= ${at} ${later.at})`))
    const comes = problem.named('Bool', and(due, ...stays))
    // The level then: that of the last change of level by then; a fall of the same instant comes after it.
    let isHigh = title.rest === 'high' ? 'true' : 'false'
    for (const one of changes) isHigh = `(ite (and ${one.comes} (< ${one.at} ${at})) ${one.high} ${isHigh})`
    const shown = problem.within(at, within.reply)
    const order = -1 - (resets.length - n)
    all.push({ comes, at, row: '0', high: problem.named('Bool', isHigh), shown, order })
  })
  /** Whether one comes before another: by time, a reset first. */
  const isBefore = (p: (typeof all)[number], q: (typeof all)[number]): string =>
    p.order >= 0 && q.order >= 0
      ? `${p.order < q.order}`
      : p.order < 0 && q.order < 0
        ? `${p.order < q.order}`
        : p.order < 0
          ? `(<= ${p.at} ${q.at})`
          : `(< ${p.at} ${q.at})`
  const start = { row: 0, high: title.rest === 'high' }
  const grouped: Sampled[][] = []
  for (const { index, at, reads: of } of reads) {
    // What has shown by then, and what has not; on the very instant it may be either.
    const shown = all.map((one) => `(<= ${one.shown} ${at})`)
    const hidden = all.map((one) => `(>= ${one.shown} ${at})`)
    const meetsOne = all.map((one, k) =>
      problem.named(
        'Bool',
        and(
          one.comes,
          shown[k] as string,
          ...all.flatMap((other, j) =>
            j === k
              ? []
              : [
                  or(
                    not(other.comes),
                    `(ite ${isBefore(other, one)} ${shown[j] as string} ${hidden[j] as string})`,
                  ),
                ],
          ),
        ),
      ),
    )
    const meetsNone = problem.named(
      'Bool',
      and(...all.map(({ comes }, k) => or(not(comes), hidden[k] as string))),
    )
    const meets = (rowMet: number, isHigh: boolean): string =>
      or(
        ...(start.row === rowMet && start.high === isHigh ? [meetsNone] : []),
        ...all.flatMap((one, k) => {
          if (typeof one.high === 'boolean' && one.high !== isHigh) return []
          const level = typeof one.high === 'boolean' ? 'true' : isHigh ? one.high : not(one.high)
          return [and(meetsOne[k] as string, `(= ${one.row} ${rowMet})`, level)]
        }),
      )
    ;(grouped[of] ??= []).push({ index, meets })
  }
  return grouped
}

const NEVER = { minNs: 0, maxNs: -1 }

/** Whether any timing misreads, and which combinations of codes do, by trying all inputs. */
async function misreads(profile: Profile, title: Title, adapter: CabledAdapter): Promise<boolean> {
  const problem = new Problem()
  const reads = describePair(problem, profile, title, adapter)
  const { cycles, after } = profile.chart
  const rows = after.kind === 'stay' ? [...cycles, after.reply] : cycles
  const codes = rows.flatMap((phases, row) =>
    [true, false].map((high) => {
      const phase = phases[high ? 'high' : 'low']
      const low = new Uint16Array(ALL_INPUTS + 1)
      for (let held = 0; held <= ALL_INPUTS; held++)
        for (const pin of [1, 2, 3, 4, 6, 9] as const)
          if (cellLevel(phase[pin], held) === 'low') low[held] = (low[held] as number) | (1 << pin)
      return { row, high, low }
    }),
  )
  const held = [...combinations(profile)]
  const { sixButtons } = title
  const six = (code: (typeof codes)[number], h: number): boolean =>
    sixButtons.kind === 'identified' &&
    sixButtons.lowPins.every((pin) => ((code.low[h] as number) >> pin) & 1)
  const isBad = (index: number, code: (typeof codes)[number], by: (typeof codes)[number] | null): boolean =>
    held.some((h) => {
      if (by !== null && !six(by, h)) return false
      return (Object.entries(title.samples[index]?.pins ?? {}) as unknown as [Pin, Input][]).some(
        ([pin, input]) => (((code.low[h] as number) >> pin) & 1) !== ((h & inputBit(input)) === 0 ? 0 : 1),
      )
    })
  const wrong: string[] = []
  for (const read of reads) {
    const identify = read?.find(({ index }) => index === 'identify')
    for (const { index, meets } of read ?? []) {
      if (index === 'identify') continue
      const waits = title.samples[index]?.when === 'six-buttons'
      if (waits && sixButtons.kind === 'never') continue
      for (const code of codes) {
        if (waits && identify !== undefined)
          for (const by of codes) {
            if (isBad(index, code, by))
              wrong.push(and(meets(code.row, code.high), identify.meets(by.row, by.high)))
          }
        else if (isBad(index, code, null)) wrong.push(meets(code.row, code.high))
      }
    }
  }
  const ask = async (formulas: string[]): Promise<boolean> => {
    const { Z3 } = solver
    const context = Z3.mk_context(Z3.mk_config())
    // The text is read at once; a call that is answered later would find other text in its place.
    const one = Z3.mk_simple_solver(context)
    Z3.solver_inc_ref(context, one)
    Z3.solver_from_string(context, one, [...problem.lines, `(assert ${or(...formulas)})`].join('\n'))
    const answer = await Z3.solver_check(context, one)
    if (answer === Z3_lbool.Z3_L_UNDEF) throw new Error(Z3.solver_get_reason_unknown(context, one))
    Z3.solver_dec_ref(context, one)
    Z3.del_context(context)
    return answer === Z3_lbool.Z3_L_TRUE
  }
  if (await ask(wrong)) return true
  if (sixButtons.kind !== 'identified') return false
  // A belief that is not that of another timing loses what only six buttons bring.
  const met: (typeof codes)[number][] = []
  const identifications = reads.flatMap((read) => (read ?? []).filter(({ index }) => index === 'identify'))
  for (const code of codes)
    if (await ask(identifications.map(({ meets }) => meets(code.row, code.high)))) met.push(code)
  const taken = (when: string): Input[] =>
    title.samples.flatMap((s) => (s.when === when ? (Object.values(s.pins) as Input[]) : []))
  const always = new Set(taken('always'))
  const only = taken('six-buttons').filter((input) => !always.has(input))
  const extra = only.reduce((mask, input) => mask | inputBit(input), 0)
  return met.some((one) =>
    met.some((other) => held.some((h) => six(one, h) && !six(other, h) && (h & extra) !== 0)),
  )
}

const arbSmall = arbTitle
  .filter(({ cyclesPerRead, readOffsetsNs }) => cyclesPerRead * readOffsetsNs.length <= 3)
  .map((title): Title => ({ ...title, takesOpposite: true }))

describe('an SMT solver', () => {
  test('finds a timing that misreads exactly where the judge says that there is one', async () => {
    const kinds = { right: 0, wrong: 0, later: 0 }
    await fc.assert(
      fc.asyncProperty(arbTypicalProfile, arbSmall, arbAdapter, async (profile, title, adapter) => {
        const box = boxOf(profile, title, adapter)
        const exploration = explored(title, profile.chart, box)
        const { weighed } = weighTitle(profile, title, box, exploration)
        const examples = [...weighed.wrongs.values()]
        // Past the first frames the solver is not asked; a belief of an early read can be wrong beside one that only comes later.
        const isLate = exploration.samples.some(
          ({ sample, awayNs, frame }) => awayNs === 0 && frame >= FRAMES && sample.uses.includes(IDENTIFIES),
        )
        if (
          isLate ||
          (examples.length > 0 && examples.every(({ example }) => example.place.frame > FRAMES))
        ) {
          kinds.later++
          return
        }
        kinds[examples.length > 0 ? 'wrong' : 'right']++
        expect(await misreads(profile, title, adapter)).toBe(examples.length > 0)
      }),
      { numRuns: process.env['NINEPIN_LONG'] ? 2_000 : 200, endOnFailure: true },
    )
    expect(kinds.right).toBeGreaterThan(10)
    expect(kinds.wrong).toBeGreaterThan(10)
  })
})
