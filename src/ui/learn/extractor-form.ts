import { CONTROLS } from '../../pad/controls.ts'
import type { Control } from '../../pad/controls.ts'
import { CROSSES, LAYOUT_LIMITS } from '../../pad/layout/schema.ts'
import type { Extractor, Field } from '../../pad/layout/schema.ts'
import type { ReportPlace } from '../../pad/learn/places.ts'
import type { Option } from '../look/types.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { foundWord } from './extractor-words.ts'
import { kindTexts, t } from './layout-texts.ts'

/** Setting by hand where a control is found. */

export type ExtractorKind = Extractor['kind']

const KINDS: readonly ExtractorKind[] = ['threshold', 'hat', 'axis', 'array']

export const kindOptions = (): readonly Option<ExtractorKind>[] =>
  KINDS.map((kind) => ({ value: kind, label: kindTexts[kind] }))

type Subject<Kind extends ExtractorKind> = Extract<Extractor, { readonly kind: Kind }>

const AXES = (['left', 'right'] as const).flatMap((stick) =>
  (['x', 'y'] as const).map((axis) => ({ stick, axis })),
)

/** What an extractor of a kind may be for, by a word of its own. */
export function subjectOptions(kind: ExtractorKind): readonly Option[] {
  switch (kind) {
    case 'threshold':
    case 'array':
      return CONTROLS.map((control) => ({ value: control, label: CONTROL_WORDS[control] }))
    case 'hat':
      return CROSSES.map((cross) => ({ value: cross, label: foundWord({ ...SAMPLE_HAT, cross }) }))
    case 'axis':
      return AXES.map(({ stick, axis }) => ({
        value: `${stick} ${axis}`,
        label: foundWord({ ...SAMPLE_AXIS, stick, axis }),
      }))
  }
}

const SAMPLE_FIELD: Field = { report: 0, bit: 0, bits: 8, signed: false }
const SAMPLE_HAT: Subject<'hat'> = {
  kind: 'hat',
  cross: 'dpad',
  field: SAMPLE_FIELD,
  first: 0,
  step: 1,
  positions: 8,
}
const SAMPLE_AXIS: Subject<'axis'> = {
  kind: 'axis',
  stick: 'left',
  axis: 'x',
  field: SAMPLE_FIELD,
  low: 0,
  centre: 128,
  high: 255,
}

export function subjectOf(extractor: Extractor): string {
  if (extractor.kind === 'axis') return `${extractor.stick} ${extractor.axis}`
  return extractor.kind === 'hat' ? extractor.cross : extractor.control
}

/** The same extractor for another control. */
export function forSubject(extractor: Extractor, subject: string): Extractor {
  switch (extractor.kind) {
    case 'threshold':
    case 'array': {
      const control = CONTROLS.find((name) => name === subject)
      return control ? { ...extractor, control } : extractor
    }
    case 'hat': {
      const cross = CROSSES.find((name) => name === subject)
      return cross ? { ...extractor, cross } : extractor
    }
    case 'axis':
      return { ...extractor, ...AXES.find(({ stick, axis }) => `${stick} ${axis}` === subject) }
  }
}

/** What a place suggests of an extractor of a kind: its values as the place has them. */
export function atPlace(
  kind: ExtractorKind,
  place: Pick<ReportPlace, 'field' | 'count' | 'least' | 'most' | 'nothing'>,
): Extractor {
  const { field, count, least, most } = place
  const span = most - least
  switch (kind) {
    case 'threshold':
      return {
        kind,
        control: FIRST,
        field,
        press: span === 1 ? most : Math.ceil(least + span / 2),
        release: span === 1 ? least : Math.floor(least + 0.4 * span),
      }
    case 'array':
      return { kind, control: FIRST, field, count, value: Math.max(1, least) }
    case 'hat':
      return { ...SAMPLE_HAT, field, first: least, step: stepOf(place), positions: span === 3 ? 4 : 8 }
    case 'axis':
      return { ...SAMPLE_AXIS, field, low: least, centre: Math.floor((least + most + 1) / 2), high: most }
  }
}

/** How many values each of eight positions has: with a value for nothing in use, up and the last one stand at the two ends. */
function stepOf({ least, most, nothing }: Pick<ReportPlace, 'least' | 'most' | 'nothing'>): number {
  const step = Math.floor(nothing === undefined ? (most - least + 1) / 8 : (most - least) / 7)
  return Math.min(Math.max(1, step), LAYOUT_LIMITS.hatStep)
}

const FIRST: Control = 'face-south'

/** The numbers of an extractor that can be set, in the order of the form. */
export interface NumberOf {
  readonly label: string
  readonly value: number
  readonly set: (value: number) => Extractor
}

export function numbersOf(one: Extractor): readonly NumberOf[] {
  switch (one.kind) {
    case 'threshold':
      return [
        { label: t.heldAt, value: one.press, set: (press) => ({ ...one, press }) },
        { label: t.releasedAt, value: one.release, set: (release) => ({ ...one, release }) },
      ]
    case 'array':
      return [
        { label: t.heldBy, value: one.value, set: (value) => ({ ...one, value }) },
        { label: t.entries, value: one.count, set: (count) => ({ ...one, count }) },
      ]
    case 'hat':
      return [
        { label: t.upFrom, value: one.first, set: (first) => ({ ...one, first }) },
        { label: t.valuesEach, value: one.step, set: (step) => ({ ...one, step }) },
        {
          label: t.positions,
          value: one.positions,
          set: (positions) => ({ ...one, positions: positions === 4 ? 4 : 8 }),
        },
      ]
    case 'axis':
      return [
        { label: one.axis === 'x' ? t.leftIs : t.upIs, value: one.low, set: (low) => ({ ...one, low }) },
        { label: t.atRest, value: one.centre, set: (centre) => ({ ...one, centre }) },
        {
          label: one.axis === 'x' ? t.rightIs : t.downIs,
          value: one.high,
          set: (high) => ({ ...one, high }),
        },
      ]
  }
}

/** The numbers of where it is. */
export function fieldNumbers(one: Extractor): readonly NumberOf[] {
  const set = (change: Partial<Field>): Extractor => ({ ...one, field: { ...one.field, ...change } })
  return [
    { label: t.fieldReport, value: one.field.report, set: (report) => set({ report }) },
    { label: t.firstBit, value: one.field.bit, set: (bit) => set({ bit }) },
    { label: t.fieldBits, value: one.field.bits, set: (bits) => set({ bits }) },
  ]
}
