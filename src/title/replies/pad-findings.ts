import type { Pin } from '../../port/pins.ts'
import { PINS } from '../../port/pins.ts'
import type { RangeNs } from '../../port/range.ts'
import type { CaptureFinding, What } from '../infer/findings.ts'
import type { Noted } from '../select-line.ts'
import type { Changes } from './changes.ts'
import type { HeldInput } from './held.ts'
import type { IdleReset } from './idle-reset.ts'
import type { MeasuredPad } from './measure-pad.ts'

/** What the replies are those of. */
export type PadTable =
  | { readonly table: 'six-buttons'; readonly after: 'stay' | 'start-again' | null }
  | { readonly table: 'three-buttons' }
  /** They could be those of either. */
  | { readonly table: 'either' }
  /** The reads that tell the tables apart are too few. */
  | { readonly table: 'unclear' }
  | { readonly table: 'none' }
  /** No line ever changes. */
  | { readonly table: 'still' }

/** What data lines tell of the pad in a capture, by name. */
export interface PadValues {
  readonly 'pad-lines': {
    readonly pins: readonly Pin[]
    readonly missing: readonly Pin[]
    readonly still: readonly Pin[]
  }
  readonly 'pad-table': PadTable
  readonly 'pad-reply': RangeNs & { readonly stepNs: number }
  readonly 'pad-idle-reset': IdleReset
  /** Samples are too far apart for it. */
  readonly 'pad-idle-reset-hidden': { readonly stepNs: number }
  readonly 'pad-held': readonly HeldInput[]
  readonly 'pad-changes': Changes
  readonly 'pad-odd': Noted
}

export type PadWhat = keyof PadValues
export type PadFinding = Extract<CaptureFinding, { readonly what: PadWhat }>
type TableFinding = Extract<PadFinding, { readonly what: 'pad-table' }>

const PAD_WHATS: Readonly<Record<PadWhat, true>> = {
  'pad-lines': true,
  'pad-table': true,
  'pad-reply': true,
  'pad-idle-reset': true,
  'pad-idle-reset-hidden': true,
  'pad-held': true,
  'pad-changes': true,
  'pad-odd': true,
}

/** Whether a finding is about the pad, and not about the title. */
export const isOfPad = (what: What): what is PadWhat => Object.hasOwn(PAD_WHATS, what)

/** Replies that are seen in fewer phases, or rests, are likely only. */
const MANY = 10

/** What a measured pad is told by; nothing where no data line was captured. */
export function padFindings(pad: MeasuredPad | null): PadFinding[] {
  if (pad === null) return []
  const { pins, still, reply, idleReset, held, changes, odd, stepNs } = pad
  const missing = PINS.filter((pin) => !pins.includes(pin))
  const findings: PadFinding[] = [
    { what: 'pad-lines', value: { pins, missing, still }, sureness: 'sure' },
    tableFinding(pad),
  ]
  if (reply !== null) {
    const { minNs, maxNs, seen, of } = reply
    findings.push({
      what: 'pad-reply',
      value: { minNs, maxNs, stepNs },
      sureness: seen >= MANY ? 'sure' : 'likely',
      evidence: { seen, of, things: 'phases' },
    })
  }
  if (idleReset !== null) {
    const { contradicts, without, with: within, shown } = idleReset
    const isSure = without + within + shown >= MANY
    findings.push({
      what: 'pad-idle-reset',
      value: idleReset,
      sureness: contradicts ? 'guess' : isSure ? 'sure' : 'likely',
    })
  }
  if (pad.hidesEdges && isOfSix(pad))
    findings.push({ what: 'pad-idle-reset-hidden', value: { stepNs }, sureness: 'sure' })
  // A line that never changes may be one that the probe does not reach.
  const heldIs = still.length === 0 ? 'sure' : 'likely'
  if (held.length > 0) findings.push({ what: 'pad-held', value: held, sureness: heldIs })
  if (changes !== null && countOf(changes) > 0)
    findings.push({ what: 'pad-changes', value: changes, sureness: 'likely' })
  if (odd.count > 0) findings.push({ what: 'pad-odd', value: odd, sureness: 'sure' })
  return findings
}

const countOf = ({ presses, resets, either }: Changes): number => presses.count + resets.count + either.count

const isOfSix = ({ kinds }: MeasuredPad): boolean =>
  kinds.length > 0 && kinds.every((kind) => kind !== 'three-buttons')

/** Which pad replied in a capture, where its replies leave no doubt; `null`: that does not show. */
export function padShown(pad: MeasuredPad | null): 'three-buttons' | 'six-buttons' | null {
  if (pad === null) return null
  const { value, sureness } = tableFinding(pad)
  if (sureness !== 'sure') return null
  return value.table === 'six-buttons' || value.table === 'three-buttons' ? value.table : null
}

function tableFinding(pad: MeasuredPad): TableFinding {
  const { pins, still, kinds, telling, segments } = pad
  const of = (value: PadTable, isSure: boolean): TableFinding => ({
    what: 'pad-table',
    value,
    sureness: isSure ? 'sure' : 'likely',
    ...(telling > 0 && { evidence: { seen: telling, of: segments, things: 'reads' } }),
  })
  if (still.length === pins.length) return of({ table: 'still' }, true)
  const [kind, ...others] = kinds
  if (kind === undefined) return of({ table: pad.isExplained ? 'unclear' : 'none' }, true)
  if (isOfSix(pad)) {
    const after = others.length > 0 ? null : kind === 'six-buttons-stay' ? 'stay' : 'start-again'
    return of({ table: 'six-buttons', after }, telling >= MANY)
  }
  if (others.length > 0) return of({ table: 'either' }, false)
  return of({ table: 'three-buttons' }, telling >= MANY)
}
