/* eslint-disable texts/in-script -- keys of a file */
import { foreign } from '../../words/foreign.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { t } from './session-texts.ts'

/** What a session file says of its logic samples. */
export interface SessionMetadata {
  /** Exact. */
  readonly samplerateHz: number
  /** Bytes in a sample; bit `k` of it, from the lowest of the first byte, is probe `k + 1`. */
  readonly unitBytes: number
  /** Name of the entries with the samples. */
  readonly captureFile: string
  readonly channels: readonly SessionChannel[]
}

export interface SessionChannel {
  readonly name: string
  readonly bit: number
}

/** 512 probes; more than any capture device has. */
const MAX_UNIT_BYTES = 64
const MAX_SAMPLERATE_HZ = 1e12

const UNITS: Readonly<Record<string, number>> = { Hz: 1, kHz: 1e3, MHz: 1e6, GHz: 1e9 }

/** A rate such as `24 MHz`, `12.5 MHz` or `1000000`, in whole Hz; nothing for any other text. */
export function parseSamplerate(text: string): number | undefined {
  const form = /^(\d{1,13})(?:\.(\d{1,12}))? ?(Hz|kHz|MHz|GHz)?$/.exec(text.trim())
  if (form === null) return undefined
  const [, whole = '', fraction = '', unit = 'Hz'] = form
  const perUnit = UNITS[unit] ?? 1
  // One division of whole numbers, so that nothing is rounded twice.
  const hz = (Number(whole + fraction) * perUnit) / 10 ** fraction.length
  return hz >= 1 && hz <= MAX_SAMPLERATE_HZ ? Math.round(hz) : undefined
}

/** Reads the entry `metadata` of a session file: sections of `key=value` lines. A fault is a sentence. */
export function parseMetadata(text: string): Result<SessionMetadata, string> {
  const devices = sections(text).filter(({ name }) => name.startsWith('device'))
  const device = devices.find(({ keys }) => keys.has('capturefile'))
  if (device === undefined) {
    const analog = devices.some(({ keys }) => Number(keys.get('total analog') ?? 0) > 0)
    return err(analog ? t.analogOnly : t.noSamples)
  }
  const { keys } = device
  const samplerateHz = parseSamplerate(keys.get('samplerate') ?? '')
  if (samplerateHz === undefined) {
    return err(t.noSamplerate)
  }
  const unitBytes = Number(keys.get('unitsize'))
  if (!Number.isInteger(unitBytes) || unitBytes < 1 || unitBytes > MAX_UNIT_BYTES) {
    return err(t.unitsize({ most: MAX_UNIT_BYTES }))
  }
  const channels: SessionChannel[] = []
  for (const [key, name] of keys) {
    const number = /^probe(\d{1,4})$/.exec(key)?.[1]
    if (number === undefined) continue
    const bit = Number(number) - 1
    if (bit < 0 || bit >= 8 * unitBytes) return err(t.noBit({ number }))
    channels.push({ name, bit })
  }
  if (channels.length === 0) return err(t.noChannel)
  return ok({ samplerateHz, unitBytes, captureFile: keys.get('capturefile') ?? '', channels })
}

interface Section {
  readonly name: string
  readonly keys: Map<string, string>
}

function sections(text: string): Section[] {
  const found: Section[] = []
  for (const line of text.split(/\r?\n/)) {
    const name = /^\s*\[(.*)\]\s*$/.exec(line)?.[1]
    const equals = line.indexOf('=')
    if (name !== undefined) found.push({ name: name.trim(), keys: new Map() })
    else if (equals > 0)
      found.at(-1)?.keys.set(line.slice(0, equals).trim(), foreign(line.slice(equals + 1).trim()))
  }
  return found
}
