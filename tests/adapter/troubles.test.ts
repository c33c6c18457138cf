import { expect, test } from 'vitest'
import { DEVICE_ERRORS } from '../../src/adapter/constants.ts'
import { sentenceFor } from '../../src/adapter/troubles.ts'
import type { Trouble } from '../../src/adapter/troubles.ts'

/** One of each; the compiler sees to it that none is missing. */
const ONE_OF_EACH: { readonly [K in Trouble['kind']]: Extract<Trouble, { kind: K }> } = {
  'no-device-api': { kind: 'no-device-api', secure: true },
  'refused-by-page': { kind: 'refused-by-page' },
  'nothing-chosen': { kind: 'nothing-chosen' },
  held: { kind: 'held' },
  'no-permission': { kind: 'no-permission' },
  'held-or-no-permission': { kind: 'held-or-no-permission' },
  'no-serial-interface': { kind: 'no-serial-interface' },
  'unplugged-while-opening': { kind: 'unplugged-while-opening' },
  'open-failed': { kind: 'open-failed', detail: 'some words' },
  unplugged: { kind: 'unplugged' },
  silent: { kind: 'silent' },
  'not-ninepin': { kind: 'not-ninepin' },
  'protocol-newer': { kind: 'protocol-newer', major: 2, minor: 1 },
  'protocol-older': { kind: 'protocol-older', major: 0, minor: 9 },
  'stopped-answering': { kind: 'stopped-answering' },
  nonsense: { kind: 'nonsense', request: 'status' },
  'device-error': {
    kind: 'device-error',
    request: 'commit',
    error: { code: 99, name: 'unlisted', requestType: 4 },
  },
  'image-empty': { kind: 'image-empty' },
  'image-too-large': { kind: 'image-too-large', bytes: 600, largestBytes: 512 },
  'verify-differs': { kind: 'verify-differs', place: 2, offset: 17 },
  'read-differs': { kind: 'read-differs', place: 3 },
  cancelled: { kind: 'cancelled', place: 4 },
  'firmware-older': { kind: 'firmware-older', lacks: 'pad history', needs: { major: 1, minor: 1 } },
  'stored-differs': { kind: 'stored-differs' },
  closed: { kind: 'closed' },
}
const all: Trouble[] = [
  ...Object.values(ONE_OF_EACH),
  { kind: 'no-device-api', secure: false },
  { kind: 'verify-differs', place: 'trial', offset: 17 },
  { kind: 'cancelled', place: 'trial' },
  { kind: 'firmware-older', lacks: 'trial slot', needs: { major: 1, minor: 2 } },
  ...DEVICE_ERRORS.map((name, k): Trouble => ({
    kind: 'device-error',
    request: 'commit',
    error: { code: k + 1, name, requestType: 4 },
  })),
]

/** A step that somebody can take. */
const NEXT_STEP =
  /\b(choose|pick|press|plug|unplug|close|open|add|load|update|flash|try|build|read|take|wait|connect)\b/i

test.each(all.map((trouble) => [sentenceFor(trouble), trouble.kind]))('%s', (sentence) => {
  expect(sentence).toMatch(/^[A-Z].*\.$/)
  expect(sentence).toMatch(NEXT_STEP)
  expect(sentence).not.toMatch(/undefined|null|NaN|\[object/)
})

test('no two troubles share their sentence', () => {
  expect(new Set(all.map(sentenceFor)).size).toBe(all.length)
})

test('what was asked for is said', () => {
  expect(sentenceFor({ kind: 'no-permission' })).toMatch(/group.*dialout.*log out and in again.*udev/s)
  expect(sentenceFor({ kind: 'held' })).toMatch(/tab or program/)
  expect(sentenceFor({ kind: 'not-ninepin' })).toContain('Nothing was written to it')
  expect(sentenceFor({ kind: 'no-device-api', secure: true })).toMatch(/Chromium.*Everything else works/s)
  expect(sentenceFor(ONE_OF_EACH['device-error'])).toContain('99')
  expect(sentenceFor(ONE_OF_EACH['protocol-newer'])).toContain('2.1')
  expect(sentenceFor(ONE_OF_EACH['open-failed'])).toContain('some words')
})
