import type { Line } from './fleet.ts'

/** A small repeatable source of chance (mulberry32): whole numbers from 0 to one below the bound. */
export function chance(seed: number): (below: number) => number {
  let state = seed >>> 0
  return (below) => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)
    return ((mixed ^ (mixed >>> 14)) >>> 0) % below
  }
}

type Chance = ReturnType<typeof chance>

/** The bytes with `dropped` of them at a place taken out and others put in. */
function spliced(bytes: Uint8Array, at: number, dropped: number, put: Uint8Array): Uint8Array {
  const out = new Uint8Array(bytes.length - dropped + put.length)
  out.set(bytes.subarray(0, at))
  out.set(put, at)
  out.set(bytes.subarray(at + dropped), at + put.length)
  return out
}

const NOTHING = new Uint8Array()

/** One accident: a bit flips, bytes are dropped, doubled, cut off or come from nowhere, or all of it is lost. */
function accident(bytes: Uint8Array, next: Chance): Uint8Array {
  if (bytes.length === 0) return bytes
  const at = next(bytes.length)
  switch (next(8)) {
    case 0:
    case 1:
      return bytes.with(at, (bytes[at] ?? 0) ^ (1 << next(8)))
    case 2:
      return spliced(bytes, at, Math.min(1 + next(4), bytes.length - at), NOTHING)
    case 3:
      return spliced(bytes, at, 0, bytes.subarray(at, at + 1 + next(4)))
    case 4:
      return bytes.subarray(0, at)
    case 5:
      return spliced(bytes, bytes.length, 0, bytes)
    case 6:
      return spliced(
        bytes,
        at,
        0,
        Uint8Array.from({ length: next(300) }, () => next(256)),
      )
    default:
      return NOTHING
  }
}

/**
 * A line on which each transfer may meet with accidents, comes in two pieces, and may be held back for a moment or for longer
 * than anybody waits.
 *
 * @param percent how likely the next accident is, each time
 * @param stepMs bytes are late by a multiple of this
 */
export function badLine(seed: number, percent: number, stepMs: number): Line {
  const next = chance(seed)
  return (bytes) => {
    let come = bytes
    while (next(100) < percent) come = accident(come, next)
    const lateMs = next(400) >= percent ? 0 : next(4) === 0 ? stepMs * next(60) : stepMs
    if (come.length < 2) return [{ bytes: come, lateMs }]
    const at = 1 + next(come.length - 1)
    return [
      { bytes: come.subarray(0, at), lateMs: 0 },
      { bytes: come.subarray(at), lateMs },
    ]
  }
}
