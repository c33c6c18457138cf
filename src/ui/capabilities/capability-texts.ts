import { texts } from '../../words/texts.ts'

export const t = texts('capabilities', {
  all: 'This browser has all that is used here',
  notSecure: 'This page is not secure, so browsers hand out no devices here',
  lacks: 'This browser lacks {names}',
  there: 'there',
  missing: 'missing',
  without: 'Without it: {what}.',
  engines: 'Available in: {engines}.',
})

export const nameTexts = texts('capability-names', {
  secure: 'A secure page',
  gamepad: 'Gamepad API',
  hid: 'WebHID',
  serial: 'Web Serial',
  usb: 'WebUSB',
})

/** What each is for here. */
export const useTexts = texts('capability-uses', {
  secure: 'Without it browsers hand out no devices at all.',
  gamepad: 'A pad at this computer shows on every sheet.',
  hid: 'Learning a pad from its own reports, and reading it at its own rate.',
  serial: 'Reaching an adapter.',
  usb: 'Reaching an adapter where there is no Web Serial, as on phones.',
})

/** What works without each. */
export const withoutTexts = texts('capability-without', {
  secure:
    'everything that needs no device; open the page with https or from this machine (localhost) for the rest',
  gamepad: 'the keyboard and the drawn pad work; a pad at an adapter shows through the adapter',
  hid: 'a pad is learned from its report descriptor, from the pad history of an adapter, or as the Gamepad API shows it',
  serial:
    'WebUSB does the same where available; otherwise save images as files and drag them onto the adapter',
  usb: 'Web Serial does the same where available; otherwise save images as files and drag them onto the adapter',
})

/** Engines that have each, as they were in 2025, from memory; a browser is what its engine is. */
export const engineTexts = texts('capability-engines', {
  secure: 'every browser; it depends on the address of the page',
  gamepad: 'Chromium, Gecko and WebKit, on desktop and on phones',
  hid: 'Chromium on desktop; not Chromium on phones, not Gecko, not WebKit',
  serial: 'Chromium on desktop; not Gecko, not WebKit',
  usb: 'Chromium on desktop and on Android; not Gecko, not WebKit',
})
