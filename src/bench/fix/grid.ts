import { CELLS } from '../../port/chart.ts'
import type { After, Cell } from '../../port/chart.ts'
import { PINS } from '../../port/pins.ts'
import type { Level } from '../../port/pins.ts'
import type { Control } from '../../pad/controls.ts'
import { setAfter, setCell, stopAfter } from '../../profile/chart-commands.ts'
import type { CellRef } from '../../profile/chart-commands.ts'
import { LIMITS } from '../../profile/schema.ts'
import type { Profile } from '../../profile/schema.ts'
import { keptToFirstCycle } from '../plan/first-cycle.ts'
import { firstCycleHold, withPowerOn } from '../plan/holds.ts'

/**
 * The changes that are tried to mend a profile: a finite grid, so that "nothing in it helps" can be proved by trying it all. It is
 * published in `FIX.md` beside this file; whoever changes the one changes the other.
 */

export type Axis = keyof Profile['opposite']

export type Change =
  | { readonly kind: 'delay'; readonly ns: number }
  | { readonly kind: 'idle-reset'; readonly ns: number }
  | { readonly kind: 'opposite'; readonly axis: Axis }
  | { readonly kind: 'first-cycle'; readonly held: readonly Control[] }
  | { readonly kind: 'after'; readonly after: After['kind'] }
  | { readonly kind: 'stop-after'; readonly cycles: number }
  | { readonly kind: 'cell'; readonly ref: CellRef; readonly cell: Cell }

export const DELAYS_NS: readonly number[] = Array.from(
  { length: LIMITS.maxDelayNs / LIMITS.delayStepNs + 1 },
  (_, k) => k * LIMITS.delayStepNs,
)

/** From 10 µs to 20 ms; around 1.5 ms, where original pads have theirs, closer together. */
export const IDLE_RESETS_NS: readonly number[] = [
  10_000, 20_000, 50_000, 100_000, 200_000, 300_000, 500_000, 750_000, 1_000_000, 1_100_000, 1_250_000,
  1_500_000, 1_800_000, 2_500_000, 5_000_000, 10_000_000, 20_000_000,
]

/** What one change can be about. At most one of the last four goes into a fix: they all change the chart. */
export const CHANGE_KINDS = [
  'delay',
  'idle-reset',
  'opposite-vertical',
  'opposite-horizontal',
  'first-cycle',
  'after',
  'stop-after',
  'cell',
] as const
export type ChangeKind = (typeof CHANGE_KINDS)[number]

/** Kinds that exclude one another. */
export const CHART_KINDS: readonly ChangeKind[] = ['first-cycle', 'after', 'stop-after', 'cell']

/** How far two times are apart, as a player would feel it: by their ratio. */
const apart = (p: number, q: number): number => Math.abs(Math.log(p / q))

/** All changes of one kind, those that change least first; a cell is looked for elsewhere, where it can help. */
export function changesOf(kind: Exclude<ChangeKind, 'cell'>, profile: Profile): Change[] {
  switch (kind) {
    case 'delay':
      return DELAYS_NS.filter((ns) => ns !== profile.delayNs)
        .sort((p, q) => Math.abs(p - profile.delayNs) - Math.abs(q - profile.delayNs))
        .map((ns) => ({ kind, ns }))
    case 'idle-reset':
      return IDLE_RESETS_NS.filter((ns) => ns !== profile.idleResetNs)
        .sort((p, q) => apart(p, profile.idleResetNs) - apart(q, profile.idleResetNs))
        .map((ns) => ({ kind, ns }))
    case 'opposite-vertical':
    case 'opposite-horizontal': {
      const axis = kind === 'opposite-vertical' ? 'vertical' : 'horizontal'
      return profile.opposite[axis] === 'as-held' ? [{ kind: 'opposite', axis }] : []
    }
    case 'first-cycle':
      return firstCycleChange(profile)
    case 'after': {
      const { kind: now } = profile.chart.after
      return [{ kind, after: now === 'stay' ? 'start-again' : 'stay' }]
    }
    case 'stop-after':
      return profile.chart.cycles.map((_, k) => ({ kind, cycles: k + 1 })).reverse()
  }
}

function firstCycleChange(profile: Profile): Change[] {
  const known = firstCycleHold(profile)
  if (known !== null) return [{ kind: 'first-cycle', held: known }]
  const held = profile.mapping.mode.slice(0, 1)
  const isFree = held.length > 0 && profile.powerOn.length < LIMITS.powerOnRules
  return isFree ? [{ kind: 'first-cycle', held }] : []
}

/** All changes of one cell in one phase. */
export const cellChanges = (cycle: CellRef['cycle'], level: Level): Change[] =>
  PINS.flatMap((pin) => CELLS.map((cell): Change => ({ kind: 'cell', ref: { cycle, level, pin }, cell })))

/** The profile as it is kept with a change. */
export function withChange(profile: Profile, change: Change): Profile {
  switch (change.kind) {
    case 'delay':
      return { ...profile, delayNs: change.ns }
    case 'idle-reset':
      return { ...profile, idleResetNs: change.ns }
    case 'opposite':
      return { ...profile, opposite: { ...profile.opposite, [change.axis]: 'neutral' } }
    case 'first-cycle':
      if (firstCycleHold(profile) !== null) return profile
      return withPowerOn(profile, { held: [...change.held], then: { kind: 'first-cycle-only' } }) ?? profile
    case 'after':
      return { ...profile, chart: setAfter(profile.chart, change.after) }
    case 'stop-after':
      return { ...profile, chart: stopAfter(profile.chart, change.cycles) }
    case 'cell':
      return { ...profile, chart: setCell(profile.chart, change.ref, change.cell) }
  }
}

/** The profile as a title meets it with a change: with the hold at power-on, where there is one. */
export const metWith = (profile: Profile, change: Change): Profile =>
  change.kind === 'first-cycle' ? keptToFirstCycle(profile) : withChange(profile, change)
