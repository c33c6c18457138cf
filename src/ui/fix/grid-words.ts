import { CHANGE_KINDS, DELAYS_NS, IDLE_RESETS_NS, changesOf } from '../../bench/fix/grid.ts'
import type { ChangeKind } from '../../bench/fix/grid.ts'
import { changeWords } from '../../bench/fix/words.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { timeWord } from '../../words/figures.ts'
import { listWords } from '../../words/lists.ts'
import type { Profile } from '../../profile/schema.ts'

/** A kind of change, and the values that were tried. */
export interface GridLine {
  readonly what: string
  readonly values: string
}

const WHAT: Readonly<Record<ChangeKind, string>> = {
  delay: 'deliberate delay',
  'idle-reset': 'idle reset',
  'opposite-vertical': 'Up with Down',
  'opposite-horizontal': 'Left with Right',
  'first-cycle': 'first cycle only',
  after: 'after the last cycle',
  'stop-after': 'number of cycles',
  cell: 'one cell',
}

/** A time without the zeros behind the point, which a list has no use for. */
const shortTime = (ns: number): string => timeWord(ns).replace(/\.?0+(?= )/, '')

/** The grid of changes that was gone through for this profile, a line for each kind. */
export const gridLines = (profile: Profile): readonly GridLine[] =>
  CHANGE_KINDS.map((kind) => ({ what: WHAT[kind], values: valuesOf(kind, profile) }))

function valuesOf(kind: ChangeKind, profile: Profile): string {
  switch (kind) {
    case 'delay':
      return `${listWords(DELAYS_NS.map(String))} ns`
    case 'idle-reset':
      return listWords(IDLE_RESETS_NS.map(shortTime))
    case 'cell':
      return 'each of the twelve inputs, low and high, in any one cell of the phases that a sample gone wrong can meet'
    default: {
      const [first, ...others] = changesOf(kind, profile)
      if (first === undefined) return NOTHING_TO_TRY[kind]
      const last = others.at(-1)
      const said = (change: typeof first) => changeWords(change, profile, (control) => CONTROL_WORDS[control])
      return last === undefined ? said(first) : `from “${said(first)}” to “${said(last)}”`
    }
  }
}

/** Why a kind has no change to offer. */
const NOTHING_TO_TRY: Readonly<Record<Exclude<ChangeKind, 'delay' | 'idle-reset' | 'cell'>, string>> = {
  'opposite-vertical': 'has a policy already',
  'opposite-horizontal': 'has a policy already',
  'first-cycle': 'no control for Mode, or no room for another power-on rule',
  after: 'nothing else to choose',
  'stop-after': 'no cycle to take away',
}
