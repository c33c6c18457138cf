import { texts } from '../../words/texts.ts'

/** What makes a report descriptor unreadable. */
export const t = texts('descriptor', {
  noByte: 'the descriptor is empty',
  tooLong: '{n} bytes are no report descriptor; it has {most} at most',
  itemCut:
    'the descriptor ends within this item, which has {bytes} bytes, of which {came} came. Get the whole descriptor',
  openCollection: {
    around: {
      0: 'the descriptor ends, but the collection that begins at byte {byte} does not. Get the whole descriptor',
      other:
        'the descriptor ends, but the collection that begins at byte {byte}, and {around} around it does not. Get the whole descriptor',
    },
  },
  noField: 'this descriptor has no field, so it tells of nothing; get the report descriptor of a HID device',
  reportNumber: "a report's number is 1 to 255; this is {found}",
  tooDeep: 'collections are nested more than {most} deep; the descriptor is damaged',
  reportTooLong:
    '{count} fields of {size} bits make a report of {bytes} bytes; {most} at most can be sent. The descriptor is damaged',
  tooManyFields: 'more than {most} fields with a usage of their own; the descriptor is damaged, or of no pad',
  hiddenByBrowser: 'the browser shows no report of this device; paste its report descriptor instead',
})

/** What is odd about one that can be read all the same. */
export const oddTexts = texts('descriptor-oddities', {
  minimumAlone: 'a usage minimum follows another one without a maximum',
  maximumAlone: 'a usage maximum follows another one without a minimum',
  oneAlone: 'a usage minimum and maximum belong together; one stands alone and is taken for a usage',
  alternativesOpen: 'a set of alternatives does not end',
  alternativesWithin: 'a set of alternatives within another',
  alternativesEnd: 'a set of alternatives ends that never began',
  noUsages: 'usages from {from} to {to} are none',
  logicalUnsigned: 'logical range: the maximum {signed} is taken without sign, as {unsigned}',
  logicalUpsideDown: 'logical range: {from} to {to} is upside down; {least} to {most} is taken',
  collectionEnds: 'a collection ends here that never began',
  usagePage: 'a usage page has 16 bits; the upper ones are ignored',
  pop: 'a pop with nothing pushed',
  longItem: 'a long item is passed over; none has a meaning yet (HID 1.11, 6.2.2.3)',
  reserved: 'a reserved item is passed over',
  numberZero: 'number 0 is reserved (HID 1.11, 6.2.2.7); it is passed over',
  unnumbered: 'fields stand before the first number of a report, so no report has them',
  outside: 'fields stand outside of every collection',
  noFields: '{count} fields of {size} bits are no field',
  tooWide: 'a field of {size} bits is left out; {most} at most are allowed (HID 1.11, 8.4)',
  doNotFit: 'values from {from} to {to} do not fit into {size} bits',
})

/** What a guessed layout leaves open. */
export const guessTexts = texts('descriptor-guess', {
  nothing: 'no button, stick or hat switch is described; teach this pad by pressing its buttons',
  hatValues: 'the hat switch has {values} values; the first {positions} are taken for its directions',
  hatLeftOut: 'the hat switch has {values} values, not one for each direction; it is left out',
  hatAngle: 'the hat switch tells an angle by {values} values; they are taken for 8 directions',
  pairs: '{right} are taken for the right stick and {triggers} for the triggers',
  noMiddle: '{axis} has no middle; it is left out',
  asStick: '{axis} has {values} values: a d-pad told as a stick',
  leftOver: { n: { one: '{n} button is left over', other: '{n} buttons are left over' } },
})

/** What is wrong with a file that should hold one. */
export const fileTexts = texts('descriptor-file', {
  fileTooLong: 'the file has {n} bytes; a report descriptor has {most} at most',
  tooLong: 'these are {n} bytes; a report descriptor has {most} at most',
  other: {
    kind: {
      device: 'this is the device descriptor of a USB device; get the report descriptor of its HID interface',
      configuration:
        'this is the configuration descriptor of a USB device; get the report descriptor of its HID interface',
      hid: 'this is the HID descriptor of a USB device; get the report descriptor of its HID interface',
    },
  },
  noByte: 'this text has no bytes in it',
  oddDigits: '{word} has an odd number of digits; a byte has two',
  manyBytes: '{word} is more than one byte; write each byte by itself, such as 0x05',
  noHex: '"{word}" is not a byte in hexadecimal, such as 05 or 0x05',
})
