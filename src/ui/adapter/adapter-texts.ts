import { texts } from '../../words/texts.ts'

/** The Adapter station. */
export const t = texts('adapter', {
  adapter: 'Adapter',
  disconnect: 'Disconnect',
  choose:
    'Choose the adapter in the browser’s list, or cancel there. Nothing is written until the device identifies itself as a Ninepin adapter.',
  board: 'board',
  emulated: '{board}, emulated',
  serialNumber: 'serial number',
  firmware: 'firmware',
  link: 'link',
  replyTime: 'stated reply time, without a cable',
  range: '{min} to {max}',
  idleReset: 'stated idle reset',
  idleResetIs: '{min} to {max} after the set time',
  pressed: 'inputs pressed now',
  nothing: 'nothing',
  notReported: 'not reported',
  name: 'Name for this adapter',
  nameHint:
    'Such as “left port”. It appears on the cable and wherever you flash, so that two adapters are not mixed up.',
  connecting: 'Connecting …',
  none: 'No adapter is connected. Plug one in by USB and choose <button>Connect adapter</button>: the browser shows a list. Nothing is written until the device identifies itself as a Ninepin adapter.',
  dismiss: 'Dismiss',
  connect: 'Connect adapter',
  useDemo: 'Use the demo adapter',

  banks: 'Banks',
  chooseBank: 'Choose the bank to write to.',
  bank: 'Bank {bank}',
  active: 'active',
  empty: 'empty',
  image: { bytes: { one: '{bytes} byte, CRC {crc}', other: '{bytes} bytes, CRC {crc}' } },
  content: '<strong>{profile}</strong>, {image}',
  holds: 'holds {pads}',
  matches: 'matches the open profile',
  differs: 'differs from the open profile in {what}',
  toShelf: 'Copy to the shelf',
  toShelfOf: 'Copy to the shelf: bank {bank}',
  copyStep: 'copy of bank {bank}',
  onShelf: 'Bank {bank} is on the shelf and open: {profile}.',
  cameAlong: '{pads} came with it.',
  makeActive: 'Make active',
  makeActiveOf: 'Make active: bank {bank}',

  lights: 'Light signals',
  before: 'Before you plug in',

  byFile: 'Flash by UF2 file',
  byFileLead:
    'A browser that cannot reach devices can still fill a bank: by a file that is dragged onto the adapter’s drive.',
  unplug: 'Unplug the adapter from the console: one supply at a time.',
  boot: 'Hold its boot button while plugging it into this computer. A drive appears.',
  drag: 'Drag the file onto the drive. The drive disappears by itself, and the bank holds the profile.',
  saveBank: 'Save bank {bank} as UF2',
  saveFirmware: 'Save the firmware as UF2',
  untried: 'Not yet tried on a physical board.',
})

/** The usual cautions, wherever something is about to be plugged in. */
export const cautionTexts = texts('cautions', {
  pins: '<what>+5 V and ground sit on different pins from console to console.</what> Check the manual of yours before you plug anything in: the wrong cable can short the supply or feed a chip backwards.',
  measure:
    '<what>Measure before you solder, and before you connect:</what> pin 5 against pin 8, with nothing plugged in.',
  join: '<what>Never join USB 5 V and pin 5.</what> A board needs reverse blocking between the two, and level shifting: its chip is not 5 V tolerant.',
  current:
    '<what>The current limit of pin 5 is rarely documented.</what> Assume it is low until measured: the pad runs from it, and a pad with a battery charges from it.',
  rules:
    '<what>Local rules come first,</what> and so does what a qualified technician tells you. If in doubt, leave it unplugged.',
})

