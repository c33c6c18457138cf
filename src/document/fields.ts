import * as v from 'valibot'
import { foreign } from '../words/foreign.ts'
import { fieldTexts, t, wantedTexts } from './document-texts.ts'

/** Fields that documents of all kinds are made of. Bounds are told by actions that the published JSON Schema repeats. */

/**
 * A whole number within bounds.
 *
 * @param wanted what it is, as a noun phrase
 * @param said the number that was found, as it is quoted
 */
export const whole = (
  min: number,
  max: number,
  wanted = () => wantedTexts.whole({ min, max }),
  said: (found: number) => string = String,
) => {
  const message = ({ input }: { readonly input: number }) =>
    t.expected({ wanted: wanted(), found: said(input) })
  return v.pipe(v.number(), v.integer(message), v.minValue(min, message), v.maxValue(max, message))
}

/** A lone surrogate has no UTF-8 form: it would be written as something else than was read. */
const hasUtf8Form = (text: string): boolean => !/\p{Surrogate}/u.test(text)
// eslint-disable-next-line no-control-regex -- control characters are what is looked for
const hasControlCharacter = (text: string): boolean => /[\u0000-\u001f\u007f-\u009f]/.test(text)

/**
 * A name: one line, neither empty nor with blanks around it, and no longer than `limit` allows. That something is seen of it is asked where names of
 * titles, modes and pads are typed (`isUnseen`): files and banks that have one without stay open.
 */
const nameWithin = <L extends v.PipeAction<string, string, v.BaseIssue<unknown>>>(limit: L) =>
  v.pipe(
    v.string(),
    v.nonEmpty(() => fieldTexts.nameNeeded),
    v.check(
      (name) => name.trim() !== '',
      () => fieldTexts.nameNeeded,
    ),
    v.check(
      (name) => name === name.trim(),
      () => fieldTexts.nameSpaces,
    ),
    v.check(hasUtf8Form, () => fieldTexts.nameHalf),
    v.check(
      (name) => !hasControlCharacter(name),
      () => fieldTexts.nameControls,
    ),
    limit,
    // Wherever the name is shown it cannot reorder or hide what stands beside it.
    v.transform(foreign),
  )

/** A name of so many UTF-16 units at most. */
export const nameUpTo = (length: number) =>
  nameWithin(
    v.maxLength<string, number, (issue: v.MaxLengthIssue<string, number>) => string>(length, ({ input }) =>
      fieldTexts.nameCharacters({ n: input.length, most: length }),
    ),
  )

/** A name that takes so many bytes of UTF-8 at most. */
export const nameUpToBytes = (most: number) =>
  nameWithin(v.maxBytes(most, ({ received }) => fieldTexts.nameBytes({ n: Number(received), most })))

/** Free text, which may be empty, of so many UTF-16 units at most. */
export const notesUpTo = (length: number) =>
  v.pipe(
    v.string(),
    v.check(hasUtf8Form, () => fieldTexts.notesHalf),
    v.maxLength(length, ({ input }) => fieldTexts.notesCharacters({ n: input.length, most: length })),
  )

/** Free text, which may be empty, that takes so many bytes of UTF-8 at most. */
export const notesUpToBytes = (most: number) =>
  v.pipe(
    v.string(),
    v.check(hasUtf8Form, () => fieldTexts.notesHalf),
    v.maxBytes(most, ({ received }) => fieldTexts.notesBytes({ n: Number(received), most })),
  )
