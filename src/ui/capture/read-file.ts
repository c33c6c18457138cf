import { capturedWords } from '../../bench/captured-words.ts'
import { judgeCapture } from '../../bench/judge-capture.ts'
import type { StatedAdapter } from '../../bench/judgement.ts'
import type { Profile } from '../../profile/schema.ts'
import { readCapture } from '../../title/capture/read-capture.ts'
import type { CaptureAnswer, CaptureProgress, LineChoice, PinLine } from '../../title/capture/read-capture.ts'
import { withoutEdges } from '../../title/infer/without-edges.ts'
import type { SelectLine } from '../../title/select-line.ts'
import { fileTexts } from './capture-texts.ts'

/** A capture in a file of the browser's, and which of its lines to read. */
export interface CaptureRequest {
  readonly file: File
  readonly choice: LineChoice
  /** Which lines are data lines, as the user says; left out: those that are named after their pins. */
  readonly data?: readonly PinLine[]
  /** Whether it begins at power-on, as the user says. */
  readonly fromPowerOn?: boolean
  /** Whose replies the line is judged with, by itself. */
  readonly judging: CaptureJudging
}

export interface CaptureJudging {
  readonly profile: Profile
  readonly adapter: StatedAdapter
}

export type FileAnswer =
  | Exclude<CaptureAnswer, { readonly kind: 'found' }>
  | (Extract<CaptureAnswer, { readonly kind: 'found' }> & {
      /** What the line says by itself of the profile, with no reading of it; empty where it has no edges. */
      readonly byItself: readonly string[]
    })

/** Reads a capture out of a file of the browser's. Does not throw. */
export async function* readFile({
  file,
  choice,
  data,
  fromPowerOn = false,
  judging: { profile, adapter },
}: CaptureRequest): AsyncGenerator<CaptureProgress, FileAnswer> {
  let byItself: readonly string[] = []
  const judge = (line: SelectLine): void => {
    if (withoutEdges(line) === null)
      byItself = capturedWords(profile, line, judgeCapture(profile, line, adapter, fromPowerOn))
  }
  try {
    const source = {
      name: file.name,
      bytes: file.size,
      chunks: chunksOf(file),
      identify: () => hashOf(file),
      fromPowerOn,
    }
    const answer = yield* readCapture(source, choice, { look: judge, ...(data && { pins: data }) })
    return answer.kind === 'found' ? { ...answer, byItself } : answer
  } catch {
    return { kind: 'refused', place: '', message: fileTexts.unread }
  }
}

/** A browser takes a hash of a whole only, which has to be in memory for it. */
const MOST_HASHED_BYTES = 256 * 1024 * 1024

async function hashOf(file: File): Promise<{ sha256: string; bytes: number } | null> {
  // A page that is not served securely has no hashes.
  const { subtle } = crypto as { readonly subtle?: SubtleCrypto }
  if (!subtle || file.size > MOST_HASHED_BYTES || file.size === 0) return null
  try {
    const digest = new Uint8Array(await subtle.digest('SHA-256', await file.arrayBuffer()))
    const sha256 = Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('')
    return { sha256, bytes: file.size }
  } catch {
    // Read it was; for a hash there may be no memory.
    return null
  }
}

/** Not every browser can loop over a ReadableStream. */
async function* chunksOf(file: File): AsyncGenerator<Uint8Array> {
  const reader = file.stream().getReader()
  try {
    for (;;) {
      const { done, value } = await reader.read()
      if (done) return
      yield value
    }
  } finally {
    await reader.cancel()
  }
}
