/** A document with one value put in another's place, or taken away where there is none. Steps of the path stand between dots. */
export function changedJson(document: object, path: string, value: unknown): unknown {
  // Not `structuredClone`, which keeps what is shared shared.
  const json = JSON.parse(JSON.stringify(document)) as Record<string, unknown>
  const keys = path.split('.')
  const last = keys.pop() as string
  const place = keys.reduce((at, key) => at[key] as Record<string, unknown>, json)
  if (value === undefined) Reflect.deleteProperty(place, last)
  else place[last] = value
  return json
}

export const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text)
export const bytesOfJson = (json: unknown): Uint8Array => bytesOf(JSON.stringify(json))