/** What is about to be flashed, and what was. */
export const flashTexts = texts('flash', {
  title: {
    to: {
      bank: 'Flash bank {bank}',
      named: 'Flash bank {bank} of {label}',
      demo: 'Flash bank {bank} of the demo adapter',
    },
  },
  goesTo: 'goes to',
  goesToIs: {
    named: {
      true: '<strong>{label}</strong>, {adapter}, serial number {serialNumber}',
      false: '{adapter}, serial number {serialNumber}',
    },
  },
  demoAdapter: 'the demo adapter',
  anAdapter: 'an adapter',
  written: 'will be written',
  writtenIs: '<strong>{profile}</strong>, revision {revision}: {image}',
  pads: 'pads included',
  padsAre: '{pads}.',
  noPads: 'no pad: the adapter reads pads of the vendor class only.',
  now: 'in the bank now',
  empty: 'nothing: the bank is empty',
  holds: {
    named: {
      true: {
        pads: {
          true: '<strong>{profile}</strong>, {image}, with {padNames}.',
          false: '<strong>{profile}</strong>, {image}.',
        },
      },
      false: { pads: { true: '{image}, with {padNames}.', false: '{image}.' } },
    },
  },
  matches: 'It already matches the open profile.',
  differs: 'It differs in {what}, and is replaced.',
  unreadable: 'It cannot be read here.',
  replaced: 'It is replaced.',
  selectedBy: 'selected by',

  progress: {
    step: {
      writing: 'writing, {done} of {total} bytes',
      committing: 'committing, {done} of {total} bytes',
      'reading back': 'verifying, {done} of {total} bytes',
    },
  },
  verified: 'Verified: every byte matches.',
  evidence: '{written} bytes written, {readBack} read back, {compared} compared, CRC {crc}.',
  before: 'Before, the bank held {image}.',
  wasEmpty: 'Before, the bank was empty.',
  demoOnly: 'In the demo adapter: nothing has reached a real adapter.',
  keeps: 'The bank keeps its old content until the whole image has arrived.',

  isActive: 'It is the active bank: it answers as soon as power comes on.',
  noRule: 'No rule of the active bank leads to it: once it is flashed, make it the active one here.',
  orFlash: 'Or flash a profile with a power-on rule or a bank change to it into the active bank.',
  once: {
    way: {
      powerOn: 'With this profile in bank {bank} too, hold {held} while power comes on.',
      playing: 'With this profile in bank {bank} too, hold {held} while playing, then let go.',
      playingFor:
        'With this profile in bank {bank} too, hold {held} for {seconds} s while playing, then let go.',
    },
  },
})

export const measuredTexts = texts('measured', {
  title: 'Measured on the pins',
  taken:
    'One read by <strong>{title}</strong> of <strong>{profile}</strong>, recorded by a logic analyser on the emulated chip.',
  lets: 'Lets {title} read the active bank once and records the pins of the emulated chip.',
  letsTitle: 'Lets a title read the active bank once and records the pins of the emulated chip.',
  waveform: 'Waveform, measured',
  changes: { n: { one: '{lane}: {n} change', other: '{lane}: {n} changes' } },
  matches: 'Matches the profile in every phase.',
  matchesIn:
    'Matches the profile in every phase; at the adapter’s connector the pins settled {min} to {max} after the edge.',
  differs: '<strong>Differs from the profile</strong>, first at {time} into the read.',
  measure: { again: { true: 'Measure again', false: 'Measure' } },
})

/** The pads that an adapter has had, and what it recorded last. */
export const historyTexts = texts('pad-history-sheets', {
  title: 'Pad history',
  lead: 'While its power comes from the console, the adapter is the pad’s host, and keeps the last eight pads. The newest entry comes first.',
  none: 'No pad yet. Plug one into the adapter, with the console on, and connect it here again.',
  pad: '{name} {numbers}, release {release}',
  unnamed: 'Pad',
  descriptorCrc: '{descriptor}, CRC {crc}',
  learn: 'Learn from it',
  learnOf: 'Learn from it: pad {numbers}',
  save: 'Save its descriptor',
  saveOf: 'Save its descriptor: pad {numbers}',
  saved: '{file} holds its report descriptor as text.',
  reading: 'Reading …',
  readAgain: 'Read again',
  erase: 'Erase the history',
  eraseTitle: 'Erase the pad history?',
  eraseWarning:
    'This erases the adapter’s pad history and last activity. It cannot be undone. Banks, and layouts on the shelf, stay.',
  cancel: 'Cancel',

  last: 'Last activity',
  recorded: {
    there: {
      true: '{pad}, {numbers}, recorded for {time} and still plugged in then. Times count from when it was plugged in.',
      false:
        '{pad}, {numbers}, recorded for {time} until it was unplugged. Times count from when it was plugged in.',
    },
  },
  noLayoutPad: 'A pad without layout',
  held: 'held on the pad',
  pressed: 'pressed on the port',
  nothing: 'nothing',
  readBy: 'read by the console',
  times: { n: { one: '{n} time.', other: '{n} times.' } },
  reports: 'reports of the pad',
  reportsAre: {
    listed: {
      true: '{n} in all; the last that differed, the newest first:',
      false: '{n} in all',
    },
  },
  lastReports: 'The last reports',
  at: 'at',
  heldHead: 'held',
  bytes: 'bytes',
  noLayout: 'no layout',
  noBytes: 'none',
})
