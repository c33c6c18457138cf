import { InvalidArgumentError } from 'commander'
import type { DelayFigures } from '../bench/delay/budget.ts'
import { latencyTexts as t } from '../bench/delay/delay-texts.ts'
import { PAD_INTERVALS_MS, pressDelay } from '../bench/delay/press.ts'
import type { PressDelay } from '../bench/delay/press.ts'
import { REFERENCE_ADAPTER } from '../bench/stated.ts'
import type { Cable } from '../port/cable.ts'
import { inputWord } from '../port/input-texts.ts'
import { timeWord } from '../words/figures.ts'
import type { Input } from '../port/pins.ts'
import { BadInput, EXIT } from './fail.ts'
import { loadProfile, loadTitle } from './files.ts'
import { t as faultTexts } from './fault-texts.ts'
import { jsonText, say } from './output.ts'
import { latencyTexts as cliTexts } from './output-texts.ts'

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
  const found = pressDelay(profile, title, {
    adapter: { ...REFERENCE_ADAPTER, cable: options.cable },
    padIntervalMs: options.padInterval,
    ...(options.input === undefined ? {} : { input: options.input }),
  })
  if (!found.ok) throw new BadInput(options.title, '', found.error)
  say(
    options.json
      ? jsonText({ profile: profile.name, title: title.name, ...delayJson(found.value) })
      : delayText(found.value, title.name, profile.name),
  )
  return EXIT.fine
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
