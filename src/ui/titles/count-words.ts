import type { VerdictKind } from '../look/types.ts'
import { t } from './count-texts.ts'

/** "1 misread, 1 tight", "all 3 clean", for the cable. */
export function countWords(counts: Readonly<Record<VerdictKind, number>>): string {
  const { clean, tight, undecided, misread } = counts
  if (misread > 0) {
    if (undecided > 0)
      return t.counts({ kind: tight > 0 ? 'misread-undecided-tight' : 'misread-undecided', ...counts })
    return t.counts({ kind: tight > 0 ? 'misread-tight' : 'misread', ...counts })
  }
  if (undecided > 0) return t.counts({ kind: tight > 0 ? 'undecided-tight' : 'undecided', ...counts })
  if (tight > 0) return t.counts({ kind: 'tight', ...counts })
  return t.counts({ kind: clean > 0 ? 'clean' : 'none', ...counts })
}

/** A title and how it reads the profile; `null` while it is not judged yet. */
export interface TitleVerdict {
  readonly id: string
  readonly name: string
  readonly verdict: VerdictKind | null
}

/** Which verdicts an edit has turned, a sentence each; empty when none. New titles and titles not judged turn nothing. */
export function verdictNews(before: readonly TitleVerdict[], now: readonly TitleVerdict[]): string {
  const turned = now.flatMap(({ id, name, verdict }) => {
    const was = before.find((title) => title.id === id)?.verdict
    return verdict === null || was === undefined || was === null || was === verdict ? [] : [{ name, verdict }]
  })
  if (turned.length > 3) return t.manyTurned({ n: turned.length })
  return turned.map(t.turned).join(' ')
}
