import { explain as explainPair, explainDoubt, isTooBranched } from '../bench/explain.ts'
import type { Explanation } from '../bench/explain.ts'
import { explanationVcd } from '../bench/explain-vcd.ts'
import { judge } from '../bench/judge.ts'
import type { Judgement } from '../bench/judgement.ts'
import { findTurns } from '../bench/turns.ts'
import type { Turns } from '../bench/turns.ts'
import { changeWords } from '../bench/turn-words.ts'
import { workToEnd } from '../port/steps-of-work.ts'
import { knownFigures } from '../title/known-figures.ts'
import type { KnownFigure } from '../title/known-figures.ts'
import type { Title } from '../title/schema.ts'
import { timeWord } from '../words/figures.ts'
import { rowWords } from '../words/lists.ts'
import { PINS } from '../port/pins.ts'
import { judgeOptions } from './command.ts'
import type { JudgingOptions } from './command.ts'
import { loadProfile, loadTitle } from './files.ts'
import { writeWhole } from './write.ts'
import { say, sayJson } from './output.ts'
import { pairTexts as t } from './output-texts.ts'
import { exitOf, hangsOnLines, heldWords, indented, pairLines } from './pair-words.ts'

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
  const [doubt] = judgement.hangsOn?.misreadIf ?? []
  const explanation = doubt
    ? explainDoubt(profile, title, doubt, options)
    : explainPair(profile, title, options)
  const turns = workToEnd(findTurns({ profile, title, judgement, options }))
  if (out !== undefined && explanation !== null)
    writeWhole(out, explanationVcd(explanation), [profilePath, titlePath])
  if (json) {
    sayJson({
      judgement,
      diagram: explanation && diagramJson(explanation),
      known: knownFigures(title).map((one) => knownJson(one, judgement, turns)),
    })
  } else {
    const lines = [
      ...pairLines(judgement, title.name, profile.name),
      ...hangsOnLines(judgement.hangsOn).map(indented),
    ]
    say(lines.join('\n'))
    const findings = findingsText(judgement)
    if (findings !== '') say(findings)
    say(knownLines(title, judgement, turns).join('\n'))
    if (explanation !== null) say(diagramText(explanation))
    else if (isTooBranched(judgement, explanation)) say(`  ${t.notDrawn}`)
    if (out !== undefined) say(explanation === null ? t.noDiagram({ file: out }) : t.diagram({ file: out }))
  }
  return exitOf([judgement])
}

/** Keys of what is printed outlive the names in the code. */
const diagramJson = ({ witness: _witness, samples, dueNs, ...diagram }: Explanation) => ({
  ...diagram,
  looks: samples,
  dueNs,
})

/** Findings that what the verdict hangs on has not told already. */
const findingsText = ({ findings, hangsOn }: Judgement): string =>
  findings
    .filter(({ sentence }) => !hangsOn?.misreadIf.some(({ reason }) => reason === sentence))
    .map(
      ({ kind, weight, sentence }) =>
        `  ${weight === 'misread' ? '!' : weight === 'doubt' ? '?' : '-'} ${kind}: ${sentence}`,
    )
    .join('\n')

/** What is known of the title, and how: each figure with its source, and with what would change the verdict beneath it. */
function knownLines(title: Title, judgement: Judgement, turns: Turns): string[] {
  const figures = knownFigures(title)
  const widest = Math.max(...figures.map(({ name }) => name.length))
  return [
    '',
    `  ${t.known}`,
    ...figures.flatMap((one) => {
      const change = changeWords(one, judgement, turns)
      const { name, value, source } = one
      const line = `  ${name.padEnd(widest)}  ${t.knownFigure({ value, source })}`
      return change === '' ? [line] : [line, `  ${' '.repeat(widest)}  ${change}`]
    }),
  ]
}

const knownJson = (one: KnownFigure, judgement: Judgement, turns: Turns) => ({
  name: one.name,
  value: one.value,
  source: one.source,
  change: changeWords(one, judgement, turns),
})

const COLUMNS = 72

type Failing = Parameters<typeof t.guilty>[0]

const failingWords = (failing: Failing, due: string | null, short: string | null): string => {
  if (due === null) return short === null ? t.guilty(failing) : t.guiltyShort({ ...failing, short })
  return short === null ? t.guiltyDue({ ...failing, due }) : t.guiltyDueShort({ ...failing, due, short })
}

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
  const guilty = samples.find(({ isGuilty }) => isGuilty)
  const failing = {
    at: timeWord(guilty?.atNs ?? 0),
    n: example.pins.length,
    pins: rowWords(example.pins.map(String)),
  }
  const due = dueNs === null ? null : timeWord(dueNs)
  const short = example.shortNs === null ? null : timeWord(example.shortNs)
  const { frame, read } = example.place
  return [
    '',
    `  ${t.read({ held: heldWords(example.held), frame, read, span: timeWord(untilNs - fromNs) })}`,
    lane(
      t.select,
      select.start === 'high',
      select.edges.map(({ atNs, level }) => ({ atNs, high: level === 'high' })),
    ),
    ...PINS.map((pin, k) =>
      lane(
        t.pin({ pin }),
        ((pins.start >> k) & 1) === 1,
        pins.changes.map((change) => ({ atNs: change.atNs, high: ((change.pins >> k) & 1) === 1 })),
      ),
    ),
    `  ${t.samples.padEnd(8)}${marks.join('')}`,
    `  ${failingWords(failing, due, short)}`,
  ].join('\n')
}
