import { texts } from '../words/texts.ts'

export const t = texts('pad-history', {
  descriptor: { n: { one: '{n} byte of report descriptor', other: '{n} bytes of report descriptor' } },
  descriptorOrMore: '{n} bytes of report descriptor, or more',
  needsNoDescriptor: 'vendor class, needs no report descriptor',
  noDescriptor: 'no report descriptor kept',
  seconds: '{figure} s',

  rises: { n: { one: '{n} rising edge', other: '{n} rising edges' } },
  range: '{least} to {most}',
  risesRange: '{least} to {most} rising edges',
  noRead: 'The console has not read the port yet.',
  oneRead: 'One read: {rises}.',
  lastReads: 'The last {n}: {rises} each, {apart} ms apart.',
  threeButtons:
    'It never reaches the third rising edge, where the extra buttons are: a title for three buttons.',
  sixButtons: 'It reaches the third rising edge, where the extra buttons are: a six-button title.',
  severalReads:
    '{rises} come without an idle reset between them: more than the four of a six-button read. The title reads more than once in one burst. Try it on the Titles station.',
})

/** What became of a pad at the adapter, and what to do. */
export const outcomeTexts = texts('pad-outcomes', {
  served: 'The adapter read it.',
  'no layout': 'No layout for it was in the active bank. Learn it, and flash the bank again.',
  hub: 'Refused: a hub. Plug the pad in without it.',
  keyboard: 'Refused: a keyboard and nothing else. Plug a pad in.',
  'no pad': 'Refused: neither pad nor joystick. Plug a pad in.',
  failed: 'It did not come up. Try another cable, or a pad that draws less current.',
  unlisted: 'The adapter reports an outcome that this version of Ninepin does not know. Update Ninepin.',
})

/** How the adapter reads a pad. */
export const viaTexts = texts('pad-interfaces', {
  hid: 'HID',
  vendor: 'vendor class',
  unlisted: 'an interface that this version of Ninepin does not know',
})
