import { PROTOCOL } from './constants.ts'
import type { RequestKind } from './messages.ts'
import type { Place } from './place.ts'
import type { DeviceError } from './replies.ts'
import { refusalTexts, t } from './trouble-texts.ts'

/** Everything that can go wrong before a connection is open. */
export type OpenTrouble =
  | { readonly kind: 'no-device-api'; readonly secure: boolean }
  | { readonly kind: 'refused-by-page' }
  | { readonly kind: 'nothing-chosen' }
  | { readonly kind: 'held' }
  | { readonly kind: 'no-permission' }
  /** Where the browser tells the last two no further apart. */
  | { readonly kind: 'held-or-no-permission' }
  | { readonly kind: 'no-serial-interface' }
  | { readonly kind: 'unplugged-while-opening' }
  /** Something that the specifications do not foresee; the browser's own words are kept. */
  | { readonly kind: 'open-failed'; readonly detail: string }

/** Everything that can go wrong over an open connection. */
export type LinkTrouble =
  | { readonly kind: 'unplugged' }
  | { readonly kind: 'silent' }
  | { readonly kind: 'not-ninepin' }
  | { readonly kind: 'protocol-newer'; readonly major: number; readonly minor: number }
  | { readonly kind: 'protocol-older'; readonly major: number; readonly minor: number }
  | { readonly kind: 'stopped-answering' }
  | { readonly kind: 'nonsense'; readonly request: RequestKind }
  | { readonly kind: 'device-error'; readonly request: RequestKind; readonly error: DeviceError }
  | { readonly kind: 'image-empty' }
  | { readonly kind: 'image-too-large'; readonly bytes: number; readonly largestBytes: number }
  | { readonly kind: 'verify-differs'; readonly place: Place; readonly offset: number }
  | { readonly kind: 'read-differs'; readonly place: Place }
  | { readonly kind: 'cancelled'; readonly place: Place }
  /** What was asked came to the link with a later version than the adapter speaks. */
  | {
      readonly kind: 'firmware-older'
      readonly lacks: 'pad history' | 'trial slot'
      readonly needs: { readonly major: number; readonly minor: number }
    }
  /** What is kept of pads does not read as a whole. */
  | { readonly kind: 'stored-differs' }
  | { readonly kind: 'closed' }

export type Trouble = OpenTrouble | LinkTrouble

const version = ({ major, minor }: { readonly major: number; readonly minor: number }) => `${major}.${minor}`

/** What happened and what to do next, for people at a page. */
export function sentenceFor(trouble: Trouble): string {
  switch (trouble.kind) {
    case 'no-device-api':
      return trouble.secure ? t.noDeviceApi : t.notSecure
    case 'refused-by-page':
      return t.refusedByPage
    case 'nothing-chosen':
      return t.nothingChosen
    case 'held':
      return t.held
    case 'no-permission':
      return `${t.noPermission} ${t.linuxRights}`
    case 'held-or-no-permission':
      return `${t.heldOrNoPermission} ${t.linuxRights}`
    case 'no-serial-interface':
      return t.noSerialInterface
    case 'unplugged-while-opening':
      return t.unpluggedWhileOpening
    case 'open-failed':
      return t.openFailed({ detail: trouble.detail })
    case 'unplugged':
      return t.unplugged
    case 'silent':
      return t.silent
    case 'not-ninepin':
      return t.notNinepin
    case 'protocol-newer':
      return t.protocolNewer({ spoken: version(trouble), known: version(PROTOCOL) })
    case 'protocol-older':
      return t.protocolOlder({ spoken: version(trouble), known: version(PROTOCOL) })
    case 'stopped-answering':
      return t.stoppedAnswering
    case 'nonsense':
      return t.nonsense
    case 'device-error':
      return trouble.error.name === 'unlisted'
        ? t.unlisted({ code: trouble.error.code })
        : refusalTexts[trouble.error.name]
    case 'image-empty':
      return t.imageEmpty
    case 'image-too-large':
      return t.imageTooLarge({ bytes: trouble.bytes, most: trouble.largestBytes })
    case 'verify-differs':
      return trouble.place === 'trial'
        ? t.trialDiffers
        : t.verifyDiffers({ bank: trouble.place, offset: trouble.offset })
    case 'read-differs':
      return trouble.place === 'trial' ? t.trialDiffers : t.readDiffers({ bank: trouble.place })
    case 'cancelled':
      return trouble.place === 'trial' ? t.trialCancelled : t.cancelled({ bank: trouble.place })
    case 'firmware-older':
      return trouble.lacks === 'trial slot'
        ? t.noTrialSlot({ needed: version(trouble.needs) })
        : t.firmwareOlder({ needed: version(trouble.needs) })
    case 'stored-differs':
      return t.keptDiffers
    case 'closed':
      return t.closed
  }
}
