import { inferFromLine } from '../../../src/title/infer/infer.ts'
import { LineCleaner } from '../../../src/title/select-line.ts'

type Edges = Parameters<LineCleaner['push']>
type Cleaned = Parameters<LineCleaner['finish']>[0]
type Inferred = ReturnType<typeof inferFromLine>

/** Finds a title's read pattern in the edges of its select line, all at once. See {@link inferFromLine}. */
export function inferTitle(
  capture: { readonly timesNs: Edges[0]; readonly values: Edges[1] } & Cleaned,
  origin: Parameters<typeof inferFromLine>[1],
): Inferred {
  const cleaner = new LineCleaner()
  cleaner.push(capture.timesNs, capture.values)
  return inferFromLine(cleaner.finish(capture), origin)
}
