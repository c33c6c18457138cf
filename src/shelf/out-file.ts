import { writeLayout } from '../pad/layout/file.ts'
import { writeProfile } from '../profile/file.ts'
import { writeTitle } from '../title/file.ts'
import type { Entry } from './entry.ts'
import { documentFileName } from './file-names.ts'

/** A file to hand out. */
export interface OutFile {
  readonly name: string
  readonly text: string
}

/** The file of a kept document; reading it again gives the same document. */
export const fileOf = (entry: Entry): OutFile => ({
  name: documentFileName(entry.kind, entry.document.name),
  text: textOf(entry),
})

function textOf(entry: Entry): string {
  if (entry.kind === 'profile') return writeProfile(entry.document)
  return entry.kind === 'title' ? writeTitle(entry.document) : writeLayout(entry.document)
}
