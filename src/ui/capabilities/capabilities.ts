/** What this browser has of the interfaces to devices, and what works here without them. */

import { listWords } from '../../words/lists.ts'
import { nameTexts, t } from './capability-texts.ts'

export const CAPABILITIES = ['secure', 'gamepad', 'hid', 'serial', 'usb'] as const
export type Capability = (typeof CAPABILITIES)[number]

/** What is asked of the browser. */
export interface BrowserSeen {
  readonly navigator: object
  readonly isSecureContext: boolean
}

/** Whether an interface is there; what is there but empty counts as missing. */
const has = (navigator: object, name: string): boolean => Boolean(Reflect.get(navigator, name))

export const capabilitiesOf = ({
  navigator,
  isSecureContext,
}: BrowserSeen): Readonly<Record<Capability, boolean>> => ({
  secure: isSecureContext,
  gamepad: has(navigator, 'getGamepads'),
  hid: has(navigator, 'hid'),
  serial: has(navigator, 'serial'),
  usb: has(navigator, 'usb'),
})

/** What the browser lacks of these, in one line. */
export function lackWords(present: Readonly<Record<Capability, boolean>>, of: readonly Capability[]): string {
  const missing = of.filter((one) => !present[one])
  if (missing.length === 0) return t.all
  if (missing.includes('secure')) return t.notSecure
  return t.lacks({ names: listWords(missing.map((one) => nameTexts[one])) })
}
