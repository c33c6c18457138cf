import type { Layout } from '../../pad/layout/schema.ts'
import { fitLayouts, IMAGE_EXTRACTORS, IMAGE_PADS } from '../../profile/fit-layouts.ts'
import { layoutsOfImage } from '../../profile/decode-image.ts'
import { shadowing } from '../../profile/shadowing.ts'
import type { AdapterNote } from '../../shelf/desk.ts'
import type { FileContent } from '../../shelf/files.ts'
import type { LayoutEntry } from '../../shelf/entry.ts'
import { sameInImage } from '../../profile/same-in-image.ts'
import { listWords } from '../../words/lists.ts'
import { t } from './adapter-pads-texts.ts'
import { bankOrder } from './bank-order.ts'

/** Which pads go into the banks of an adapter. */

type Chosen = AdapterNote['layoutIds']

/** A layout of the shelf, as it stands to an adapter. */
export interface PadAtAdapter {
  readonly entry: LayoutEntry
  /** The user means it for this adapter. */
  readonly isMeant: boolean
  /** It goes into a bank. */
  readonly isIn: boolean
  /** What to know of it, in a sentence; `null` for nothing. */
  readonly remark: string | null
}

/** @param chosen the layouts meant for the adapter; `null` for all */
export function padsAtAdapter(onShelf: readonly LayoutEntry[], chosen: Chosen): readonly PadAtAdapter[] {
  const isMeant = ({ id }: LayoutEntry) => chosen === null || chosen.includes(id)
  const { fit, leftOut } = fitLayouts(bankOrder(onShelf.filter(isMeant)))
  return onShelf.map((one) => {
    const layout = one.document
    const place = fit.indexOf(layout)
    const first = place < 0 ? undefined : shadowing(layout, fit.slice(0, place))
    const refused = leftOut.find((left) => left.layout === layout)
    return {
      entry: one,
      isMeant: isMeant(one),
      isIn: place >= 0,
      remark: refused
        ? t.leftOut({ why: refused.sentence })
        : first
          ? t.shadowed({ name: layout.name, by: first.name })
          : null,
    }
  })
}

/** The layouts meant for an adapter once one of them is taken in or left out; in the order of the shelf. */
export function withMeant(
  onShelf: readonly LayoutEntry[],
  chosen: Chosen,
  id: string,
  isMeant: boolean,
): string[] {
  return onShelf
    .map((one) => one.id)
    .filter((other) => (other === id ? isMeant : chosen === null || chosen.includes(other)))
}

/** How much of a bank's room for pads is taken: "2 of 4 pads, 31 of 64 controls". */
export function roomWords(layouts: readonly Layout[]): string {
  const controls = layouts.reduce((sum, { extractors }) => sum + extractors.length, 0)
  return t.room({
    pads: layouts.length,
    mostPads: IMAGE_PADS,
    places: controls,
    mostPlaces: IMAGE_EXTRACTORS,
  })
}

/** "Loan pad and Booth pad"; "no pad" where there is none. */
export const padNames = (layouts: readonly Layout[]): string =>
  layouts.length === 0 ? t.noPad : listWords(layouts.map(({ name }) => name))

/** The layouts of an image, parted into those that the shelf has already and those that it has not. */
export function padsOfBank(
  image: Uint8Array,
  onShelf: readonly LayoutEntry[],
): { readonly there: readonly LayoutEntry[]; readonly missing: readonly FileContent[] } {
  const there: LayoutEntry[] = []
  const missing: FileContent[] = []
  for (const document of layoutsOfImage(image)) {
    const same = onShelf.find((one) => sameInImage(one.document, document))
    if (same) there.push(same)
    else missing.push({ kind: 'layout', document })
  }
  return { there, missing }
}
