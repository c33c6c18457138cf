import { PROTOCOL } from '../adapter/constants.ts'
import { sentenceFor } from '../adapter/troubles.ts'
import type { Trouble } from '../adapter/troubles.ts'
import { troubleTexts as t } from './fault-texts.ts'

/**
 * What happened and what to do next, for people at a terminal: they have no page, no list to choose from and no Connect to
 * press. What a page says as well is said in the same words.
 */
export function sentenceAtTerminal(trouble: Trouble): string {
  switch (trouble.kind) {
    case 'held':
      return t.held
    case 'no-permission':
      return t.noPermission
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
      switch (trouble.error.name) {
        case 'wrong length':
          return t.wrongLength
        case 'out of range':
          return t.outOfRange
        case 'identify first':
          return t.identifyFirst
        case 'unlisted':
          return t.unlisted({ code: trouble.error.code })
        default:
          return sentenceFor(trouble)
      }
    default:
      return sentenceFor(trouble)
  }
}

const version = ({ major, minor }: { readonly major: number; readonly minor: number }) => `${major}.${minor}`
