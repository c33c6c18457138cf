import type { Layout } from '../../pad/layout/schema.ts'
import type { LayoutEntry } from '../../shelf/entry.ts'

/**
 * The newest first: of two layouts for one pad the bank uses the first, and this page the one that was learned last.
 */
export const bankOrder = (onShelf: readonly LayoutEntry[]): readonly Layout[] =>
  onShelf.map(({ document }) => document).toReversed()
