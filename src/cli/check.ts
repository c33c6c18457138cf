import { t as capturedTexts } from '../bench/captured-texts.ts'
import { judge } from '../bench/judge.ts'
import { isRight, VERDICTS } from '../bench/judgement.ts'
import type { Judgement, Verdict } from '../bench/judgement.ts'
import { cellWord, inputList } from '../port/input-texts.ts'
import type { Title } from '../title/schema.ts'
import { capturedOf } from '../title/captured-of.ts'
import { sourceCounts } from '../title/source-counts.ts'
import { timeWord } from '../words/figures.ts'
import { rowWords } from '../words/lists.ts'
import { outcomeTexts } from '../words/outcome-texts.ts'
import { capturedPair, loadLine } from './check-capture.ts'
import type { CapturedLine, CapturedPair } from './check-capture.ts'
import { judgeOptions } from './command.ts'
import type { JudgingOptions } from './command.ts'
import { EXIT } from './fail.ts'
import { loadProfile, loadTitle } from './files.ts'
import { say, sayJson } from './output.ts'
import { pairTexts as t } from './output-texts.ts'
import { exitOf, hangsOnLines, heldWords, indented, pairLines } from './pair-words.ts'

export interface CheckOptions extends JudgingOptions {
  readonly title?: readonly string[]
  readonly capture?: string
  readonly signal?: string
  readonly fromPowerOn?: true
  readonly json?: true
}

type Pair = Judgement & { readonly profileName: string; readonly titleName: string }

/** Judges every profile in front of every title and of a captured line. Everything is read before anything is said. */
export async function check(profilePaths: readonly string[], options: CheckOptions): Promise<number> {
  const judging = judgeOptions(options)
  const profiles = profilePaths.map((path) => ({ path, profile: loadProfile(path) }))
  const titles = (options.title ?? []).map((path) => ({ path, title: loadTitle(path) }))
  const { capture, signal, fromPowerOn = false } = options
  const line = capture === undefined ? null : await loadLine(capture, signal, fromPowerOn)
  const pairs = profiles.flatMap(({ path, profile }) =>
    titles.map((of) => ({
      profile: path,
      profileName: profile.name,
      title: of.path,
      titleName: of.title.name,
      figures: sourceCounts(of.title),
      inCapture: capturedOf(of.title),
      ...judge(profile, of.title, judging),
    })),
  )
  const lines = line === null ? [] : profiles.map((one) => capturedPair(one, line, judging.adapter))
  const openLines = lines.filter(({ byCount }) => byCount === 'undecided').length
  if (options.json) {
    const captured = line && { capture: line.capture, signal: line.signal, lines }
    const undecided = countOf(pairs, 'undecided') + openLines
    sayJson({ ...judging, pairs, captured, misreads: countOf(pairs, 'misread'), undecided })
  } else {
    if (titles.length > 0)
      sayPairs(
        pairs,
        titles.map(({ title }) => title),
      )
    if (line !== null) sayLine(line, lines)
  }
  const code = exitOf(pairs)
  return code === EXIT.fine && openLines > 0 ? EXIT.undecided : code
}

const countOf = (pairs: readonly Pair[], verdict: Verdict): number =>
  pairs.filter((pair) => pair.verdict === verdict).length

function sayPairs(pairs: readonly Pair[], titles: readonly Title[]): void {
  for (const pair of pairs) say(pairText(pair))
  const told = VERDICTS.filter((verdict) => verdict !== 'undecided' || countOf(pairs, verdict) > 0)
  const counts = told.map((verdict) =>
    t.count({ n: countOf(pairs, verdict), verdict: outcomeTexts[verdict] }),
  )
  say(t.pairs({ n: pairs.length, counts: rowWords(counts) }))
  const figures = titles.map(sourceCounts)
  const asSaid = figures.reduce((sum, one) => sum + one.asSaid, 0)
  const all = figures.reduce((sum, one) => sum + one.asSaid + one.seen, 0)
  if (asSaid > 0) say(t.ifRight({ asSaid, all }))
  for (const title of titles) {
    const captured = capturedOf(title)
    const isGood = pairs.some((pair) => pair.titleName === title.name && isRight(pair))
    if (captured === null || !isGood) continue
    const { seen: n, modes, things, pads, fromPowerOn } = captured
    const begins = fromPowerOn ? 'atPowerOn' : 'anywhere'
    const drives = title.sources?.rise?.kind === 'guessed' ? [t.drives] : []
    say(
      [t.asCaptured({ title: title.name, n, modes, things }), t.notCaptured({ begins }), ...drives].join(' '),
    )
    const [pad, ...others] = pads
    if (pad !== undefined && others.length === 0) say(t.inFrontOf({ pad, title: title.name }))
  }
}

/** How profiles answer a captured line. That counts alone are judged stands where the verdict is, as it says less than that on a title. */
function sayLine({ capture, signal }: CapturedLine, lines: readonly CapturedPair[]): void {
  for (const { byCount, profileName, sentences } of lines) {
    say(t.byCount({ verdict: outcomeTexts[byCount], signal, capture, profile: profileName }))
    for (const sentence of sentences) say(indented(sentence))
  }
  say(capturedTexts.countsOnly)
}

function pairText(pair: Pair): string {
  const lines = pairLines(pair, pair.titleName, pair.profileName)
  const { counterexample: example, unseen, hangsOn, findings } = pair
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
  const guessed = findings.filter(({ kind, weight }) => kind === 'opposite' && weight === 'note')
  lines.push(...guessed.map(({ sentence }) => indented(sentence)))
  if (unseen.length > 0) lines.push(indented(t.neverRead({ inputs: inputList(unseen) })))
  return lines.join('\n')
}
