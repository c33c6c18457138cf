import type { DocumentError } from '../../document/document.ts'
import { readDocument } from '../../document/read-document.ts'
import type { Result } from '../../port/result.ts'
import { LAYOUT_KIND } from './schema.ts'
import type { Layout } from './schema.ts'

/** Reads a layout file. Never throws; an error names its place. */
export const readLayout = (bytes: Uint8Array): Result<Layout, DocumentError> =>
  readDocument(LAYOUT_KIND, bytes)

/** The text of a layout file: the same layout gives the same text. */
export const writeLayout = (layout: Layout): string => `${JSON.stringify(layout, null, 2)}\n`
