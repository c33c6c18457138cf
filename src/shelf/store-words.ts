import { storeTexts as t } from './shelf-texts.ts'

const nameOf = (cause: unknown): string => (cause instanceof DOMException ? cause.name : '')

/** Why the browser did not save, and what to do. */
export const notSavedSentence = (cause: unknown): string =>
  nameOf(cause) === 'QuotaExceededError' ? t.noRoom : t.notSaved

/** Why the shelf could not be read, and what to do. */
export const notReadSentence = (cause: unknown): string =>
  nameOf(cause) === 'SecurityError' ? t.notAllowed : t.notRead
