import type { Source } from './evidence.ts'
import { sourceTexts } from './evidence-texts.ts'
import type { Title } from './schema.ts'

/** Where a figure comes from: "measured in tide.vcd, 600 of 600". @param title lists the captures */
export function sourceWords(source: Source | undefined, { captures = [] }: Pick<Title, 'captures'>): string {
  const kind = source?.kind ?? 'not-recorded'
  const counts = { seen: 0, of: 0, trials: 0, against: 0 }
  const hash = source?.kind === 'measured' ? source.capture : undefined
  const name = captures.find(({ sha256 }) => sha256 === hash)?.name
  return sourceTexts.source({
    ...counts,
    ...source,
    kind,
    in: name === undefined ? 'none' : 'capture',
    name: name ?? '',
  })
}
