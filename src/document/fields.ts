import { foreign } from '../words/foreign.ts'
import * as v from 'valibot'

/** Fields that documents of all kinds are made of. Bounds are told by actions that the published JSON Schema repeats. */

/** A whole number within bounds. */
export const whole = (min: number, max: number, what = `a whole number from ${min} to ${max}`) => {
  const message = ({ input }: { readonly input: number }) => `${what} is needed; this is ${input}`
  return v.pipe(v.number(), v.integer(message), v.minValue(min, message), v.maxValue(max, message))
}

/** A lone surrogate has no UTF-8 form: it would be written as something else than was read. */
const hasUtf8Form = (text: string): boolean => !/\p{Surrogate}/u.test(text)
// eslint-disable-next-line no-control-regex -- control characters are what is looked for
const hasControlCharacter = (text: string): boolean => /[\u0000-\u001f\u007f-\u009f]/.test(text)

/** A name: one line, neither empty nor with blanks around it, and no longer than `limit` allows. */
const nameWithin = <L extends v.PipeAction<string, string, v.BaseIssue<unknown>>>(limit: L) =>
  v.pipe(
    v.string(),
    v.nonEmpty('a name is needed'),
    v.check((name) => name.trim() !== '', 'a name is needed'),
    v.check((name) => name === name.trim(), 'a name has no blank at its start or end'),
    v.check(hasUtf8Form, 'the name holds half a character; type it again'),
    v.check((name) => !hasControlCharacter(name), 'a name stands on one line, without control characters'),
    limit,
    // Wherever the name is shown it cannot reorder or hide what stands beside it.
    v.transform(foreign),
  )

/** A name of so many UTF-16 units at most. */
export const nameUpTo = (length: number) =>
  nameWithin(
    v.maxLength<string, number, (issue: v.MaxLengthIssue<string, number>) => string>(
      length,
      ({ input }) => `the name has ${input.length} characters; ${length} at most`,
    ),
  )

/** A name that takes so many bytes of UTF-8 at most. */
export const nameUpToBytes = (most: number) =>
  nameWithin(
    v.maxBytes(most, ({ received }) => `the name takes ${received} bytes; the adapter keeps ${most} at most`),
  )

/** Free text, which may be empty, of so many UTF-16 units at most. */
export const notesUpTo = (length: number) =>
  v.pipe(
    v.string(),
    v.check(hasUtf8Form, 'the notes hold half a character; type it again'),
    v.maxLength(length, ({ input }) => `the notes have ${input.length} characters; ${length} at most`),
  )

/** Free text, which may be empty, that takes so many bytes of UTF-8 at most. */
export const notesUpToBytes = (most: number) =>
  v.pipe(
    v.string(),
    v.check(hasUtf8Form, 'the notes hold half a character; type it again'),
    v.maxBytes(most, ({ received }) => `the notes take ${received} bytes; ${most} at most`),
  )
