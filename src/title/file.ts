import { readDocument } from '../document/document.ts'
import type { DocumentError } from '../document/document.ts'
import type { Result } from '../port/result.ts'
import { TITLE_KIND } from './schema.ts'
import type { Title } from './schema.ts'

/** Reads a title file. Never throws; an error names its place. */
export const readTitle = (bytes: Uint8Array): Result<Title, DocumentError> => readDocument(TITLE_KIND, bytes)

/** The text of a title file: the same title gives the same text. */
export const writeTitle = (title: Title): string => `${JSON.stringify(title, null, 2)}\n`
