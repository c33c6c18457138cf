import type { Entry } from '../shelf/entry.ts'
import { fileOf } from '../shelf/out-file.ts'
import { download } from './file-exchange.ts'

/** Hands a kept document to the browser's downloads. */
export function exportEntry(entry: Entry): void {
  const { name, text } = fileOf(entry)
  download(name, text)
}
