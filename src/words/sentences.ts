import { inLanguage } from './texts.ts'

/** The sentences of a text, as the language ends them; each without the blank after it. */
const sentencesOf = (text: string): string[] =>
  [...inLanguage('sentences', (code) => new Intl.Segmenter(code, { granularity: 'sentence' })).segment(text)]
    .map(({ segment }) => segment.trim())
    .filter((sentence) => sentence !== '')

/** Texts that are read one after the other, each without the sentences that stood in one before it. */
export function withoutRepeats(texts: readonly string[]): string[] {
  const said = new Set<string>()
  return texts.map((text) => {
    const left = sentencesOf(text).filter((sentence) => !said.has(sentence))
    for (const sentence of left) said.add(sentence)
    return left.join(' ')
  })
}
