import { LAYOUT_KIND } from '../pad/layout/schema.ts'
import type { Layout } from '../pad/layout/schema.ts'
import { PROFILE_KIND } from '../profile/schema.ts'
import type { Profile } from '../profile/schema.ts'
import { TITLE_KIND } from '../title/schema.ts'
import type { Title } from '../title/schema.ts'
import { readJson } from '../document/document.ts'
import { looksLikeZip } from '../title/session/zip.ts'

/** What a file turned out to hold. */
export type FileContent =
  | { readonly kind: 'profile'; readonly document: Profile }
  | { readonly kind: 'title'; readonly document: Title }
  | { readonly kind: 'layout'; readonly document: Layout }

/** So many bytes from the beginning of a file are enough for {@link isCapture}. */
export const HEAD_BYTES = 4096

/** What a dump may begin with (source: IEEE 1364-2005, clause 18, declaration commands). */
const DUMP_BEGINS = /^\s*\$(comment|date|enddefinitions|scope|timescale|upscope|var|version)(?!\S)/

/** Whether what begins like this is a capture of a line, a dump or a zipped session, whatever it is called. No profile or title is. */
export const isCapture = (head: Uint8Array): boolean =>
  looksLikeZip(head) || DUMP_BEGINS.test(new TextDecoder().decode(head.subarray(0, HEAD_BYTES)))

/** Checks a document that the app itself has changed, as a file would be checked. */
export const checkProfile = (profile: unknown) => readJson(PROFILE_KIND, profile)
export const checkTitle = (title: unknown) => readJson(TITLE_KIND, title)
export const checkLayout = (layout: unknown) => readJson(LAYOUT_KIND, layout)
