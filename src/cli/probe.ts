import { join } from 'node:path'
import { pageText, readAnswers } from '../bench/probe/answers-file.ts'
import { Probing } from '../bench/probe/probing.ts'
import type { Answer } from '../bench/probe/suspects.ts'
import { showsNothing } from '../bench/probe/weighing.ts'
import { encodeImage } from '../profile/encode-image.ts'
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
  const answers = answerPaths.flatMap((path) => answersIn(path, title, probing))
  const found = probing.found(answers)
  const page = probing.page(answers)
  const inputs = [titlePath, ...answerPaths, ...pad]
  const files: Written[] = out === undefined ? [] : [{ path: out, content: writeTitle(found) }]
  const next = { image: '', questions: '' }
  if (outDir !== undefined && page !== null) {
    const n = answerPaths.length + 1
    const image = `probe-${n}.image`
    next.image = join(outDir, image)
    next.questions = join(outDir, `probe-${n}.txt`)
    const modes = title.modes.flatMap((_, k) => modeWords(title, k) ?? [])
    files.push(
      { path: next.image, content: encodeImage({ ...page.probe.profile, name: t.name({ n }) }, layouts) },
      { path: next.questions, content: pageText(page, { title: title.name, modes, image }) },
    )
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

function answersIn(path: string, title: Title, probing: Probing): Answer[] {
  const read = readAnswers(textOf(path), probing, title.modes.length)
  if (!read.ok) throw new BadInput(path, t.line({ n: read.error.line }), read.error.message)
  return read.value
}

/** Samples, and ways of telling six buttons, that can still be more than one thing. */
function openIn(title: Title): number {
  const { detections, groups } = possibilitiesOf(title) ?? { detections: [null], groups: [] }
  return groups.length + (detections.length > 1 ? 1 : 0)
}
