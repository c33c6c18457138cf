import type { Fix, FixOutcome } from '../bench/fix.ts'
import { answerFix } from '../bench/fix/answer.ts'
import { costWords, fixWords } from '../bench/fix/change-words.ts'
import { workToEnd } from '../port/steps-of-work.ts'
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
import { writeWhole } from './write.ts'
import { fileTexts } from './fault-texts.ts'
import { say, sayJson } from './output.ts'
import { fixTexts as t } from './output-texts.ts'
import { pairLines } from './pair-words.ts'

export interface FixOptions extends JudgingOptions {
  readonly title: readonly string[]
  /** Which of the fixes to write, from 1. */
  readonly pick: number
  readonly out?: string
  readonly json?: true
}

/** Looks for the fewest changes that make all titles read the profile right, and writes the one that is picked. */
export function fix(profilePath: string, options: FixOptions): number {
  const profile = loadProfile(profilePath)
  const titles = options.title.map(loadTitle)
  const { outcome } = workToEnd(answerFix({ profile, titles, others: [], options: judgeOptions(options) }))
  const { fixes } = outcome
  const isFine = outcome.standing === 'clean'
  const picked = fixes[options.pick - 1]
  if (picked === undefined && fixes.length > 0)
    throw new BadInput('--pick', '', fileTexts.noFix({ pick: options.pick, n: fixes.length }))
  if (options.out !== undefined && (picked !== undefined || isFine))
    writeWhole(options.out, writeProfile(picked?.profile ?? profile), [profilePath, ...options.title])

  const names = titles.map(({ name }) => name)
  if (options.json) sayJson(fixJson(outcome, profile, names))
  else {
    say(fixText(outcome, profile, names))
    if (options.out !== undefined && (picked !== undefined || isFine))
      say(isFine ? t.asItIs({ file: options.out }) : t.written({ file: options.out, number: options.pick }))
  }
  return isFine || fixes.length > 0 ? EXIT.fine : EXIT.no
}

const wordsOf = ({ changes }: Fix, profile: Profile): string =>
  lineStart(fixWords(changes, profile, (control) => controlWord(control, profile)))

function fixText(
  { now, fixes, tried, standing }: FixOutcome,
  profile: Profile,
  names: readonly string[],
): string {
  const lines = now.flatMap((one, k) => pairLines(one, names[k] ?? '', profile.name))
  if (standing === 'clean') return [...lines, t.nothing].join('\n')
  fixes.forEach((one, k) => {
    const verdicts = one.judgements.map(({ verdict }, at) =>
      t.verdict({ title: names[at] ?? '', verdict: outcomeTexts[verdict] }),
    )
    const costs = costWords(one.changes, one, names.length)
    lines.push(
      t.fix({ number: k + 1, what: wordsOf(one, profile) }),
      `   ${t.outcome({ verdicts: rowWords(verdicts), costs })}`,
    )
  })
  if (standing === 'none') lines.push(t.none({ tried }))
  else if (standing === 'best') lines.push(t.best)
  return lines.join('\n')
}

const fixJson = (
  { now, fixes, tried, standing }: FixOutcome,
  profile: Profile,
  names: readonly string[],
) => ({
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
})
