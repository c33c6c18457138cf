import type { Line } from './bench-link.ts'

/** A small repeatable source of chance (xorshift32). */
function chance(seed: number): () => number {
  let state = seed >>> 0 || 1
  return () => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    state >>>= 0
    return state / 2 ** 32
  }
}

/** A line that flips, drops, doubles, cuts, invents and splits, each transfer being hit with a likelihood of `rate`. */
export function faultyLine(seed: number, rate: number): Line {
  const next = chance(seed)
  const place = (length: number) => Math.floor(next() * length)
  const hit = (bytes: number[]): number[] => {
    const at = place(bytes.length)
    switch (place(7)) {
      case 0:
        return bytes.map((byte, k) => (k === at ? byte ^ (1 << place(8)) : byte))
      case 1:
        return bytes.toSpliced(at, 1)
      case 2:
        return bytes.toSpliced(at, 0, bytes[at] ?? 0)
      case 3:
        return bytes.slice(0, at)
      case 4:
        return [...bytes, ...bytes]
      case 5:
        return bytes.toSpliced(at, 0, ...Array.from({ length: place(300) }, () => place(256)))
      default:
        return []
    }
  }
  return (bytes) => {
    let list = [...bytes]
    while (next() < rate) list = hit(list)
    const at = place(list.length + 1)
    return [Uint8Array.from(list.slice(0, at)), Uint8Array.from(list.slice(at))]
  }
}
