import { capturedWords } from '../bench/captured-words.ts'
import { judgeCapture } from '../bench/judge-capture.ts'
import type { JudgedCapture } from '../bench/judge-capture.ts'
import type { StatedAdapter } from '../bench/judgement.ts'
import type { Profile } from '../profile/schema.ts'
import { readLine } from '../title/capture/read-capture.ts'
import { faultSentence } from '../title/infer/finding-words.ts'
import { withoutEdges } from '../title/infer/without-edges.ts'
import type { SelectLine } from '../title/select-line.ts'
import { captureIn, lineNamed, readToEnd } from './capture-file.ts'
import { BadInput } from './fail.ts'

/** A captured select line that has edges to judge. */
export interface CapturedLine {
  readonly capture: string
  readonly signal: string
  readonly select: SelectLine
  /** As the user says. */
  readonly fromPowerOn: boolean
}

/** How a profile answers a captured line, by counts alone. */
export interface CapturedPair extends JudgedCapture {
  readonly profile: string
  readonly profileName: string
  readonly sentences: readonly string[]
}

export async function loadLine(
  path: string,
  signal: string | undefined,
  fromPowerOn: boolean,
): Promise<CapturedLine> {
  const { label, select } = await readToEnd(path, readLine(captureIn(path), lineNamed(signal)))
  const still = withoutEdges(select)
  if (still !== null) throw new BadInput(path, '', faultSentence({ ...still, findings: [] }))
  return { capture: path, signal: label, select, fromPowerOn }
}

export function capturedPair(
  { path, profile }: { readonly path: string; readonly profile: Profile },
  { select, fromPowerOn }: CapturedLine,
  adapter: StatedAdapter,
): CapturedPair {
  const judged = judgeCapture(profile, select, adapter, fromPowerOn)
  const sentences = capturedWords(profile, select, judged)
  return { profile: path, profileName: profile.name, ...judged, sentences }
}
