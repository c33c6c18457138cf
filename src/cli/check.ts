import { judge } from '../bench/judge.ts'
import { VERDICTS } from '../bench/judgement.ts'
import type { Judgement, Verdict } from '../bench/judgement.ts'
import { cellWord, inputList } from '../port/input-texts.ts'
import { sourceCounts } from '../title/source-counts.ts'
import { timeWord } from '../words/figures.ts'
import { rowWords } from '../words/lists.ts'
import { outcomeTexts } from '../words/outcome-texts.ts'
import { judgeOptions } from './command.ts'
import type { JudgingOptions } from './command.ts'
import { loadProfile, loadTitle } from './files.ts'
import { say, sayJson } from './output.ts'
import { pairTexts as t } from './output-texts.ts'
import { exitOf, hangsOnLines, heldWords, indented, pairLines } from './pair-words.ts'

export interface CheckOptions extends JudgingOptions {
  readonly title: readonly string[]
  readonly json?: true
}

/** Judges every profile in front of every title. Everything is read before anything is said. */
export function check(profilePaths: readonly string[], options: CheckOptions): number {
  const judging = judgeOptions(options)
  const profiles = profilePaths.map((path) => ({ path, profile: loadProfile(path) }))
  const titles = options.title.map((path) => ({ path, title: loadTitle(path) }))
  const pairs = profiles.flatMap(({ path, profile }) =>
    titles.map((of) => ({
      profile: path,
      profileName: profile.name,
      title: of.path,
      titleName: of.title.name,
      figures: sourceCounts(of.title),
      ...judge(profile, of.title, judging),
    })),
  )
  const count = (verdict: Verdict) => pairs.filter((pair) => pair.verdict === verdict).length
  const misreads = count('misread')
  if (options.json) {
    sayJson({ ...judging, pairs, misreads, undecided: count('undecided') })
  } else {
    for (const pair of pairs) say(pairText(pair))
    const told = VERDICTS.filter((verdict) => verdict !== 'undecided' || count(verdict) > 0)
    const counts = told.map((verdict) => t.count({ n: count(verdict), verdict: outcomeTexts[verdict] }))
    say(t.pairs({ n: pairs.length, counts: rowWords(counts) }))
    const figures = titles.map(({ title }) => sourceCounts(title))
    const asSaid = figures.reduce((sum, one) => sum + one.asSaid, 0)
    const all = figures.reduce((sum, one) => sum + one.asSaid + one.seen, 0)
    if (asSaid > 0) say(t.ifRight({ asSaid, all }))
  }
  return exitOf(pairs)
}

function pairText(pair: Judgement & { profileName: string; titleName: string }): string {
  const lines = pairLines(pair, pair.titleName, pair.profileName)
  const { counterexample: example, unseen, hangsOn } = pair
  if (example !== null) {
    const { frame, read, cycle, level, atNs, afterEdgeNs } = example.place
    const told = t.example({
      held: heldWords(example.held),
      frame,
      read,
      cycle,
      level: cellWord(level),
      into: timeWord(atNs),
      after: timeWord(afterEdgeNs),
      n: example.pins.length,
      pins: rowWords(example.pins.map(String)),
    })
    lines.push(indented(told))
  }
  lines.push(...hangsOnLines(hangsOn).map(indented))
  if (unseen.length > 0) lines.push(indented(t.neverRead({ inputs: inputList(unseen) })))
  return lines.join('\n')
}
