import type { Judgement } from '../../bench/judgement.ts'
import { timeWord } from '../../words/figures.ts'
import { listWords } from '../../words/lists.ts'
import type { VerdictKind } from '../look/types.ts'

/** "1 misread, 1 tight", "all clean", for the cable. */
export function countWords({ clean, tight, misread }: Readonly<Record<VerdictKind, number>>): string {
  const parts = [misread > 0 && `${misread} misread`, tight > 0 && `${tight} tight`].filter(
    (part) => part !== false,
  )
  if (parts.length > 0) return parts.join(', ')
  return clean === 0 ? 'none yet' : `all ${clean} clean`
}

/** What a judgement has to spare, in a few words. */
export function marginWords({ marginNs, verdict }: Judgement): string {
  if (marginNs === null) return 'no timing can hurt'
  if (verdict === 'misread') return marginNs < 0 ? `${timeWord(-marginNs)} too little` : 'nothing to spare'
  return `${timeWord(marginNs)} to spare`
}

/** A judgement in full sentences, with the margin that is asked for where it matters. */
export function saidWords(judgement: Judgement, askedNs: number): string {
  const { verdict, marginNs, reason } = judgement
  if (verdict === 'tight') return `${reason} It reads right, but you ask for ${timeWord(askedNs)}.`
  if (verdict === 'misread') return reason
  return marginNs === null ? 'No timing can hurt.' : `${marginWords(judgement)}.`
}

/** What each verdict means, with the margin that is asked for. */
export const verdictMeanings = (marginNs: number): Readonly<Record<VerdictKind, string>> => ({
  misread: 'sees something else than what is held',
  tight: `reads right, with less than ${timeWord(marginNs)} to spare`,
  clean: `reads right, with ${timeWord(marginNs)} or more to spare`,
})

/** A title and how it reads the profile; `null` while it is not judged yet. */
export interface TitleVerdict {
  readonly id: string
  readonly name: string
  readonly verdict: VerdictKind | null
}

/** Which verdicts an edit has turned, in one sentence; empty when none. New titles and titles not judged turn nothing. */
export function verdictNews(before: readonly TitleVerdict[], now: readonly TitleVerdict[]): string {
  const turned = now.filter(({ id, verdict }) => {
    const was = before.find((title) => title.id === id)?.verdict
    return verdict !== null && was !== undefined && was !== null && was !== verdict
  })
  if (turned.length === 0) return ''
  if (turned.length > 3) return `${turned.length} verdicts changed.`
  return `${listWords(turned.map(({ name, verdict }) => `${name} is ${verdict} now`))}.`
}
