/** How a title reads a profile. */
export type VerdictKind = 'misread' | 'undecided' | 'tight' | 'clean'

/** A line of a menu. */
export interface MenuItem<Id extends string = string> {
  readonly id: Id
  readonly label: string
  /** The key that chooses it while the menu is open, as shown at its side. */
  readonly key?: string
  /** Present on items of which one is in force. */
  readonly checked?: boolean
  readonly disabled?: boolean
}

/** A cell of the title block. */
export interface TitleBlockCell {
  readonly label: string
  readonly value: string
}

/** One choice of a select field or a radio group. */
export interface Option<Value extends string = string> {
  readonly value: Value
  readonly label: string
  readonly hint?: string
  readonly disabled?: boolean
}
