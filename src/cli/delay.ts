import { InvalidArgumentError } from 'commander'
import type { DelayFigures } from '../bench/delay/budget.ts'
import { latencyTexts as t } from '../bench/delay/delay-texts.ts'
import { PAD_INTERVALS_MS, pressDelay } from '../bench/delay/press.ts'
import type { PressDelay } from '../bench/delay/press.ts'
import { decideWords } from '../bench/decide-words.ts'
import { judge } from '../bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../bench/stated.ts'
import type { Cable } from '../port/cable.ts'
import { inputWord } from '../port/input-texts.ts'
import { timeWord } from '../words/figures.ts'
import type { Input } from '../port/pins.ts'
import { BadInput } from './fail.ts'
import { loadProfile, loadTitle } from './files.ts'
import { t as faultTexts } from './fault-texts.ts'
import { say, sayJson } from './output.ts'
import { latencyTexts as cliTexts } from './output-texts.ts'
import { exitOf, notCoveredLines } from './pair-words.ts'

export interface DelayOptions {
  readonly title: string
  readonly padInterval: number
  readonly input?: Input
  readonly cable: Cable
  readonly json?: true
}

/** Reads the value of `--pad-interval`. */
export function padIntervalMs(text: string): number {
  const { min, max } = PAD_INTERVALS_MS
  const ms = /^\d{1,3}$/.test(text) ? Number(text) : 0
  if (ms < min || ms > max) throw new InvalidArgumentError(faultTexts.wholeMs({ min, max }))
  return ms
}

/** Tells how long a press takes from the finger to a title, part by part. */
export function delay(profilePath: string, options: DelayOptions): number {
  const profile = loadProfile(profilePath)
  const title = loadTitle(options.title)
  const adapter = { ...REFERENCE_ADAPTER, cable: options.cable }
  const found = pressDelay(profile, title, {
    adapter,
    padIntervalMs: options.padInterval,
    ...(options.input === undefined ? {} : { input: options.input }),
  })
  if (!found.ok) throw new BadInput(options.title, '', found.error)
  const judgement = judge(profile, title, { adapter, marginNs: DEFAULT_MARGIN_NS })
  const { verdict, hangsOn } = judgement
  const names = { profile: profile.name, title: title.name }
  if (options.json)
    sayJson({ ...names, verdict, decide: hangsOn && decideWords(hangsOn), ...delayJson(found.value) })
  else
    say(
      [
        ...notCoveredLines(judgement, title.name, profile.name),
        delayText(found.value, title.name, profile.name),
      ].join('\n'),
    )
  return exitOf([judgement])
}

/** Keys of what is printed outlive the names in the code. */
const delayJson = ({ samplesPerFrame, toSample, toFrame, assumptions, ...press }: PressDelay) => ({
  ...press,
  looksPerFrame: samplesPerFrame,
  toLook: toSample,
  toFrame,
  assumptions,
})

function delayText(
  { input, padIntervalMs: ms, toSample, toFrame, assumptions }: PressDelay,
  title: string,
  profile: string,
): string {
  return [
    cliTexts.head({ input: inputWord(input), title, profile, ms }),
    '',
    line([t.min, t.median, t.p95, t.max], ''),
    ...toSample.rows.map((row) => figuresLine(row, row.what)),
    figuresLine(toSample.total, t.toSample),
    figuresLine(toFrame.total, t.toFrame),
    '',
    cliTexts.assumptions,
    ...assumptions.map((assumption) => cliTexts.assumption({ text: assumption })),
  ].join('\n')
}

const figuresLine = ({ minNs, medianNs, p95Ns, maxNs }: DelayFigures, what: string): string =>
  line([minNs, medianNs, p95Ns, maxNs].map(timeWord), what)

const line = (figures: readonly string[], what: string): string =>
  `${figures.map((figure) => figure.padStart(10)).join('')}  ${what}`.trimEnd()
