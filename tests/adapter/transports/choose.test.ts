import { expect, test } from 'vitest'
import { chooseTransport } from '../../../src/adapter/transports/choose.ts'
import type { BrowserApis } from '../../../src/adapter/transports/choose.ts'
import { connect } from '../../../src/adapter/session.ts'
import { FakeSerial } from './fake-serial.ts'
import { FakeUsb } from './fake-usb.ts'

const browser = (navigator: Partial<BrowserApis['navigator']>, isSecureContext = true): BrowserApis => ({
  navigator: { userAgent: 'Mozilla/5.0', ...navigator },
  isSecureContext,
})
const kindOf = (apis: BrowserApis) => {
  const chosen = chooseTransport(apis)
  return chosen.ok ? chosen.value.kind : chosen.error
}

test('Web Serial before WebUSB, and the reason when there is neither', () => {
  const serial = new FakeSerial()
  const usb = new FakeUsb()
  expect(kindOf(browser({ serial, usb }))).toBe('web-serial')
  expect(kindOf(browser({ usb }))).toBe('web-usb')
  expect(kindOf(browser({}))).toEqual({ kind: 'no-device-api', secure: true })
  expect(kindOf(browser({}, false))).toEqual({ kind: 'no-device-api', secure: false })
})

test.each([
  ['Mozilla/5.0 (X11; Linux x86_64)', 'held-or-no-permission'],
  ['Mozilla/5.0 (Linux; Android 15)', 'held'],
  ['Mozilla/5.0 (Windows NT 10.0; Win64; x64)', 'held'],
])('only on Linux may it be the permission: %s', async (userAgent, kind) => {
  const serial = new FakeSerial()
  serial.port.failing.set('open', 'NetworkError')
  const chosen = chooseTransport(browser({ serial, userAgent }))
  expect(chosen.ok && (await connect(chosen.value))).toMatchObject({ error: { kind } })
})
