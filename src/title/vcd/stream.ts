import type { Result } from '../../port/result.ts'
import type { Capture, CaptureSpan, ChangeSink, VcdFault } from './capture.ts'
import type { ListedWire } from './list.ts'
import { WireLister } from './list.ts'
import type { VcdOptions } from './read.ts'
import { CaptureReader, VcdReader } from './read.ts'

/** Where the bytes of a dump come from: `file.stream()` in a browser, `createReadStream(path)` in Node. */
export type VcdSource = AsyncIterable<Uint8Array> | ReadableStream<Uint8Array>

/** What the one who waits wants to know, and may want to say. */
export interface Watch {
  /** Once aborted, the promise is rejected with its reason before the next chunk is read. */
  readonly abort?: AbortSignal
  /** Told after every chunk. */
  readonly onProgress?: (bytesRead: number) => void
}

/** Takes a dump in chunks, until it has what it needs. */
interface Reader<T> {
  push(chunk: Uint8Array): boolean
  finish(): Result<T, VcdFault>
}

/** Reads one wire out of a dump and keeps its changes. Only what the source throws, an abort included, is thrown. */
export const readVcdStream = (
  source: VcdSource,
  options: VcdOptions & Watch = {},
): Promise<Result<Capture, VcdFault>> => pump(source, new CaptureReader(options), options)

/** As {@link readVcdStream}, but hands the changes to `sink` instead, in bounded memory however many they are. */
export const readVcdStreamTo = (
  sink: ChangeSink,
  source: VcdSource,
  options: VcdOptions & Watch = {},
): Promise<Result<CaptureSpan, VcdFault>> => pump(source, new VcdReader(sink, options), options)

/** The one-bit wires of a dump. No more of the source is read than the header, to the end of a chunk. */
export const listWires = (
  source: VcdSource,
  watch: Watch = {},
): Promise<Result<readonly ListedWire[], VcdFault>> => pump(source, new WireLister(), watch)

async function pump<T>(
  source: VcdSource,
  reader: Reader<T>,
  { abort, onProgress }: Watch,
): Promise<Result<T, VcdFault>> {
  let bytesRead = 0
  abort?.throwIfAborted()
  for await (const chunk of chunksOf(source)) {
    abort?.throwIfAborted()
    const more = reader.push(chunk)
    onProgress?.((bytesRead += chunk.length))
    if (!more) break
  }
  return reader.finish()
}

/** Not every browser can loop over a ReadableStream. Leaving the loop early tells the source that no more is wanted. */
async function* chunksOf(source: VcdSource): AsyncGenerator<Uint8Array> {
  if (!('getReader' in source)) {
    yield* source
    return
  }
  const reader = source.getReader()
  try {
    for (;;) {
      const { done, value } = await reader.read()
      if (done) return
      yield value
    }
  } finally {
    await reader.cancel()
  }
}
