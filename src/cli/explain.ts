import { explain as explainPair, isTooBranched } from '../bench/explain.ts'
import type { Explanation } from '../bench/explain.ts'
import { explanationVcd } from '../bench/explain-vcd.ts'
import { judge } from '../bench/judge.ts'
import type { Judgement } from '../bench/judgement.ts'
import { inputList } from '../port/input-texts.ts'
import { timeWord } from '../words/figures.ts'
import { PINS } from '../port/pins.ts'
import { judgeOptions } from './command.ts'
import type { JudgingOptions } from './command.ts'
import { EXIT } from './fail.ts'
import { loadProfile, loadTitle } from './files.ts'
import { writeWhole } from './write.ts'
import { say, sayJson } from './output.ts'

export interface ExplainOptions extends JudgingOptions {
  readonly title: string
  readonly out?: string
  readonly json?: true
}

/** Shows why a title misreads a profile: every kind of fault, and the smallest one as a timing diagram. */
export function explain(
  profilePath: string,
  { title: titlePath, out, json, ...judging }: ExplainOptions,
): number {
  const profile = loadProfile(profilePath)
  const title = loadTitle(titlePath)
  const options = judgeOptions(judging)
  const judgement = judge(profile, title, options)
  const explanation = explainPair(profile, title, options)
  if (out !== undefined && explanation !== null)
    writeWhole(out, explanationVcd(explanation), [profilePath, titlePath])
  if (json) {
    sayJson({ judgement, diagram: explanation && diagramJson(explanation) })
  } else {
    say(`${judgement.verdict.padEnd(8)}${title.name} with ${profile.name}`)
    say(`        ${judgement.reason}`)
    say(findingsText(judgement))
    if (explanation !== null) say(diagramText(explanation))
    else if (isTooBranched(judgement, explanation))
      say('  Reads of this title can go in too many ways to draw one of them; what they meet is as told.')
    if (out !== undefined)
      say(
        explanation === null ? `Nothing to draw, so ${out} was not written.` : `${out}: the diagram as VCD.`,
      )
  }
  return judgement.verdict === 'misread' ? EXIT.no : EXIT.fine
}

/** Keys of what is printed outlive the names in the code. */
const diagramJson = ({ witness: _witness, samples, dueNs, ...diagram }: Explanation) => ({
  ...diagram,
  looks: samples,
  dueNs,
})

const findingsText = ({ findings }: Judgement): string =>
  findings
    .map(({ kind, weight, sentence }) => `  ${weight === 'misread' ? '!' : '-'} ${kind}: ${sentence}`)
    .join('\n')

const COLUMNS = 72

/** The read as lines of characters: select, the pins, and the samples beneath. */
function diagramText({ example, fromNs, untilNs, select, pins, samples, dueNs }: Explanation): string {
  const columnOf = (ns: number): number =>
    Math.min(COLUMNS - 1, Math.max(0, Math.floor(((ns - fromNs) / (untilNs - fromNs)) * COLUMNS)))
  const lane = (
    name: string,
    start: boolean,
    changes: readonly { readonly atNs: number; readonly high: boolean }[],
  ) => {
    const line = Array.from({ length: COLUMNS }, (_, column) => {
      const last = changes.filter(({ atNs }) => columnOf(atNs) <= column).pop()
      return (last?.high ?? start) ? '‾' : '_'
    })
    return `  ${name.padEnd(8)}${line.join('')}`
  }
  const marks = Array<string>(COLUMNS).fill(' ')
  for (const { atNs } of samples) marks[columnOf(atNs)] = '|'
  for (const { atNs, isGuilty } of samples) if (isGuilty) marks[columnOf(atNs)] = '^'
  const held = example.held.length === 0 ? 'nothing held' : `${inputList(example.held)} held`
  const guilty = samples.find(({ isGuilty }) => isGuilty)
  return [
    '',
    `  One read, ${held}; frame ${example.place.frame}, read ${example.place.read}; ${timeWord(untilNs - fromNs)} from left to right.`,
    lane(
      'select',
      select.start === 'high',
      select.edges.map(({ atNs, level }) => ({ atNs, high: level === 'high' })),
    ),
    ...PINS.map((pin, k) =>
      lane(
        `pin ${pin}`,
        ((pins.start >> k) & 1) === 1,
        pins.changes.map((change) => ({ atNs: change.atNs, high: ((change.pins >> k) & 1) === 1 })),
      ),
    ),
    `  ${'samples'.padEnd(8)}${marks.join('')}`,
    `  ^ at ${timeWord(guilty?.atNs ?? 0)}: ${example.pins.length === 1 ? 'pin' : 'pins'} ${example.pins.join(', ')}` +
      (dueNs === null ? '' : `; the reply meant for it can be as late as ${timeWord(dueNs)}`) +
      (example.shortNs === null ? '.' : `, ${timeWord(example.shortNs)} short.`),
  ].join('\n')
}
