import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { inputWord } from '../../port/input-texts.ts'
import { INPUTS } from '../../port/pins.ts'
import type { Conflict, ConflictPlace, ConflictWords } from '../../profile/conflicts.ts'
import type { Profile } from '../../profile/schema.ts'
import { rowWords } from '../../words/lists.ts'
import { t } from './profile-texts.ts'

/** Where on the Profile station a conflict is told, and in which words. */

export const CONFLICT_WORDS: ConflictWords = {
  input: inputWord,
  control: (control) => CONTROL_WORDS[control],
}

const IDS = { layer: 'layer', chord: 'chord', powerOn: 'power-on', bankChange: 'bank-change' } as const

/** Id of the element that stands for an input, a stick, or a member of a list (counted from 0). */
export const placeId = (place: Exclude<ConflictPlace, { readonly at: 'control' }>): string => {
  switch (place.at) {
    case 'input':
      return `input-${place.input}`
    case 'stick':
      return `stick-${place.side}`
    default:
      return `${IDS[place.at]}-${place.index + 1}`
  }
}

/** Ids of all places where a conflict is told, the first one foremost. What a control does stands wherever it is mapped. */
export function placeIds({ place }: Conflict, { mapping, layers, chords }: Profile): readonly string[] {
  if (place.at !== 'control') return [placeId(place)]
  const { control } = place
  const rows = INPUTS.filter((input) => mapping[input].includes(control))
  if (rows.length > 0) return rows.map((input) => placeId({ at: 'input', input }))
  const index = layers.findIndex((layer) => INPUTS.some((input) => layer.mapping[input]?.includes(control)))
  if (index >= 0) return [placeId({ at: 'layer', index })]
  const chord = chords.findIndex(({ held }) => held.includes(control))
  return chord >= 0 ? [placeId({ at: 'chord', index: chord })] : []
}

/** Conflicts by the ids of all their places. */
export function byPlace(
  conflicts: readonly Conflict[],
  profile: Profile,
): ReadonlyMap<string, readonly Conflict[]> {
  const places = new Map<string, Conflict[]>()
  for (const conflict of conflicts)
    for (const id of placeIds(conflict, profile)) places.set(id, [...(places.get(id) ?? []), conflict])
  return places
}

/** "3 conflicts: 1 fault, 2 notes". */
export function countWords(conflicts: readonly Conflict[]): string {
  const faults = conflicts.filter(({ kind }) => kind === 'fault').length
  const notes = conflicts.length - faults
  const kinds = [
    ...(faults > 0 ? [t.faults({ n: faults })] : []),
    ...(notes > 0 ? [t.notesCount({ n: notes })] : []),
  ]
  return t.count({ n: conflicts.length, kinds: rowWords(kinds) })
}
