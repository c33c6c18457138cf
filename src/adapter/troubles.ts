import type { BankNumber } from './constants.ts'
import { PROTOCOL } from './constants.ts'
import type { RequestKind } from './messages.ts'
import type { DeviceError, DeviceErrorName } from './replies.ts'

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
  | { readonly kind: 'verify-differs'; readonly bank: BankNumber; readonly offset: number }
  | { readonly kind: 'read-differs'; readonly bank: BankNumber }
  | { readonly kind: 'cancelled'; readonly bank: BankNumber }
  /** What was asked came to the link with a later version than the adapter speaks. */
  | { readonly kind: 'firmware-older'; readonly needs: { readonly major: number; readonly minor: number } }
  /** What is kept of pads does not read as a whole. */
  | { readonly kind: 'kept-differs' }
  | { readonly kind: 'closed' }

export type Trouble = OpenTrouble | LinkTrouble

const UNFINISHED = 'A bank that was not finished keeps its old content.'
const CONNECT_AGAIN = 'Unplug the adapter, plug it in again and choose Connect.'
const LET_GO =
  'Close the other tab or program that uses it (a serial console, another copy of this page), then choose Connect again.'
const LINUX_RIGHTS =
  'On Linux, your account may not use serial devices: add yourself to the group that owns the device ' +
  '(dialout on Debian and its relatives: sudo usermod -aG dialout $USER), log out and in again, ' +
  'or have an administrator add a udev rule for the adapter; then choose Connect again.'

const DEVICE_SENTENCES: Record<DeviceErrorName, string> = {
  'unknown message':
    'The adapter does not know this request. Update its firmware; everything it did before works as before.',
  'wrong length':
    'The adapter could not read the request. Update its firmware, or load this page anew, and try again.',
  'identify first': `The adapter has started anew in the middle. ${UNFINISHED} Choose Connect and try again.`,
  'no such bank': 'The adapter has no such bank. Choose one of its four banks.',
  'image too large':
    'The adapter has no room for this image. Take layers or rules out of the profile and try again.',
  'out of range':
    'The adapter refused a piece of the image. Update its firmware, or load this page anew, and try again.',
  incomplete: `A piece of the image did not arrive. ${UNFINISHED} Flash it again.`,
  'checksum differs': `The image arrived damaged. ${UNFINISHED} Flash it again; if it happens again, try another cable.`,
  'not an image': `The adapter does not take this for an image that it can run. ${UNFINISHED} Update its firmware, then flash again.`,
  'bank empty': 'That bank is empty. Flash a profile into it first, or choose another bank.',
  'memory failed': `The adapter could not store it. ${UNFINISHED} Try again; if it happens again, use another bank.`,
  busy: 'The adapter is busy. Wait a moment and try again.',
  'nothing kept':
    'The adapter keeps nothing of that kind. Plug the pad into it, with the console on, and come back.',
}

const version = ({ major, minor }: { readonly major: number; readonly minor: number }) => `${major}.${minor}`

/** What happened and what to do next, for people. */
export function sentenceFor(trouble: Trouble): string {
  switch (trouble.kind) {
    case 'no-device-api':
      return trouble.secure
        ? 'This browser cannot reach serial or USB devices. Browsers built on Chromium can, on desktop and on Android: open this page there to connect. ' +
            'Everything else works here: the demo adapter, profiles, titles, and files in and out.'
        : 'Browsers reach devices only from a secure page. Open this page with https, or from this machine itself (localhost), and connect there. ' +
            'Everything else works here: the demo adapter, profiles, titles, and files in and out.'
    case 'refused-by-page':
      return 'The browser does not let this page ask for devices. Press Connect yourself; if the page stands inside another one, open it on its own; on a managed machine, ask who manages the browser.'
    case 'nothing-chosen':
      return 'Nothing was chosen in the browser’s list. Choose Connect again and pick the adapter; if it is not listed, check that the cable carries data and not only power, and plug it in again.'
    case 'held':
      return `Another tab or program holds the adapter. ${LET_GO}`
    case 'no-permission':
      return `The system does not let this browser use the device. ${LINUX_RIGHTS}`
    case 'held-or-no-permission':
      return `The browser could not open the device and does not say why. Another tab or program may hold it: close that first. ${LINUX_RIGHTS}`
    case 'no-serial-interface':
      return 'That device has no serial interface, so it is no Ninepin adapter. Nothing was written to it. Choose Connect again and pick another.'
    case 'unplugged-while-opening':
      return 'The device went away while it was being opened. Plug it in again, without a hub if you can, and choose Connect.'
    case 'open-failed':
      return `The browser could not open the device (it says: ${trouble.detail}). Unplug it, plug it in again and choose Connect.`
    case 'unplugged':
      return `The adapter was unplugged, or lost its power. ${UNFINISHED} Plug it in again and choose Connect.`
    case 'silent':
      return 'Nothing answered. Nothing was written. If this is your adapter, unplug it, plug it in again and choose Connect; otherwise pick another device in the list.'
    case 'not-ninepin':
      return 'Something answered, but not as a Ninepin adapter does. Nothing was written to it. Choose Connect again and pick another device; if this is your adapter, unplug it and plug it in again first.'
    case 'protocol-newer':
      return `The adapter speaks version ${version(trouble)} of the link, this page knows ${version(PROTOCOL)}. Nothing was written to it. Load the newest version of this page and choose Connect again.`
    case 'protocol-older':
      return `The adapter speaks version ${version(trouble)} of the link, too old for this page (${version(PROTOCOL)}). Nothing was written to it. Update the adapter’s firmware and choose Connect again.`
    case 'stopped-answering':
      return `The adapter stopped answering. A bank holds its old content or the whole new one, never a part. ${CONNECT_AGAIN} Then read the bank back.`
    case 'nonsense':
      return `The adapter answered in a way that the link does not allow. ${CONNECT_AGAIN} If it happens again, update its firmware.`
    case 'device-error':
      return trouble.error.name === 'unlisted'
        ? `The adapter refused, for a reason this page does not know (code ${trouble.error.code}). Load the newest version of this page and try again.`
        : DEVICE_SENTENCES[trouble.error.name]
    case 'image-empty':
      return 'There is nothing in this image. Nothing was written. Build it again from the profile.'
    case 'image-too-large':
      return `The image has ${trouble.bytes} bytes, the adapter takes ${trouble.largestBytes}. Nothing was written. Take layers or rules out of the profile and try again.`
    case 'verify-differs':
      return `Bank ${trouble.bank} reads back differently from what was written, first at byte ${trouble.offset}. Do not rely on it: flash it again, and if it happens again use another bank.`
    case 'read-differs':
      return `What was read from bank ${trouble.bank} does not match its check value. Read it again; if it happens again, flash the bank anew.`
    case 'cancelled':
      return `Flashing was stopped. Bank ${trouble.bank} keeps its old content. Flash again whenever you like.`
    case 'firmware-older':
      return `This adapter’s firmware is older: it keeps nothing of the pads it meets (that takes version ${version(trouble.needs)} of the link). Update its firmware; everything else works as before.`
    case 'kept-differs':
      return 'What the adapter keeps of its pads could not be read as a whole. Read it again; if it happens again, have it forget them and plug the pad in anew.'
    case 'closed':
      return 'The adapter is no longer connected. Choose Connect first.'
  }
}
