import { readCapture } from '../title/capture/read-capture.ts'
import type { PinNames } from '../title/capture/read-capture.ts'
import { writeTitle } from '../title/file.ts'
import type { CaptureFinding } from '../title/infer/findings.ts'
import { findingGrounds, findingLabel, findingWords } from '../title/infer/finding-words.ts'
import { isOfPad } from '../title/replies/pad-findings.ts'
import { captureIn, lineNamed, readToEnd } from './capture-file.ts'
import { BadInput, EXIT } from './fail.ts'
import { writeWhole } from './write.ts'
import { complain, say, sayJson } from './output.ts'
import { fileTexts as t } from './output-texts.ts'

export interface InferOptions {
  readonly signal?: string
  readonly pins: PinNames
  readonly fromPowerOn?: true
  readonly out: string
  readonly json?: true
}

/** Reads a title's pattern out of the edges of a captured select line. */
export async function infer(
  path: string,
  { signal, pins, fromPowerOn, out, json }: InferOptions,
): Promise<number> {
  const source = { ...captureIn(path), fromPowerOn: fromPowerOn === true }
  const { line, found } = await readToEnd(path, readCapture(source, lineNamed(signal), { pins }))
  const { title, findings } = found
  if (title === null) return refuse(path, found.fault, findings, json)

  writeWhole(out, writeTitle(title), [path])
  if (json) {
    const told = { capture: path, signal: line, out, title: title.name, findings: findings.map(inWords) }
    sayJson(told)
  } else {
    say(`${t.inferred({ file: out, title: title.name, line })}\n${table(findings)}`)
  }
  return EXIT.fine
}

/** Says why there is no title, after all that could be found. */
function refuse(
  path: string,
  complaint: string,
  findings: readonly CaptureFinding[],
  json: true | undefined,
): number {
  if (findings.length === 0) throw new BadInput(path, '', complaint)
  if (json) {
    const error = { subject: path, place: '', message: complaint }
    sayJson({ error, findings: findings.map(inWords) })
  } else {
    say(table(findings))
  }
  complain(new BadInput(path, '', complaint).message)
  return EXIT.badInput
}

const inWords = (finding: CaptureFinding) => ({ ...finding, words: findingWords(finding) })

const LEAST_WIDTH = 20

/** What the edges tell of the title, then what the data lines tell of the pad. */
function table(findings: readonly CaptureFinding[]): string {
  const width = Math.max(LEAST_WIDTH, ...findings.map((finding) => findingLabel(finding).length + 2))
  const ofPad = findings.filter(({ what }) => isOfPad(what))
  const ofTitle = rows(
    findings.filter(({ what }) => !isOfPad(what)),
    width,
  )
  return ofPad.length === 0 ? ofTitle : `${ofTitle}\n${t.padInCapture}\n${rows(ofPad, width)}`
}

const rows = (findings: readonly CaptureFinding[], width: number): string =>
  findings
    .map(
      (finding) =>
        `  ${findingLabel(finding).padEnd(width)}${t.finding({
          words: findingWords(finding),
          grounds: findingGrounds(finding),
        })}`,
    )
    .join('\n')
