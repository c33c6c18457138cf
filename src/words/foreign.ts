/**
 * What can do more than be read, by Unicode's general categories: control characters (Cc), among them escape, which begins a
 * terminal's commands, and every end of a line; format characters (Cf), among them those that turn the direction of a text
 * (UAX #9) or are not seen; the ends of lines and paragraphs (Zl, Zp); halves of characters (Cs). The joiners (U+200C, U+200D)
 * stay, as some scripts are not spelt right without them.
 */
const HARMFUL = /(?![\u200c\u200d])[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu

/** Stands in the place of a harmful character, so that two names do not become one. No such character is shorter in UTF-8. */
const INSTEAD = '?'

/**
 * Text from outside, such as a name that an adapter, a file or the system gives, made fit to stand in a line that people
 * read: it can neither command a terminal, nor end the line, nor change the order in which the rest is seen.
 */
export const foreign = (text: string): string => text.replaceAll(HARMFUL, INSTEAD)

/**
 * What leaves no mark where it is shown: blanks, what is harmful above, and what Unicode lets a font draw nothing for
 * (Default_Ignorable_Code_Point, UAX #44), among it the joiners, fillers and variation selectors; and the braille pattern without a dot,
 * which is a symbol to Unicode (So).
 */
const UNSEEN = /^[\s\p{Default_Ignorable_Code_Point}\p{Cc}\p{Cf}\p{Z}\u2800]*$/u

/** Whether nothing would be seen of a text: as a name it is as good as none. */
export const isUnseen = (text: string): boolean => UNSEEN.test(text)

/** The same for text of several lines, which stay lines. */
export const foreignLines = (text: string): string => withoutHarm(text, () => INSTEAD)

/** Lines in which something else stands for each harmful character. */
export const withoutHarm = (lines: string, instead: (harmful: string) => string): string =>
  lines.replaceAll(HARMFUL, (character) => (character === '\n' ? character : instead(character)))
