import { readCapture } from '../../title/capture/read-capture.ts'
import type { CaptureAnswer, CaptureProgress, LineChoice } from '../../title/capture/read-capture.ts'
import { fileTexts } from './capture-texts.ts'

/** A capture in a file of the browser's, and which of its lines to read. */
export interface CaptureRequest {
  readonly file: File
  readonly choice: LineChoice
}

/** Reads a capture out of a file of the browser's. Does not throw. */
export async function* readFile({
  file,
  choice,
}: CaptureRequest): AsyncGenerator<CaptureProgress, CaptureAnswer> {
  try {
    const source = { name: file.name, bytes: file.size, chunks: chunksOf(file) }
    return yield* readCapture(source, choice)
  } catch {
    return { kind: 'refused', place: '', message: fileTexts.unread }
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
