import type { DocumentError } from '../document/document.ts'
import { readDocument } from '../document/read-document.ts'
import type { Result } from '../port/result.ts'
import { TITLE_KIND } from './schema.ts'
import type { Title } from './schema.ts'

/** Reads a title file. Never throws; an error names its place. */
export const readTitle = (bytes: Uint8Array): Result<Title, DocumentError> => readDocument(TITLE_KIND, bytes)

/** The text of a title file: the same title gives the same text. What holds nothing but plain values stands on one line. */
export const writeTitle = (title: Title): string =>
  `${JSON.stringify(title, null, 2).replace(SMALL, (small) => {
    const line = small.replace(/\n\s*/g, ' ')
    return line.startsWith('[') ? `[${line.slice(2, -2)}]` : line
  })}\n`

/** No string has a line break of its own in JSON, so none is taken for one. */
const SMALL = /[{[]\n[^{}[\]]{1,100}[}\]]/g
