import * as v from 'valibot'
import { documentSentence } from '../document/document.ts'
import type { DocumentKind } from '../document/document.ts'
import { readDocument } from '../document/read-document.ts'
import { LAYOUT_FORMAT, LAYOUT_KIND } from '../pad/layout/schema.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { isImage } from '../profile/check-envelope.ts'
import { decodeImage, imageSentence, layoutsOfImage, sweepOfImage } from '../profile/decode-image.ts'
import { PROFILE_FORMAT, PROFILE_KIND } from '../profile/schema.ts'
import { TITLE_KIND } from '../title/schema.ts'
import { TITLE_FORMAT } from '../title/title-limits.ts'
import { foreign } from '../words/foreign.ts'
import { fileTexts as t } from './file-texts.ts'
import type { FileContent } from './files.ts'

/** Nothing that is read here is larger; a larger file is not even opened. */
export const MAX_FILE_BYTES = Math.max(PROFILE_KIND.maxBytes, TITLE_KIND.maxBytes, LAYOUT_KIND.maxBytes)

/** The sentence for a file that is too large to be looked at. */
export const tooLargeSentence = (name: string, bytes: number): string =>
  t.tooLarge({ name: foreign(name), bytes, most: MAX_FILE_BYTES })

/** No version of it exists: it is there for the sentences that all readers share. */
const EITHER: DocumentKind<v.UnknownSchema> = {
  format: `${PROFILE_FORMAT}", "${TITLE_FORMAT}" or "${LAYOUT_FORMAT}`,
  noun: () => t.noun,
  version: 0,
  migrations: {},
  maxBytes: MAX_FILE_BYTES,
  schema: v.unknown(),
}

/**
 * Reads a file by what is in it, whatever it is called: a profile, a title, a pad's layout, or an image, which is a profile and the
 * layouts of its pads.
 * Never throws; the error is one sentence with the file's name and the place.
 *
 * @param fileName how the user knows the file
 */
export function readFile(fileName: string, bytes: Uint8Array): Result<readonly FileContent[], string> {
  const name = foreign(fileName)
  if (bytes.length > MAX_FILE_BYTES) return err(tooLargeSentence(name, bytes.length))
  if (isImage(bytes)) {
    const profile = decodeImage(bytes)
    if (sweepOfImage(bytes) !== null) return err(t.refused({ name, why: t.lateReplies }))
    return profile.ok
      ? ok([
          ...layoutsOfImage(bytes).map((document) => ({ kind: 'layout' as const, document })),
          { kind: 'profile', document: profile.value },
        ])
      : err(t.refused({ name, why: imageSentence(profile.error) }))
  }
  const kind = formatOf(bytes)
  if (kind === TITLE_FORMAT) {
    const title = readDocument(TITLE_KIND, bytes)
    return title.ok
      ? ok([{ kind: 'title', document: title.value }])
      : err(t.refused({ name, why: documentSentence(title.error) }))
  }
  if (kind === PROFILE_FORMAT) {
    const profile = readDocument(PROFILE_KIND, bytes)
    return profile.ok
      ? ok([{ kind: 'profile', document: profile.value }])
      : err(t.refused({ name, why: documentSentence(profile.error) }))
  }
  if (kind === LAYOUT_FORMAT) {
    const layout = readDocument(LAYOUT_KIND, bytes)
    return layout.ok
      ? ok([{ kind: 'layout', document: layout.value }])
      : err(t.refused({ name, why: documentSentence(layout.error) }))
  }
  // Neither: the reader that both share says why (not UTF-8, cut off, no JSON, or the wrong format).
  const refused = readDocument(EITHER, bytes)
  return err(t.refused({ name, why: refused.ok ? t.neither : documentSentence(refused.error) }))
}

function formatOf(bytes: Uint8Array): unknown {
  try {
    const json: unknown = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
    return typeof json === 'object' && json !== null ? (json as Record<string, unknown>)['format'] : undefined
  } catch {
    return undefined
  }
}
