import { texts } from './texts.ts'

const t = texts('sentences', { clauses: '{first}; {next}', subject: '{subject}: {text}' })
/** @public for the type of a translation */
export { t as sentenceTexts }

/** Clauses that could each stand alone, in one sentence: "reads one cycle; idles low". */
export const clauseWords = (clauses: readonly string[]): string =>
  clauses.length === 0 ? '' : clauses.reduce((first, next) => t.clauses({ first, next }))

/** What a text is about, from the widest to the closest, and the text: "file: place: text". What is empty is left out. */
export const subjectWords = (subjects: readonly string[], text: string): string =>
  subjects
    .filter((subject) => subject !== '')
    .reduceRight((said, subject) => t.subject({ subject, text: said }), text)

/** A text at the start of a line. */
export const lineStart = (text: string): string => text.charAt(0).toLocaleUpperCase() + text.slice(1)
