/** What this browser has of the interfaces to devices, and what works here without them. */

export const CAPABILITIES = ['secure', 'gamepad', 'hid', 'serial', 'usb'] as const
export type Capability = (typeof CAPABILITIES)[number]

/** What is asked of the browser. */
export interface BrowserSeen {
  readonly navigator: object
  readonly isSecureContext: boolean
}

export interface CapabilityFacts {
  readonly name: string
  /** What it is for here. */
  readonly serves: string
  /** What works without it. */
  readonly without: string
  /** Engines that have it, as they were in 2025, from memory; a browser is what its engine is. */
  readonly engines: string
}

export const CAPABILITY_FACTS: Readonly<Record<Capability, CapabilityFacts>> = {
  secure: {
    name: 'A secure page',
    serves: 'without it browsers hand out no devices at all',
    without:
      'everything that needs no device; open the page with https or from this machine (localhost) for the rest',
    engines: 'every browser; it hangs on the address of the page',
  },
  gamepad: {
    name: 'Gamepad API',
    serves: 'a pad at this computer shows on every sheet',
    without: 'the keyboard and the drawn pad play; a pad at an adapter shows through the adapter',
    engines: 'Chromium, Gecko and WebKit, on desktop and on phones',
  },
  hid: {
    name: 'WebHID',
    serves: 'learning a pad from its own reports, and reading it at its own rate',
    without:
      'a pad is learned from its report descriptor, from what an adapter met, or as the Gamepad API shows it',
    engines: 'Chromium on desktop; not Chromium on phones, not Gecko, not WebKit',
  },
  serial: {
    name: 'Web Serial',
    serves: 'reaching an adapter',
    without:
      'WebUSB does the same where it is there; else images are saved as files and dragged onto the adapter',
    engines: 'Chromium on desktop; not Gecko, not WebKit',
  },
  usb: {
    name: 'WebUSB',
    serves: 'reaching an adapter where there is no Web Serial, as on phones',
    without:
      'Web Serial does the same where it is there; else images are saved as files and dragged onto the adapter',
    engines: 'Chromium on desktop and on Android; not Gecko, not WebKit',
  },
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

/** "This browser has all of it." or what it lacks, in one line. */
export function lackWords(present: Readonly<Record<Capability, boolean>>, of: readonly Capability[]): string {
  const missing = of.filter((one) => !present[one])
  if (missing.length === 0) return 'This browser has all that is used here'
  if (missing.includes('secure')) return 'This page is not secure, so browsers hand out no devices here'
  const names = missing.map((one) => CAPABILITY_FACTS[one].name)
  const last = names.pop() ?? ''
  return `This browser lacks ${[names.join(', '), last].filter(Boolean).join(' and ')}`
}
