import type { Fix, FixOutcome } from '../bench/fix.ts'
import { answerFix } from '../bench/fix/answer.ts'
import { costWords, fixWords } from '../bench/fix/change-words.ts'
import { workToEnd } from '../port/steps-of-work.ts'
import { writeProfile } from '../profile/file.ts'
import type { Profile } from '../profile/schema.ts'
import { lineStart } from '../words/sentence-texts.ts'
import { controlWord } from './control-words.ts'
import { judgeOptions } from './command.ts'
import type { JudgingOptions } from './command.ts'
import { BadInput, EXIT } from './fail.ts'
import { loadProfile, loadTitle } from './files.ts'
import { writeWhole } from './write.ts'
import { say, sayJson } from './output.ts'

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
    throw new BadInput('--pick', '', `there is no fix ${options.pick}; ${fixes.length} were found`)
  if (options.out !== undefined && (picked !== undefined || isFine))
    writeWhole(options.out, writeProfile(picked?.profile ?? profile), [profilePath, ...options.title])

  const names = titles.map(({ name }) => name)
  if (options.json) sayJson(fixJson(outcome, profile, names))
  else {
    say(fixText(outcome, profile, names))
    if (options.out !== undefined && (picked !== undefined || isFine))
      say(`${options.out}: ${isFine ? 'the profile as it is' : `the profile with fix ${options.pick}`}.`)
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
  const lines = now.map(
    ({ verdict, reason }, k) => `${verdict.padEnd(8)}${names[k]} with ${profile.name}\n        ${reason}`,
  )
  if (standing === 'clean') return [...lines, 'Nothing to mend.'].join('\n')
  fixes.forEach((one, k) => {
    const verdicts = one.judgements.map(({ verdict }, at) => `${names[at]} ${verdict}`).join(', ')
    lines.push(
      `${k + 1}. ${wordsOf(one, profile)}.`,
      `   ${verdicts}; ${costWords(one.changes, one, names.length)}.`,
    )
  })
  if (standing === 'none')
    lines.push(
      `No fix in the grid: all of its ${tried} combinations of changes that could matter were tried.`,
    )
  else if (standing === 'best')
    lines.push('Nothing in the grid makes all of them clean; this is the best there is.')
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
