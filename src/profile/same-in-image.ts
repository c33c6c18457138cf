import { sameJson } from '../document/same-json.ts'
import type { Layout } from '../pad/layout/schema.ts'

/** Whether two layouts are one and the same in an image. An image keeps no notes, so they tell no two layouts apart. */
export const sameInImage = (one: Layout, other: Layout): boolean =>
  sameJson({ ...one, notes: '' }, { ...other, notes: '' })
