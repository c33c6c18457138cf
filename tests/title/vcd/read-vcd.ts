import { CaptureReader } from './capture-reader.ts'

/** Reads one wire out of a whole dump; see {@link CaptureReader}. */
export function readVcd(
  bytes: Uint8Array,
  options: ConstructorParameters<typeof CaptureReader>[0] = {},
): ReturnType<CaptureReader['finish']> {
  const reader = new CaptureReader(options)
  reader.push(bytes)
  return reader.finish()
}
