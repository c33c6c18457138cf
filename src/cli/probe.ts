import { join } from 'node:path'
import type { CabledAdapter } from '../bench/judgement.ts'
import { pageText, readAnswers } from '../bench/probe/answers-file.ts'
import { isLateText, lateText, timedByText } from '../bench/probe/late-file.ts'
import { nextLateQuestion } from '../bench/probe/late-replies.ts'
import { Probing } from '../bench/probe/probing.ts'
import type { Answer } from '../bench/probe/suspects.ts'
import { showsNothing } from '../bench/probe/weighing.ts'
import { encodeImage } from '../profile/encode-image.ts'
import type { Profile } from '../profile/schema.ts'
import { possibilitiesOf } from '../title/possible.ts'
import { modeWords } from '../title/mode-words.ts'
import { writeTitle } from '../title/file.ts'
import type { Title } from '../title/schema.ts'
import { judge } from '../bench/judge.ts'
import { judgeOptions } from './command.ts'
import type { JudgingOptions } from './command.ts'
import { BadInput, EXIT } from './fail.ts'
import { loadTitle, readBytes } from './files.ts'
import { loadForBank } from './layouts.ts'
import { say, sayJson } from './output.ts'
import { probeTexts as t } from './output-texts.ts'
import { makeFolder, writeAllWhole } from './write.ts'
import type { Written } from './write.ts'

export interface ProbeOptions extends JudgingOptions {
  readonly profile: string
  readonly pad: readonly string[]
  readonly answers: readonly string[]
  readonly outDir?: string
  readonly out?: string
  readonly json?: true
}

/** More than anybody fills in. */
const MOST_BYTES = 262_144

/** Writes what to flash and what to ask next, and takes what was answered. */
export function probe(titlePath: string, options: ProbeOptions): number {
  const { profile: profilePath, pad, answers: answerPaths, outDir, out, json } = options
  const title = loadTitle(titlePath)
  const { profile, layouts } = loadForBank(profilePath, pad)
  const judged = judgeOptions(options)
  const probing = new Probing(profile, title, judged.adapter)
  const texts = answerPaths.map((path) => ({ path, text: textOf(path) }))
  const answers = texts.flatMap((one) => (isLateText(one.text) ? [] : answersIn(one, title, probing)))
  const page = probing.page(answers)
  const found = texts
    .filter(({ text }) => isLateText(text))
    .reduce((now, one) => timedIn(one, now, profile, judged.adapter), probing.found(answers))
  const late =
    page === null && !showsNothing(answers)
      ? nextLateQuestion(found, profile, judged.adapter, judged.marginNs)
      : null
  const inputs = [titlePath, ...answerPaths, ...pad]
  const files: Written[] = out === undefined ? [] : [{ path: out, content: writeTitle(found) }]
  const next = { image: '', questions: '' }
  if (outDir !== undefined && (page !== null || late !== null)) {
    const n = answerPaths.length + 1
    const image = `probe-${n}.image`
    const name = t.name({ n })
    next.image = join(outDir, image)
    next.questions = join(outDir, `probe-${n}.txt`)
    const modes = title.modes.flatMap((_, k) => modeWords(title, k) ?? [])
    const [content, text] =
      page !== null
        ? [
            encodeImage({ ...page.probe.profile, name }, layouts),
            pageText(page, { title: title.name, modes, image }),
          ]
        : late !== null
          ? [
              encodeImage({ ...late.profile, name }, layouts, late.sweep),
              lateText(late, title.name, modes[late.at.mode] ?? null, image),
            ]
          : []
    if (content !== undefined && text !== undefined)
      files.push({ path: next.image, content }, { path: next.questions, content: text })
    makeFolder(outDir)
  }
  writeAllWhole(files, inputs)
  const { against } = probing.left(answers)
  const judgement = judge(profile, found, judged)
  const open = openIn(found)
  if (json) {
    sayJson({
      title: title.name,
      answers: answers.length,
      contradicting: against.length,
      open,
      questions: page?.questions.length ?? 0,
      late: late !== null,
      ...(next.image && { image: next.image, file: next.questions }),
      ...(out !== undefined && { out }),
      judgement,
    })
    return EXIT.fine
  }
  if (answers.length > 0) say(t.taken({ n: answers.length, open }))
  if (against.length > 0) say(t.against({ n: against.length }))
  say(t.judged({ profile: profile.name, verdict: judgement.verdict, reason: judgement.reason }))
  if (out !== undefined) say(t.written({ file: out, title: title.name }))
  if (showsNothing(answers)) say(t.showsNothing)
  else if (late !== null)
    say(
      outDir === undefined
        ? t.moreLate({ option: '--out-dir <folder>' })
        : t.late({ image: next.image, file: next.questions }),
    )
  else if (page === null) say(open === 0 ? t.allTold : t.noMore({ open }))
  else if (outDir === undefined) say(t.more({ n: page.questions.length, option: '--out-dir <folder>' }))
  else say(t.page({ image: next.image, file: next.questions, n: page.questions.length }))
  return EXIT.fine
}

function textOf(path: string): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(readBytes(path, MOST_BYTES))
  } catch (cause) {
    if (cause instanceof TypeError) throw new BadInput(path, '', t.notText)
    throw cause
  }
}

interface GivenText {
  readonly path: string
  readonly text: string
}

function timedIn({ path, text }: GivenText, title: Title, present: Profile, adapter: CabledAdapter): Title {
  const timed = timedByText(text, title, present, adapter)
  if (!timed.ok) throw new BadInput(path, t.line({ n: timed.error.line }), timed.error.message)
  return timed.value
}

function answersIn({ path, text }: GivenText, title: Title, probing: Probing): Answer[] {
  const read = readAnswers(text, probing, title.modes.length)
  if (!read.ok) throw new BadInput(path, t.line({ n: read.error.line }), read.error.message)
  return read.value
}

/** Samples, and ways of telling six buttons, that can still be more than one thing. */
function openIn(title: Title): number {
  const { detections, groups } = possibilitiesOf(title) ?? { detections: [null], groups: [] }
  return groups.length + (detections.length > 1 ? 1 : 0)
}
