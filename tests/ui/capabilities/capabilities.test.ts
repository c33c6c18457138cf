import { describe, expect, it } from 'vitest'
import { CAPABILITIES, capabilitiesOf, lackWords } from '../../../src/ui/capabilities/capabilities.ts'
import { engineTexts, nameTexts, withoutTexts } from '../../../src/ui/capabilities/capability-texts.ts'

const everything = { getGamepads: () => [], hid: {}, serial: {}, usb: {} }

describe('what a browser has', () => {
  it('is read off its navigator', () => {
    const all = capabilitiesOf({ navigator: everything, isSecureContext: true })
    expect(Object.values(all)).toEqual(CAPABILITIES.map(() => true))
    for (const [one, property] of [
      ['gamepad', 'getGamepads'],
      ['hid', 'hid'],
      ['serial', 'serial'],
      ['usb', 'usb'],
    ] as const) {
      const without = { ...everything, [property]: undefined }
      const seen = capabilitiesOf({ navigator: without, isSecureContext: true })
      expect(CAPABILITIES.filter((name) => !seen[name])).toEqual([one])
    }
  })

  it('is said in one line, a page that is not secure before all else', () => {
    const has = (navigator: object, isSecureContext = true) => capabilitiesOf({ navigator, isSecureContext })
    expect(lackWords(has(everything), CAPABILITIES)).toBe('This browser has all that is used here')
    expect(lackWords(has({ getGamepads: true }), ['gamepad', 'hid'])).toBe('This browser lacks WebHID')
    expect(lackWords(has({}), ['gamepad', 'hid', 'serial'])).toBe(
      'This browser lacks Gamepad API, WebHID and Web Serial',
    )
    expect(lackWords(has({}, false), CAPABILITIES)).toMatch(/not secure/)
  })

  it('has for each what works without it and who has it', () => {
    for (const one of CAPABILITIES)
      for (const words of [nameTexts[one], withoutTexts[one], engineTexts[one]])
        expect(words).toMatch(/^\S.*[^.\s]$/)
  })
})
