import * as v from 'valibot'
import { layOutTitle } from './steps/lay-out-title.ts'
import type { Clash } from './steps/clash.ts'
import { possibilitiesOf, waysOf } from './possible.ts'
import type { TitleFields } from './schema.ts'
import { clashTexts as t } from './title-file-texts.ts'
import { TITLE_LIMITS } from './title-limits.ts'

/** The check across the fields of a title; its issue is the first clash and points at the field to change. */
export const noClash = v.rawCheck<TitleFields>(({ dataset, addIssue }) => {
  if (!dataset.typed) return
  const title = dataset.value
  const laid = layOutTitle(title)
  const found = laid.ok ? (unlistedCapture(title) ?? clashOfWays(title)) : laid.error
  if (found !== null) addIssue({ message: found.message, path: pathTo(title, found.at) })
  // What can be read can be written and read again.
  else if (bytesOf(title) > TITLE_LIMITS.fileBytes)
    addIssue({ message: t.tooLarge({ most: TITLE_LIMITS.fileBytes }) })
})

const bytesOf = (title: TitleFields): number =>
  new TextEncoder().encode(JSON.stringify(title, null, 2)).length

/** Whatever the title may be goes together, too. */
function clashOfWays(title: TitleFields): Clash | null {
  const { possible } = title.sixButtons
  for (const { samples, choices } of possibilitiesOf(title)?.groups ?? []) {
    const { mode, read, step } = (samples[0] as (typeof samples)[number]).at
    if (choices.length > TITLE_LIMITS.together)
      return {
        at: ['modes', mode, 'reads', read, 'steps', step],
        message: t.tooManyTogether({ most: TITLE_LIMITS.together }),
      }
  }
  for (const way of waysOf(title)) {
    if (way === title) continue
    const laid = layOutTitle(way)
    if (laid.ok) continue
    const { at, message } = laid.error
    return possible && at[0] === 'sixButtons' ? { at: ['sixButtons', 'possible'], message } : { at, message }
  }
  return null
}

/** A figure that says that it was measured in a capture that is not among those of the title. */
function unlistedCapture(title: TitleFields): Clash | null {
  const listed = new Set((title.captures ?? []).map(({ sha256 }) => sha256))
  const go = (value: unknown, at: Clash['at']): Clash | null => {
    if (typeof value !== 'object' || value === null) return null
    for (const [key, inner] of Object.entries(value)) {
      const place = [...at, Array.isArray(value) ? Number(key) : key]
      if (key === 'capture' && typeof inner === 'string' && !listed.has(inner))
        return { at: place, message: t.noSuchCapture }
      const found = go(inner, place)
      if (found !== null) return found
    }
    return null
  }
  return go(title, [])
}

type IssuePath = [v.IssuePathItem, ...v.IssuePathItem[]]

export function pathTo(title: unknown, at: Clash['at']): IssuePath {
  let input = title
  return at.map((key) => {
    const type = typeof key === 'number' && Array.isArray(input) ? 'array' : 'object'
    const value = (input as Record<typeof key, unknown>)[key]
    const step = { type, origin: 'value', input, key, value }
    input = value
    return step
  }) as IssuePath
}
