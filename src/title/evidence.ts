import * as v from 'valibot'
import { nameUpTo, whole } from '../document/fields.ts'
import { t } from './title-file-texts.ts'

const MOST = 1_000_000_000
const count = (min: number) => whole(min, MOST)

/** A capture by its SHA-256, in hexadecimal. */
const HashSchema = v.pipe(
  v.string(),
  v.regex(/^[0-9a-f]{64}$/, () => t.hash),
)

/**
 * Where a figure or a belief of a title comes from: one vocabulary for all who write titles. What carries none is not recorded.
 *
 * - `measured`: seen in a capture, so many times of so many
 * - `shown`: by running the title's own program
 * - `found`: with an adapter that answered as it was asked to, in so many trials
 * - `typed-in`: by somebody who did not say where it comes from
 * - `preset`: stood there when the title was begun, and nobody has changed it
 * - `guessed`: taken because something had to be
 * - `not-recorded`: of files that could not say
 */
export const SourceSchema = v.variant('kind', [
  v.pipe(
    v.strictObject({
      kind: v.literal('measured'),
      seen: count(0),
      of: count(1),
      /** One of those that the title lists. */
      capture: v.exactOptional(HashSchema),
    }),
    v.check(
      ({ seen, of }) => seen <= of,
      ({ input }) => t.seenAboveAll(input),
    ),
  ),
  v.strictObject({ kind: v.literal('shown') }),
  v.strictObject({
    kind: v.literal('found'),
    trials: count(1),
    /** Trials that spoke against it; left out where none did. */
    against: v.exactOptional(count(1)),
  }),
  v.strictObject({ kind: v.literal('typed-in') }),
  v.strictObject({ kind: v.literal('preset') }),
  v.strictObject({ kind: v.literal('guessed') }),
  v.strictObject({ kind: v.literal('not-recorded') }),
])
export type Source = v.InferOutput<typeof SourceSchema>

/** A capture that figures were measured in: a file of its own, told by its SHA-256. */
export const CaptureSchema = v.strictObject({
  sha256: HashSchema,
  name: nameUpTo(120),
  bytes: whole(1, Number.MAX_SAFE_INTEGER),
  /** Which pad the title had in front of it, where data lines in the capture show it. */
  pad: v.exactOptional(v.picklist(['three-buttons', 'six-buttons'])),
  /** The user said that the capture begins at power-on; left out otherwise. */
  fromPowerOn: v.exactOptional(v.literal(true)),
})
export type Capture = v.InferOutput<typeof CaptureSchema>
