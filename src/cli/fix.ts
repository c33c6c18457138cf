import { findingFixes } from '../bench/fix.ts'
import { decideWords } from '../bench/decide-words.ts'
import type { Fix, FixOutcome, FixStep } from '../bench/fix.ts'
import type { Judgement } from '../bench/judgement.ts'
import { costWords, fixWords } from '../bench/fix/change-words.ts'
import { writeProfile } from '../profile/file.ts'
import type { Profile } from '../profile/schema.ts'
import { rowWords } from '../words/lists.ts'
import { outcomeTexts } from '../words/outcome-texts.ts'
import { lineStart } from '../words/sentence-texts.ts'
import { controlWord } from './control-words.ts'
import { judgeOptions } from './command.ts'
import type { JudgingOptions } from './command.ts'
import { BadInput, EXIT } from './fail.ts'
import { loadProfile, loadTitle } from './files.ts'
import { FixProgress } from './fix-progress.ts'
import { workUntilInterrupted } from './interruptible.ts'
import { writeWhole } from './write.ts'
import { fileTexts } from './fault-texts.ts'
import { isWatched, say, sayJson } from './output.ts'
import { fixTexts as t } from './output-texts.ts'
import { indented, pairLines } from './pair-words.ts'

export interface FixOptions extends JudgingOptions {
  readonly title: readonly string[]
  /** Which of the fixes to write, from 1. */
  readonly pick: number
  readonly out?: string
  readonly json?: true
}

/** As a search left it: what it found, or the best so far where it was interrupted. */
type FixEnd = Omit<FixOutcome, 'standing'> & { readonly standing: FixOutcome['standing'] | 'interrupted' }

/** Looks for the fewest changes that make all titles read the profile right, and writes the one that is picked. */
export async function fix(profilePath: string, options: FixOptions): Promise<number> {
  const profile = loadProfile(profilePath)
  const titles = options.title.map(loadTitle)
  const names = titles.map(({ name }) => name)
  const progress = isWatched()
    ? new FixProgress((one) => t.soFar({ what: wordsOf(one, profile), outcome: outcomeOf(one, names) }))
    : null
  let isNowSaid = false
  /** What has to be decided is known long before a search that takes all that the titles may be into account has ended. */
  const tellNow = ({ now }: FixStep) => {
    const isDue = now.length === titles.length && now.some(({ hangsOn }) => hangsOn !== null)
    if (isNowSaid || options.json || !isDue) return
    isNowSaid = true
    progress?.clear()
    say(nowLines(now, profile, names).join('\n'))
  }
  const ended = await workUntilInterrupted(
    findingFixes(profile, titles, judgeOptions(options)),
    (step, ms) => {
      tellNow(step)
      progress?.show(step, ms)
    },
  )
  progress?.clear()
  const outcome = ended.kind === 'answered' ? ended.answer : endOf(ended.last)
  const { fixes, standing } = outcome
  const isFine = standing === 'clean'
  const isWhole = standing !== 'interrupted'
  const picked = fixes[options.pick - 1]
  // Where there is only the best so far, it is printed all the same.
  if (picked === undefined && fixes.length > 0 && isWhole)
    throw new BadInput('--pick', '', fileTexts.noFix({ pick: options.pick, n: fixes.length }))
  const isWritten = options.out !== undefined && (picked !== undefined || isFine)
  if (isWritten)
    writeWhole(options.out, writeProfile(picked?.profile ?? profile), [profilePath, ...options.title])

  if (options.json) sayJson(fixJson(outcome, profile, names))
  else {
    const lines = [
      ...(isNowSaid ? [] : nowLines(outcome.now, profile, names)),
      ...fixLines(outcome, profile, names),
    ]
    if (lines.length > 0) say(lines.join('\n'))
    if (isWritten)
      say(isFine ? t.asItIs({ file: options.out }) : t.written({ file: options.out, number: options.pick }))
  }
  if (!isWhole) return EXIT.interrupted
  return isFine || fixes.length > 0 ? EXIT.fine : EXIT.no
}

/** @param last `null` where not even the profile as it is was judged */
function endOf(last: FixStep | null): FixEnd {
  const { now, tried, best } = last ?? { now: [], tried: 0, best: null }
  return { now, tried, fixes: best === null ? [] : [best], standing: 'interrupted' }
}

const wordsOf = ({ changes }: Fix, profile: Profile): string =>
  lineStart(fixWords(changes, profile, (control) => controlWord(control, profile)))

/** What a fix makes of each title, and what it costs. */
function outcomeOf(one: Fix, names: readonly string[]): string {
  const verdicts = one.judgements.map(({ verdict }, at) =>
    t.verdict({ title: names[at] ?? '', verdict: outcomeTexts[verdict] }),
  )
  return t.outcome({ verdicts: rowWords(verdicts), costs: costWords(one.changes, one, names.length) })
}

/** How the titles read the profile as it is, and what is to be decided first. */
const nowLines = (now: readonly Judgement[], profile: Profile, names: readonly string[]): string[] =>
  now.flatMap((one, k) => [
    ...pairLines(one, names[k] ?? '', profile.name),
    ...(one.hangsOn ? [indented(decideWords(one.hangsOn))] : []),
  ])

function fixLines(
  { now, fixes, tried, standing }: FixEnd,
  profile: Profile,
  names: readonly string[],
): string[] {
  if (standing === 'clean') return [t.nothing]
  const lines = fixes.flatMap((one, k) => [
    t.fix({ number: k + 1, what: wordsOf(one, profile) }),
    `   ${t.outcomeLine({ outcome: outcomeOf(one, names) })}`,
  ])
  if (standing === 'none') lines.push(...noneLines(now, tried))
  else if (standing === 'best') lines.push(t.best)
  else if (standing === 'interrupted') lines.push(t.interrupted({ n: tried }))
  return lines
}

/** Where nothing has been described there was nothing to go by, and that is said with the title. */
function noneLines(now: readonly Judgement[], tried: number): string[] {
  const kinds = now.map(({ hangsOn }) => hangsOn?.kind)
  if (kinds.includes('not-described')) return []
  return [kinds.includes('title') ? t.noneForAll({ tried }) : t.none({ tried })]
}

const fixJson = ({ now, fixes, tried, standing }: FixEnd, profile: Profile, names: readonly string[]) => ({
  now: now.map(({ verdict, reason }, k) => ({ title: names[k], verdict, reason })),
  fixes: fixes.map((one) => ({
    what: wordsOf(one, profile),
    cost: costWords(one.changes, one, names.length),
    changes: one.changes,
    lost: one.lost,
    lostHere: one.lostHere,
    verdicts: one.judgements.map(({ verdict, marginNs }, k) => ({ title: names[k], verdict, marginNs })),
  })),
  tried,
  isWhole: standing === 'best' || standing === 'none',
  isInterrupted: standing === 'interrupted',
})
