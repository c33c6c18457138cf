import type { Fix } from '../../bench/fix.ts'
import { costWords, fixWords } from '../../bench/fix/words.ts'
import type { ControlWords } from '../../bench/fix/words.ts'
import { VERDICTS } from '../../bench/judgement.ts'
import type { Judgement } from '../../bench/judgement.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { listWords } from '../../words/lists.ts'
import type { Profile } from '../../profile/schema.ts'
import { sameJson } from '../../shelf/same.ts'
import type { Title } from '../../title/schema.ts'

/** How fixes are said on screen. */

const controlWord: ControlWords = (control) => CONTROL_WORDS[control]

/** "stop after the second cycle", for buttons and for undo. */
export function fixLabel({ changes }: Fix, profile: Profile): string {
  const words = fixWords(changes, profile, controlWord)
  return words.charAt(0).toLowerCase() + words.slice(1)
}

/** A fix that the profile provides for already: somebody only has to do it. */
export const isThereAlready = (fix: Fix, profile: Profile): boolean => sameJson(fix.profile, profile)

/** What somebody has to do at the pad, as an order; `null` where the profile does it all. */
export function holdWords({ changes }: Fix): string | null {
  for (const change of changes)
    if (change.kind === 'first-cycle')
      return `Hold ${listWords(change.held.map(controlWord))} at every power-on`
  return null
}

/** "costs nothing", "costs: …; reads worse then: Nine Moths". `null`: the other titles are not judged yet. */
export function priceWords(fix: Fix, worse: readonly string[] | null): string {
  const cost = costWords(fix.changes, fix, fix.judgements.length)
  if (worse === null) return `${cost}; the other titles are being judged`
  return worse.length > 0 ? `${cost}; reads worse then: ${listWords(worse)}` : cost
}

/** The worst verdict of several. */
export const worstOf = (judgements: readonly Judgement[]): Judgement['verdict'] =>
  VERDICTS.findLast((verdict) => judgements.some((one) => one.verdict === verdict)) ?? 'clean'

/** Of several titles, which of them a fix leaves tight; empty where all are clean, or where there is one title only. */
export function leftWords(titles: readonly Title[], { judgements }: Fix): string {
  const left = titles.filter((_, k) => judgements[k]?.verdict === 'tight').map(({ name }) => name)
  return titles.length > 1 && left.length > 0 ? listWords(left) : ''
}

/** What is left to do where nothing in the grid helps this title. */
export function adviceWords({ counterexample, tightest }: Judgement): string {
  if (counterexample === null)
    return tightest?.by === 'reset'
      ? 'The idle reset falls close to this read, and none that was tried moves it away. One in between might: set it on the Profile.'
      : 'What is short here is the time in which the pins follow select. The rest of it is the adapter’s own: try this title before it counts.'
  switch (counterexample.cause) {
    case 'settling':
      return 'The title samples sooner than the reply can stand: only a quicker adapter would help.'
    case 'slow-rise':
      return 'The title samples before select has risen by itself. No profile changes that; try it on the machine.'
    case 'opposite':
      return 'A policy for opposite directions on the Profile keeps a pair from the title, but something else goes wrong as well.'
    case 'count':
    case 'belief':
      return 'Several cells at once were not tried. Unlock the chart to change them yourself.'
  }
}
