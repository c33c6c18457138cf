/** What one tick of a dump's clock is. At most one of the two is over 1, so whole numbers are enough. */
export interface Timescale {
  readonly nsPerTick: number
  readonly ticksPerNs: number
}

const UNITS = {
  s: { nsPerUnit: 1e9, unitsPerNs: 1 },
  ms: { nsPerUnit: 1e6, unitsPerNs: 1 },
  us: { nsPerUnit: 1e3, unitsPerNs: 1 },
  ns: { nsPerUnit: 1, unitsPerNs: 1 },
  ps: { nsPerUnit: 1, unitsPerNs: 1e3 },
  fs: { nsPerUnit: 1, unitsPerNs: 1e6 },
} as const

const FORM = /^(1|10|100) ?(s|ms|us|ns|ps|fs)$/

/** 2^53 ns is about 104 days. */
const LATEST_NS = Number.MAX_SAFE_INTEGER

/** The words of a `$timescale` section, such as `10ps` or `1 ns`; nothing for any other text. */
export function parseTimescale(text: string): Timescale | undefined {
  const form = FORM.exec(text)
  if (!form) return undefined
  const count = Number(form[1])
  const { nsPerUnit, unitsPerNs } = UNITS[form[2] as keyof typeof UNITS]
  return unitsPerNs === 1
    ? { nsPerTick: count * nsPerUnit, ticksPerNs: 1 }
    : { nsPerTick: 1, ticksPerNs: unitsPerNs / count }
}

/** Ticks of a stamp: a bigint where a double would not be exact. */
export type Ticks = number | bigint

/** A stamp in whole nanoseconds, rounded down; nothing where it passes {@link LATEST_NS}. */
export function ticksToNs({ nsPerTick, ticksPerNs }: Timescale, ticks: Ticks): number | undefined {
  // In doubles, too: the remainder is exact, so is the division, and a product that rounds is past the latest anyway.
  const ns =
    typeof ticks === 'number'
      ? ((ticks - (ticks % ticksPerNs)) / ticksPerNs) * nsPerTick
      : (ticks / BigInt(ticksPerNs)) * BigInt(nsPerTick)
  return ns <= LATEST_NS ? Number(ns) : undefined
}

/** Up to here a number of ticks is exact in a double and is a time that {@link ticksToNs} has; on fine clocks later ones may be, too. */
export const latestTicks = ({ nsPerTick }: Timescale): number => Math.floor(LATEST_NS / nsPerTick)

const ZERO = 48
/** A number of this many digits is past the latest nanosecond in femtoseconds, too; the digits after it can go. */
const DIGITS_THAT_COUNT = 30

/** The decimal number in `bytes[from..to)`; nothing where it is not one. */
export function parseTicks(bytes: Uint8Array, from: number, to: number): Ticks | undefined {
  if (from >= to) return undefined
  let ticks = 0
  for (let at = from; at < to; at++) {
    const digit = (bytes[at] as number) - ZERO
    if (digit < 0 || digit > 9) return undefined
    ticks = ticks * 10 + digit
  }
  return ticks <= Number.MAX_SAFE_INTEGER ? ticks : exactTicks(bytes, from, to)
}

function exactTicks(bytes: Uint8Array, from: number, to: number): bigint {
  let first = from
  while (bytes[first] === ZERO) first++
  const digits = bytes.subarray(first, Math.min(to, first + DIGITS_THAT_COUNT))
  return BigInt(String.fromCharCode(...digits))
}
