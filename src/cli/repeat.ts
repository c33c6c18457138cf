import { MOST_READS, aliases, tryingRates } from '../bench/repeat/aliases.ts'
import { courseOf } from '../bench/play/course.ts'
import type { CabledAdapter } from '../bench/judgement.ts'
import type { PlayedFrame } from '../bench/repeat/play-repeat.ts'
import { SHOWN_FRAMES, rateInReads, seenAtRate, seenByFrame } from '../bench/repeat/seen.ts'
import type { MomentSeen, RepeatFinding, RepeatSeen } from '../bench/repeat/seen.ts'
import { FINDING_WORDS, frameSigns, modeSentences, repeatSentence } from '../bench/repeat/repeat-words.ts'
import { decideWords } from '../bench/decide-words.ts'
import { judge } from '../bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../bench/stated.ts'
import type { Cable } from '../port/cable.ts'
import { inputWord } from '../port/input-texts.ts'
import type { Input } from '../port/pins.ts'
import type { Result } from '../port/result.ts'
import { workToEnd } from '../port/steps-of-work.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { rowWords } from '../words/lists.ts'
import { figure } from '../words/texts.ts'
import { BadInput } from './fail.ts'
import { loadProfile, loadTitle } from './files.ts'
import { say, sayJson } from './output.ts'
import { markTexts, repeatTexts as t } from './output-texts.ts'
import { exitOf, notCoveredLines } from './pair-words.ts'

export interface RepeatOptions {
  readonly title: string
  readonly input: Input
  readonly cable: Cable
  readonly json?: true
}

/** Tells what a title sees of an input's auto-repeat, frame by frame, and of the rates that it could have. */
export function repeat(profilePath: string, options: RepeatOptions): number {
  const profile = loadProfile(profilePath)
  const title = loadTitle(options.title)
  const { input, cable } = options
  const adapter = { ...REFERENCE_ADAPTER, cable }
  const inTitle = <T>(result: Result<T, string>): T => {
    if (result.ok) return result.value
    throw new BadInput(options.title, '', result.error)
  }
  const grid = inTitle(workToEnd(tryingRates(profile, title, adapter, input)))
  const rate = rateInReads(profile, input)
  const asked =
    rate === null
      ? null
      : {
          seen: inTitle(seenAtRate(profile, title, adapter, input, rate)),
          frames: seenByFrame(profile, title, adapter, input, SHOWN_FRAMES),
        }
  const judgement = judge(profile, title, { adapter, marginNs: DEFAULT_MARGIN_NS })
  const { verdict, hangsOn } = judgement
  if (options.json)
    sayJson({
      verdict,
      decide: hangsOn && decideWords(hangsOn),
      ...repeatJson(profile, title, input, adapter, asked, grid),
    })
  else
    say(
      [
        ...notCoveredLines(judgement, title.name, profile.name),
        ...askedText(profile, title, input, asked),
        ...(asked ? [] : grid.slice(0, 1).flatMap(modeSentences)),
        '',
        ...gridText(grid),
      ].join('\n'),
    )
  return exitOf([judgement])
}

interface Asked {
  readonly seen: RepeatSeen
  readonly frames: readonly PlayedFrame[]
}

function askedText(profile: Profile, title: Title, input: Input, asked: Asked | null): string[] {
  const told = { input: inputWord(input), profile: profile.name, title: title.name }
  if (asked === null) return [profile.repeat[input] === undefined ? t.noRepeat(told) : t.byMs(told)]
  const { pressedReads, releasedReads } = asked.seen.rate
  return [
    ...strip(asked.frames),
    '',
    t.asked({ ...told, pressed: pressedReads, released: releasedReads }),
    repeatSentence(asked.seen),
  ]
}

/** Frames in lines of equally many, as many as a line holds. */
function strip(frames: readonly PlayedFrame[]): string[] {
  const widest = Math.max(...frames.map(({ samples }) => Math.max(1, samples.length)))
  const perLine = [32, 16, 8, 4, 2].find((count) => count * (widest + 1) <= 72) ?? 1
  const lines: string[] = []
  for (let k = 0; k < frames.length; k += perLine)
    lines.push(
      `${t.frame({ number: String(k + 1).padStart(2) })}  ${frameSigns(frames.slice(k, k + perLine))}`,
    )
  return lines
}

/** There is a rate to tell, and the mark stands behind it; otherwise the mark stands in its place. */
const HAS_RATE: ReadonlySet<RepeatFinding> = new Set([
  'as-asked',
  'other-rate',
  'other-share',
  'uneven',
  'same-each-frame',
])

function cell({ finding, moments }: RepeatSeen): string {
  const mark = finding === 'as-asked' ? ' ' : markTexts[finding]
  return (HAS_RATE.has(finding) ? figure(moments[0]?.pressesHz ?? 0, 2) + mark : mark).padStart(8)
}

function gridText(grid: readonly RepeatSeen[]): string[] {
  const reads = Array.from({ length: MOST_READS }, (_, k) => k + 1)
  const seen = new Set(aliases(grid).map(({ finding }) => finding))
  const legend = (Object.keys(markTexts) as Exclude<RepeatFinding, 'as-asked'>[])
    .filter((finding) => seen.has(finding))
    .map((finding) => t.mark({ mark: markTexts[finding], meaning: FINDING_WORDS[finding] }))
  return [
    t.grid,
    `  ${reads.map((released) => `${released} `.padStart(8)).join('')}`.trimEnd(),
    ...reads.map((pressed) =>
      `${pressed} ${grid
        .filter(({ rate }) => rate.pressedReads === pressed)
        .map(cell)
        .join('')}`.trimEnd(),
    ),
    legend.length === 0 ? t.allAsAsked : t.notAsAsked({ marks: rowWords(legend) }),
  ]
}

function repeatJson(
  profile: Profile,
  title: Title,
  input: Input,
  adapter: CabledAdapter,
  asked: Asked | null,
  grid: readonly RepeatSeen[],
) {
  // Keys of what is printed outlive the names in the code.
  const momentJson = ({ played: _played, samples, pressedSamples, ...moment }: MomentSeen) => ({
    ...moment,
    looks: samples,
    pressedLooks: pressedSamples,
  })
  const seenJson = (seen: RepeatSeen) => ({
    rate: seen.rate,
    finding: seen.finding,
    askedHz: seen.askedHz,
    moments: seen.moments.map(momentJson),
  })
  return {
    profile: profile.name,
    title: title.name,
    input,
    mode: courseOf(profile, title, adapter).mode + 1,
    titleReadsPerFrame: grid[0]?.titleReadsPerFrame,
    countedReadsPerFrame: grid[0]?.countedReadsPerFrame,
    asked: asked && {
      ...seenJson(asked.seen),
      sentence: repeatSentence(asked.seen),
      frames: asked.frames.map(({ samples }) =>
        samples.map(({ index, ...sample }) => ({ ...sample, sample: index })),
      ),
    },
    rates: grid.map(seenJson),
  }
}
