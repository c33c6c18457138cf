import { texts } from '../../words/texts.ts'

/** What a pad can be learned from. */
export const t = texts('learn-sources', {
  own: 'From its own reports',
  ownLead: {
    hid: {
      true: 'A pad on this computer, over USB or radio. The adapter then reads it the same way. The browser shows its list of devices; choose the pad there.',
      false: 'A pad on this computer, over USB or radio. The adapter then reads it the same way.',
    },
  },
  noWebHid: {
    secure: {
      true: 'This browser has no WebHID. Browsers built on Chromium have it on a desktop: open this page there, or use one of the ways below.',
      false:
        'Browsers give WebHID to secure pages only. Open this page with https, or from this machine (localhost), or use one of the ways below.',
    },
  },
  choose: 'Choose a pad',
  showAll: 'Show all devices',

  browser: 'As this browser shows it',
  browserLead:
    'Through the Gamepad API: corrects the pad on this page only. The adapter cannot use the result, because the browser withholds the pad’s own reports.',
  noGamepads: 'This browser shows no gamepads, or not on this page.',
  noneYet: 'No pad shows yet. Press any button on it: browsers hide a pad until then.',
  gone: 'This pad is gone. Plug it in again and press a button on it.',

  history: 'From an adapter’s pad history',
  historyLead:
    'Plug the pad into the adapter with the console on: the adapter keeps the pad’s report descriptor, and this page reads it from there.',
  noHistory: 'No adapter with a pad history is connected. Connect one on the Adapter station.',
  noneDescribed: 'This adapter keeps no report descriptor. Plug the pad into it once, with the console on.',
  readHistory: 'Read the pad history',
  padNumbers: 'Pad {numbers}',

  descriptor: 'From its report descriptor',
  descriptorLead:
    'Works in every browser, without the pad. Its reports are read from the descriptor, and a layout is guessed that you can correct.',
  vendorNumber: 'Vendor number',
  productNumber: 'Product number',
  noNumber: 'Enter up to four hexadecimal digits, such as 1209.',
  numbersMissing:
    'Vendor and product number are missing: they say which pad it is. A list of USB devices shows them.',
  reportDescriptor: 'Report descriptor',
  descriptorHint: 'In hexadecimal, as a dump or as an array in a program; a file can also be binary.',
  refused: '{reason}.',
  readPasted: 'Read the pasted text',
  openFile: 'Open a descriptor file',
  file: 'File with a report descriptor',
  unreadable: 'The file could not be read. Choose it again.',

  vendorClass: 'Vendor class: not needed',
  vendorClassLead:
    'Pads whose USB interface is of class {class}, subclass {subclass}, protocol {protocol} have no report descriptor, and the adapter knows their reports already. Plug such a pad into the adapter as it is; on this page it shows as a gamepad.',

  noneChosen:
    'Nothing was chosen in the browser’s list. Choose again; a pad that is not in it shows with “{all}”, or can be learned another way.',
  mayNotAsk:
    'The browser does not let this page ask for devices. If the page stands inside another one, open it on its own; on a managed machine, ask who manages the browser. The other ways below need no such permission.',
  notOpened:
    'The system does not let this browser open the pad. Close other programs that use it; on Linux, have an administrator add a udev rule for it (hidraw), then plug it in again. Or learn it another way.',
  notLearnable: 'This device cannot be learned here: {reason}.',
  sendsNothing: 'This device sends nothing that a control could be found in. Choose another one in the list.',

  reports: {
    n: { one: 'The report in the descriptor', other: 'The {n} reports in the descriptor' },
  },
  report: 'Report',
  bit: 'Bit',
  bits: 'Bits',
  usage: 'Usage',
  values: 'Values',
  kind: 'Kind',
  several: '{count} × {bits}',
  noUsage: 'not described',
  range: '{min} to {max}',
  list: 'list',
  steps: 'steps',
  nullState: 'null state',
  constant: 'constant',
  others: {
    n: {
      one: '{n} more report goes to the pad or is a setting.',
      other: '{n} more reports go to the pad or are settings.',
    },
  },
})
