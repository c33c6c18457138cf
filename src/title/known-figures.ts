import type { RangeNs } from '../port/range.ts'
import { exactTimeWord, timeWord } from '../words/figures.ts'
import { listWords } from '../words/lists.ts'
import type { Source } from './evidence.ts'
import { knownTexts as t } from './evidence-texts.ts'
import { sourceWords } from './evidence-words.ts'
import { possibilitiesOf } from './possible.ts'
import type { Read, Title } from './schema.ts'
import { timeFigures } from './time-figures.ts'
import type { TimeFigure } from './time-figures.ts'

/** A figure or a belief of a title, and who says so. */
export interface KnownFigure {
  readonly name: string
  readonly value: string
  readonly source: string
  /** What a verdict can hang on: a time, what samples are taken for, how six buttons are told. */
  readonly about:
    | { readonly kind: 'time'; readonly number: number; readonly figure: TimeFigure }
    | { readonly kind: 'samples' | 'six-buttons' }
    | null
}

/** All that is known of a title, and how: what a verdict can hang on first. */
export function knownFigures(title: Title): KnownFigure[] {
  const { sources, sixButtons, captures } = title
  const row = (
    name: string,
    value: string,
    source: Source | undefined,
    about: KnownFigure['about'] = null,
  ): KnownFigure => ({ name, value, source: sourceWords(source, { ...(captures && { captures }) }), about })
  const times = timeFigures(title).map((figure, number) =>
    row(nameOf(figure), valueOf(figure), figure.source, { kind: 'time', number, figure }),
  )
  const possibilities = possibilitiesOf(title)
  const stated = t.detects({ kind: sixButtons.kind })
  const others = (possibilities?.detections.length ?? 1) - 1
  return [
    ...samplesOf(title, row),
    row(t.detection, others === 0 ? stated : t.detectsOr({ stated, n: others }), sixButtons.source, {
      kind: 'six-buttons',
    }),
    ...times,
    ...readsOf(title, row),
    ...title.modes.flatMap(({ reads }) => reads.flatMap((read) => stretchOf(read, row))),
    row(t.idle, t.idles({ level: title.idle }), sources?.idle),
    ...(title.rise === null ? [row(t.drive, t.driven, sources?.rise)] : []),
    row(t.standard, t.standards({ standard: title.standard }), sources?.standard),
    row(t.clock, t.ppm({ ppm: title.clockPpm }), sources?.clockPpm),
    row(t.opposite, t.accepts({ takes: title.takesOpposite }), sources?.takesOpposite),
  ]
}

type Row = (
  name: string,
  value: string,
  source: Source | undefined,
  about?: KnownFigure['about'],
) => KnownFigure

const nameOf = ({ kind, since }: TimeFigure): string =>
  t.time({ kind, since: since === 'edge' ? 'edge' : 'step' })

/** "1.40 µs", "1.40 µs to 1.70 µs". */
export const rangeWords = ({ minNs, maxNs }: RangeNs): string =>
  minNs === maxNs ? timeWord(minNs) : t.range({ from: timeWord(minNs), to: timeWord(maxNs) })

const valueOf = ({ range, places }: TimeFigure): string => t.places({ n: places, range: rangeWords(range) })

/** What the samples are taken for, by where that comes from. */
function samplesOf(title: Title, row: Row): KnownFigure[] {
  const steps = title.modes
    .flatMap(({ reads }) => reads)
    .flatMap(({ steps }) => steps.flatMap((step) => ('repeat' in step ? step.steps : [step])))
    .flatMap((step) => ('sample' in step ? [step] : []))
  const bySource = new Map<string, typeof steps>()
  for (const step of steps) {
    const key = JSON.stringify(step.source ?? null)
    bySource.set(key, [...(bySource.get(key) ?? []), step])
  }
  return [...bySource.values()].map((some) => {
    const open = some.filter(({ possible }) => possible !== undefined && possible.length > 0).length
    return row(t.samples, t.taken({ n: some.length, open }), some[0]?.source, { kind: 'samples' })
  })
}

const readsOf = ({ modes }: Title, row: Row): KnownFigure[] =>
  modes.flatMap(({ name, reads }) =>
    reads.flatMap(({ starts }) => {
      if (starts.kind !== 'frame') return []
      const times = listWords(starts.offsetsNs.map(exactTimeWord))
      const value =
        starts.everyFrames === 1 ? t.starts({ times }) : t.startsEvery({ times, n: starts.everyFrames })
      return [
        row(
          name === undefined || modes.length === 1 ? t.reads : t.readsOf({ mode: name }),
          value,
          starts.source,
        ),
      ]
    }),
  )

const stretchOf = ({ stretch }: Read, row: Row): KnownFigure[] =>
  stretch === undefined
    ? []
    : [row(t.stretch, t.stretches({ n: stretch.times, by: timeWord(stretch.byNs) }), stretch.source)]
