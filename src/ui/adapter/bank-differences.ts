import { sameItems } from '../../document/same-items.ts'
import { sameJson } from '../../document/same-json.ts'
import { layoutsOfImage } from '../../profile/decode-image.ts'
import type { Profile } from '../../profile/schema.ts'
import { differences } from '../../shelf/difference.ts'
import type { BankView } from './adapter-link.svelte.ts'
import { t } from './bank-differences-texts.ts'

/**
 * In what a bank differs from a profile and its image: `null` when the bank is empty or unreadable, nothing when it is equal.
 */
export function bankDifferences(
  { image, profile }: Pick<BankView, 'image' | 'profile'>,
  own: { readonly profile: Profile; readonly image: Uint8Array },
): readonly string[] | null {
  if (image === null || profile === null) return null
  if (sameItems(image, own.image)) return []
  const pads = sameJson(layoutsOfImage(image), layoutsOfImage(own.image)) ? [] : [t.pads]
  return [...differences(own.profile, profile), ...pads]
}
