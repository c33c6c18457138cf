import type { Migration } from '../document/document.ts'
import { USUAL_STICK } from '../pad/stick/settings.ts'

/** Profiles of older versions, brought up to date as plain JSON: what is wrong in them is left for the schema to say. */

type Json = Record<string, unknown>

const isObject = (json: unknown): json is Json =>
  typeof json === 'object' && json !== null && !Array.isArray(json)

/** Version 1 knew these keys under no name: where they stand, it is no profile of that version. */
const refuseKeys = (json: Json, keys: readonly string[]): void => {
  for (const key of keys) if (Object.hasOwn(json, key)) throw new Error(`${key} came later`)
}

function heldLayer(layer: unknown): unknown {
  if (!isObject(layer)) return layer
  refuseKeys(layer, ['kind', 'by'])
  const { while: by, ...rest } = layer
  return { kind: 'held', ...(by === undefined ? {} : { by }), ...rest }
}

function readsRepeat(repeat: unknown): unknown {
  if (!isObject(repeat)) return repeat
  refuseKeys(repeat, ['kind'])
  return { kind: 'reads', ...repeat }
}

/** In version 1 layers were on while held, repeats counted reads, sticks were as usual, and there were no chords. */
export const fromVersion1: Migration = (document) => {
  refuseKeys(document, ['sticks', 'chords'])
  const { layers, repeat } = document
  return {
    ...document,
    sticks: { left: USUAL_STICK, right: USUAL_STICK },
    layers: Array.isArray(layers) ? layers.map(heldLayer) : layers,
    chords: [],
    repeat: isObject(repeat)
      ? Object.fromEntries(Object.entries(repeat).map(([input, one]) => [input, readsRepeat(one)]))
      : repeat,
  }
}
