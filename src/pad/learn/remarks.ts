import type { Control } from '../controls.ts'
import type { Cross } from '../layout/schema.ts'
import type { StickSide } from '../hold.ts'
import type { Ask } from './controls-to-ask.ts'
import type { ReportPlace } from './places.ts'
import type { Aside } from './watch.ts'

/** What the user should know of a layout that was learned. */
export type Remark =
  /** A place that was not looked at. */
  | { readonly kind: 'aside'; readonly place: ReportPlace; readonly why: Aside }
  /** A control shows in two places; one was taken. */
  | {
      readonly kind: 'two-places'
      readonly control: Control
      readonly taken: ReportPlace
      readonly other: ReportPlace
    }
  /** The user wanted two controls in one place. */
  | { readonly kind: 'shared'; readonly ask: Ask; readonly with: Ask }
  /** An analogue control comes to so much of its range only. */
  | { readonly kind: 'weak'; readonly control: Control; readonly percent: number }
  /** A stick comes to so much of its range only, towards low (left, up) or high. */
  | {
      readonly kind: 'weak-end'
      readonly stick: StickSide
      readonly axis: 'x' | 'y'
      readonly end: 'low' | 'high'
      readonly percent: number
    }
  /** A stick rests at places that lie so much of its range apart. */
  | { readonly kind: 'drifts'; readonly stick: StickSide; readonly axis: 'x' | 'y'; readonly percent: number }
  /** A stick was not rolled: its ends are taken for those of the field. */
  | { readonly kind: 'not-rolled'; readonly stick: StickSide }
  /** A hat whose positions do not follow each other: its diagonals are lost. */
  | { readonly kind: 'odd-hat'; readonly cross: Cross }
  /** A stick of which only one way was found. */
  | { readonly kind: 'half-stick'; readonly stick: StickSide }
