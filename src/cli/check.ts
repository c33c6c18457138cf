import { judge } from '../bench/judge.ts'
import { VERDICTS } from '../bench/judgement.ts'
import type { Judgement, Verdict } from '../bench/judgement.ts'
import { inputList } from '../port/input-texts.ts'
import { timeWord } from '../words/figures.ts'
import { judgeOptions } from './command.ts'
import type { JudgingOptions } from './command.ts'
import { EXIT } from './fail.ts'
import { loadProfile, loadTitle } from './files.ts'
import { say, sayJson } from './output.ts'

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
      ...judge(profile, of.title, judging),
    })),
  )
  const count = (verdict: Verdict) => pairs.filter((pair) => pair.verdict === verdict).length
  const misreads = count('misread')
  if (options.json) {
    sayJson({ ...judging, pairs, misreads })
  } else {
    for (const pair of pairs) say(pairText(pair))
    const counts = VERDICTS.map((verdict) => `${count(verdict)} ${verdict}`)
    say(`${pairs.length === 1 ? '1 pair' : `${pairs.length} pairs`}: ${counts.join(', ')}.`)
  }
  return misreads > 0 ? EXIT.no : EXIT.fine
}

function pairText(pair: Judgement & { profileName: string; titleName: string }): string {
  const lines = [
    `${pair.verdict.padEnd(8)}${pair.titleName} with ${pair.profileName}`,
    `        ${pair.reason}`,
  ]
  const { counterexample: example, unseen } = pair
  if (example !== null) {
    const { place } = example
    const held = example.held.length === 0 ? 'nothing held' : `${inputList(example.held)} held`
    const frame = place.frame === 1 ? 'first frame' : `frame ${place.frame}`
    lines.push(
      `        Shown by: ${held}; ${frame}, read ${place.read}, cycle ${place.cycle} ${place.level}, ` +
        `${timeWord(place.atNs)} into the read (${timeWord(place.afterEdgeNs)} after its edge); ` +
        `${example.pins.length === 1 ? 'pin' : 'pins'} ${example.pins.join(', ')}.`,
    )
  }
  if (unseen.length > 0) lines.push(`        Unseen by this title: ${inputList(unseen)}.`)
  return lines.join('\n')
}
