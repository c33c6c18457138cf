import { PROTOCOL } from '../../src/adapter/constants.ts'
import { describe, expect, it } from 'vitest'
import { DEVICE_ERRORS } from '../../src/adapter/constants.ts'
import type { Trouble } from '../../src/adapter/troubles.ts'
import { sentenceAtTerminal } from '../../src/cli/trouble-words.ts'

/** What only a page can meet. */
type OfPages =
  | 'no-device-api'
  | 'refused-by-page'
  | 'nothing-chosen'
  | 'held-or-no-permission'
  | 'no-serial-interface'
  | 'cancelled'
  | 'closed'

const ONE_OF_EACH: { readonly [K in Exclude<Trouble['kind'], OfPages>]: Extract<Trouble, { kind: K }> } = {
  held: { kind: 'held' },
  'no-permission': { kind: 'no-permission' },
  'unplugged-while-opening': { kind: 'unplugged-while-opening' },
  'open-failed': { kind: 'open-failed', detail: 'Too many open files' },
  unplugged: { kind: 'unplugged' },
  silent: { kind: 'silent' },
  'not-ninepin': { kind: 'not-ninepin' },
  'protocol-newer': { kind: 'protocol-newer', major: 3, minor: 4 },
  'protocol-older': { kind: 'protocol-older', major: 0, minor: 9 },
  'stopped-answering': { kind: 'stopped-answering' },
  nonsense: { kind: 'nonsense', request: 'write' },
  'device-error': {
    kind: 'device-error',
    request: 'write',
    error: { code: 99, name: 'unlisted', requestType: 3 },
  },
  'image-empty': { kind: 'image-empty' },
  'image-too-large': { kind: 'image-too-large', bytes: 900, largestBytes: 512 },
  'verify-differs': { kind: 'verify-differs', place: 2, offset: 77 },
  'read-differs': { kind: 'read-differs', place: 2 },
  'firmware-older': { kind: 'firmware-older', lacks: 'pad history', needs: { major: 1, minor: 1 } },
  'stored-differs': { kind: 'stored-differs' },
}

const refusals = DEVICE_ERRORS.map((name, k): Trouble => ({
  kind: 'device-error',
  request: 'commit',
  error: { code: k + 1, name, requestType: 4 },
}))

const KNOWN = `${PROTOCOL.major}.${PROTOCOL.minor}`

describe('what is said of troubles at a terminal', () => {
  const sentences = [...Object.values(ONE_OF_EACH), ...refusals].map(sentenceAtTerminal)

  it('sends nobody to a page or to a button that is not there', () => {
    for (const sentence of sentences)
      expect(sentence).not.toMatch(/\bConnect\b|\bpage\b|[Tt]his browser|in the list/)
  })

  it('says something else of each', () => {
    expect(new Set(sentences).size).toBe(sentences.length)
  })

  it('keeps the figures', () => {
    expect(sentenceAtTerminal(ONE_OF_EACH['protocol-newer'])).toContain(
      `version 3.4 of the link, this program knows ${KNOWN}`,
    )
    expect(sentenceAtTerminal(ONE_OF_EACH['protocol-older'])).toMatch(
      new RegExp(`version 0\\.9 of the link, .*\\(${KNOWN}\\)`),
    )
    expect(sentenceAtTerminal(ONE_OF_EACH['open-failed'])).toContain('(the system says: Too many open files)')
    expect(sentenceAtTerminal(ONE_OF_EACH['device-error'])).toContain('(code 99)')
    expect(sentenceAtTerminal(ONE_OF_EACH['verify-differs'])).toContain('first at byte 77')
  })
})
