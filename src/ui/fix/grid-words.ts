import { CHANGE_KINDS, DELAYS_NS, IDLE_RESETS_NS, changesOf } from '../../bench/fix/grid.ts'
import type { ChangeKind } from '../../bench/fix/grid.ts'
import { changeWords } from '../../bench/fix/change-words.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { listWords } from '../../words/lists.ts'
import { timeWord } from '../../words/figures.ts'
import { figure } from '../../words/texts.ts'
import type { Profile } from '../../profile/schema.ts'
import { gridTexts as t, nothingTexts } from './fix-texts.ts'

/** A kind of change, and the values that were tried. */
export interface GridLine {
  readonly what: string
  readonly values: string
}

/** A time without the zeros behind the point, which a list has no use for. */
const shortTime = (ns: number): string => timeWord(ns).replace(/\.?0+(?= )/, '')

/** The grid of changes that was gone through for this profile, a line for each kind. */
export const gridLines = (profile: Profile): readonly GridLine[] =>
  CHANGE_KINDS.map((kind) => ({ what: t[kind], values: valuesOf(kind, profile) }))

function valuesOf(kind: ChangeKind, profile: Profile): string {
  switch (kind) {
    case 'delay':
      return t.delays({ values: listWords(DELAYS_NS.map((ns) => figure(ns))) })
    case 'idle-reset':
      return listWords(IDLE_RESETS_NS.map(shortTime))
    case 'cell':
      return t.cells
    default: {
      const [first, ...others] = changesOf(kind, profile)
      if (first === undefined) return nothingTexts[kind]
      const last = others.at(-1)
      const said = (change: typeof first) => changeWords(change, profile, (control) => CONTROL_WORDS[control])
      return last === undefined ? said(first) : t.fromTo({ first: said(first), last: said(last) })
    }
  }
}
