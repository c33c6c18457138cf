import { readTitle } from '../../src/title/file.ts'
import { scheduleOf } from '../../src/title/schedule.ts'
import type { Title } from '../../src/title/schema.ts'
import { shortOf } from '../../src/title/short-of-title.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'

/** The short way to say a title, which the independent players go by; throws where there is none. */
export function shortTitle(title: Title): ShortTitle {
  const short = shortOf(title)
  if (short === null) throw new Error(`${title.name} cannot be said the short way`)
  return short
}

/** The same title with other figures. */
export const withShort = (title: Title, fields: Partial<ShortTitle>): Title =>
  titleOfShort({ ...shortTitle(title), ...fields })

/** A file of version 2 with these fields, as it is read today. */
export function titleOfFields(fields: object): Title {
  const file = { format: 'ninepin-title', version: 2, ...fields }
  const title = readTitle(new TextEncoder().encode(JSON.stringify(file)))
  if (!title.ok) throw new Error(`${title.error.place} ${title.error.message}`)
  return title.value
}

/** A place counts cycles as the phase chart does, the short way those of a read: from rest low the opening rise opens cycle 2 of the chart. */
export const shortCycle = (rest: ShortTitle['rest'], { cycle }: { readonly cycle: number }): number =>
  rest === 'low' ? cycle - 1 : cycle

/** For each sample of a title's schedule the one that the short title takes in that phase; `null`: it only tells six buttons there. */
export const shortSamples = (
  title: Title,
  { samples, rest }: Pick<ShortTitle, 'samples' | 'rest'>,
): (number | null)[] =>
  scheduleOf(title).samples.map(({ place }) => {
    const of = shortCycle(rest, place)
    const k = samples.findIndex(({ cycle, level }) => cycle === of && level === place.level)
    return k === -1 ? null : k
  })
