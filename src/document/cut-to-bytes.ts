const encoder = new TextEncoder()

const bytesOf = (text: string): number => encoder.encode(text).length

/** The longest beginning of a text that takes so many bytes of UTF-8 at most; no character is cut in two. */
export function cutToBytes(text: string, maxBytes: number): string {
  let beginning = ''
  let bytes = 0
  for (const character of text) {
    bytes += bytesOf(character)
    if (bytes > maxBytes) break
    beginning += character
  }
  return beginning
}
