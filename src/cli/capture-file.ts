import { basename } from 'node:path'
import type {
  CaptureFault,
  CaptureProgress,
  CaptureSource,
  LineChoice,
} from '../title/capture/read-capture.ts'
import { BadInput } from './fail.ts'
import { fileTexts as t } from './fault-texts.ts'
import { chunksOf, hashOf } from './files.ts'

/** A capture in a file, as the reader takes it. */
export const captureIn = (path: string): CaptureSource => ({
  name: basename(path),
  bytes: null,
  chunks: chunksOf(path),
  identify: () => Promise.resolve(hashOf(path)),
})

/** The line that was named, or the one that must be meant. */
export const lineNamed = (signal: string | undefined): LineChoice =>
  signal === undefined ? { by: 'itself' } : { by: 'name', name: signal }

interface Unread {
  readonly kind: 'choose'
  readonly sentence: string
}
interface Refused extends CaptureFault {
  readonly kind: 'refused'
}

/** What came of reading, once it is at its end. Throws bad input where the line has to be chosen or cannot be read. */
export async function readToEnd<Answer extends { readonly kind: string }>(
  path: string,
  reading: AsyncGenerator<CaptureProgress, Answer | Unread | Refused>,
): Promise<Exclude<Answer, Unread | Refused>> {
  for (;;) {
    const { done, value } = await reading.next()
    if (!done) continue
    if (isUnread(value)) throw new BadInput(path, '', `${value.sentence} ${t.chooseLine}`)
    if (isRefused(value)) throw new BadInput(path, value.place, value.message)
    return value as Exclude<Answer, Unread | Refused>
  }
}

const isUnread = (answer: { readonly kind: string }): answer is Unread => answer.kind === 'choose'
const isRefused = (answer: { readonly kind: string }): answer is Refused => answer.kind === 'refused'
