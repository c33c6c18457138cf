import { PROTOCOL } from '../adapter/constants.ts'
import { sentenceFor } from '../adapter/troubles.ts'
import type { Trouble } from '../adapter/troubles.ts'

const UNFINISHED = 'A bank that was not finished keeps its old content.'
const AGAIN = 'Unplug the adapter, plug it in again and run this again.'

/**
 * What happened and what to do next, for people at a terminal: they have no page, no list to choose from and no Connect to
 * press. What a page says as well is said in the same words.
 */
export function sentenceAtTerminal(trouble: Trouble): string {
  switch (trouble.kind) {
    case 'held':
      return 'Another program holds the adapter. Close it (a serial console, a browser tab with Ninepin, another ninepin) and run this again.'
    case 'no-permission':
      return (
        'The system does not let this account use the port. On Linux, add yourself to the group that owns the device ' +
        '(dialout on Debian and its relatives: sudo usermod -aG dialout $USER), log out and in again, ' +
        'or have an administrator add a udev rule for the adapter; then run this again.'
      )
    case 'unplugged-while-opening':
      return 'The device went away while it was being opened. Plug it in again, without a hub if you can, and run this again.'
    case 'open-failed':
      return `The port could not be opened (the system says: ${trouble.detail}). ${AGAIN}`
    case 'unplugged':
      return `The adapter was unplugged, or lost its power. ${UNFINISHED} Plug it in again and run this again.`
    case 'silent':
      return 'Nothing answered. Nothing was written. If this is your adapter, unplug it, plug it in again and run this again; otherwise give another port.'
    case 'not-ninepin':
      return 'Something answered, but not as a Ninepin adapter does. Nothing was written to it. Give another port; if this is your adapter, unplug it and plug it in again first.'
    case 'protocol-newer':
      return `The adapter speaks version ${version(trouble)} of the link, this program knows ${version(PROTOCOL)}. Nothing was written to it. Update Ninepin and run this again.`
    case 'protocol-older':
      return `The adapter speaks version ${version(trouble)} of the link, too old for this program (${version(PROTOCOL)}). Nothing was written to it. Update the adapter’s firmware and run this again.`
    case 'stopped-answering':
      return `The adapter stopped answering. A bank holds its old content or the whole new one, never a part. ${AGAIN}`
    case 'nonsense':
      return `The adapter answered in a way that the link does not allow. ${AGAIN} If it happens again, update its firmware.`
    case 'device-error':
      switch (trouble.error.name) {
        case 'wrong length':
          return 'The adapter could not read the request. Update its firmware, or Ninepin, and run this again.'
        case 'out of range':
          return 'The adapter refused a piece of the image. Update its firmware, or Ninepin, and run this again.'
        case 'identify first':
          return `The adapter has started anew in the middle. ${UNFINISHED} Run this again.`
        case 'unlisted':
          return `The adapter refused, for a reason this program does not know (code ${trouble.error.code}). Update Ninepin and run this again.`
        default:
          return sentenceFor(trouble)
      }
    default:
      return sentenceFor(trouble)
  }
}

const version = ({ major, minor }: { readonly major: number; readonly minor: number }) => `${major}.${minor}`
