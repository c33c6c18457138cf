import { texts } from '../words/texts.ts'

/** What is wrong with a command line. */
export const t = texts('cli-command-line', {
  // As commander tells it in English.
  unknownCommand: 'unknown command {name}',
  unknownOption: 'unknown option {name}',
  didYouMean: '{complaint}; did you mean {name}?',
  missingArgument: 'missing required argument {name}; it stands before the options',
  missingValue: 'option {name} argument missing',
  tooMany: {
    most: {
      one: 'too many arguments. Expected {most} argument but got {n}.',
      other: 'too many arguments. Expected {most} arguments but got {n}.',
    },
  },
  tooManyFor: {
    most: {
      one: 'too many arguments for {command}. Expected {most} argument but got {n}.',
      other: 'too many arguments for {command}. Expected {most} arguments but got {n}.',
    },
  },
  wrongValue: 'option {name} argument {value} is invalid. {why}',
  wrongChoice: 'Allowed choices are {values}.',

  missing: 'missing {flag}: {about}',
  padNumbersOf: 'the numbers of the pad that the layout is for',
  alone: '{flag} goes with {other}',
  layoutForOne: '--layout is for one report descriptor; give one file',
  bankAlone: '--bank goes with --uf2; an image is not bound to a bank',
  bankOrTrial: 'only one of --bank and --trial can be written to at a time',
  descriptorOut: 'where to write the report descriptor',
  oneWish: 'only one of --descriptor, --seen and --forget can be asked for at a time',
  whereToWrite: 'missing {flags}: where to write',
  whomToAsk: 'missing {flags}: which adapter to ask',
  oneToWrite: 'only one of --port and --emulated can be written to at a time',
  oneToAsk: 'only one of --port and --emulated can be asked at a time',

  wholeNs: 'A whole number of ns is needed, such as 200.',
  wholeMs: 'A whole number of ms from {min} to {max} is needed, such as 4.',
  rangeNs: 'A range in ns is needed, the least first, such as 32..100.',
  pinNames:
    'expected pins and the lines of the capture that are theirs, such as 1=D0,2=D1; the pins are {pins}, each once.',
  noInput: '{name} is not an input; the inputs are {inputs}.',
  banks: 'The banks are {banks}.',
  fixNumber: 'The number of a fix is needed, such as 1.',
  padNumber: 'The number of a pad is needed, 1 to 8.',
  padNumbers: 'Two numbers of four hexadecimal digits are needed, vendor and product, such as 1234:5678.',
  unknownSymptoms: 'Unknown: {found}. The words are {known}.',
})

/** What is wrong with a file, or with what the system lets be done with it. */
export const fileTexts = texts('cli-files', {
  noFile: 'there is no such file',
  noFileNorProfile: 'there is no such file, and no built-in profile of that name ({names})',
  isFolder: 'this is a folder, not a file',
  mayNotOpen: 'this file may not be opened; check its permissions',
  noFolderInPath: 'a part of this path is not a folder',
  nameTooLong: 'this name is too long',
  circle: 'this link leads in a circle',
  noFolder: 'there is no such folder',
  writeProtected: 'this file or its folder is write-protected',
  readOnly: 'this disk is read-only',
  diskFull: 'the disk is full',
  quotaFull: 'the disk space you may use is full',
  systemSays: 'the system says {code}',
  notWritten: 'cannot be written: {why}',
  linkToNowhere: 'cannot be written: this link leads nowhere; remove it or choose another name',
  wasRead: 'this is what was read; choose another name to write to',
  writtenTwice: 'two files would be written to this name; nothing was written',
  tooLarge: 'the file is too large; {most} bytes at most are read',
  noSuchFolderMade: 'this folder cannot be made; name one that you may write to',
  samePad: '{name} is for the same pad and comes first; leave one of them out',
  padsTwice: 'two pads would be written to this name; rename one of them and build the image again',
  otherLayout: 'another layout stands there; choose another folder for --pads',
  noFix: {
    n: { one: 'there is no fix {pick}; {n} was found', other: 'there is no fix {pick}; {n} were found' },
  },
  noDescriptor: 'the adapter keeps none for pad {number}; without it met lists the pads',
  chooseLine: 'Say which with --signal.',
})

/** What is wrong with a serial port. */
export const portTexts = texts('cli-ports', {
  none: 'there is no such port',
  notSerial: 'this is not a serial port',
  these: 'the USB serial ports here are {ports}',
  noUsb: 'no USB serial port is plugged in: check that the cable carries data and not only power',
  unknown: 'which ports there are, this system does not tell',
  noLibrary:
    'the library that opens serial ports (serialport) is not installed with this program; run npm ci in the folder of Ninepin',
})

/** What keeps the program from going on. */
export const programTexts = texts('cli-program', {
  ownFault: 'ninepin: this is a fault of ninepin, not of your files. What it says:',
  outputLost: {
    cause: {
      EPIPE:
        'The output could not be written: the program that reads it has closed the pipe. Files and banks that this command has written are complete. Let it read to the end, or send the output to a file, and run this again.',
      ENOSPC:
        'The output could not be written: the disk is full. Files and banks that this command has written are complete. Make room, or send the output elsewhere, and run this again.',
      EDQUOT:
        'The output could not be written: the disk space you may use is full. Files and banks that this command has written are complete. Make room, or send the output elsewhere, and run this again.',
      EBADF:
        'The output could not be written: it was closed before it began. Files and banks that this command has written are complete. Send the output somewhere, and run this again.',
      unknown:
        'The output could not be written: the system says {code}. Files and banks that this command has written are complete. Send it elsewhere, and run this again.',
    },
  },
})

/** What went wrong between a terminal and an adapter. */
export const troubleTexts = texts('cli-troubles', {
  held: 'Another program holds the adapter. Close it (a serial console, a browser tab with Ninepin, another ninepin) and run this again.',
  noPermission:
    'The system does not let this account use the port. On Linux, add yourself to the group that owns the device (dialout on Debian and its relatives: sudo usermod -aG dialout $USER), log out and in again, or have an administrator add a udev rule for the adapter; then run this again.',
  unpluggedWhileOpening:
    'The device went away while it was being opened. Plug it in again, without a hub if you can, and run this again.',
  openFailed:
    'The port could not be opened (the system says: {detail}). Unplug the adapter, plug it in again and run this again.',
  unplugged:
    'The adapter was unplugged, or lost its power. An unfinished bank keeps its old content. Plug it in again and run this again.',
  silent:
    'Nothing answered. Nothing was written. If this is your adapter, unplug it, plug it in again and run this again; otherwise give another port.',
  notNinepin:
    'Something answered, but not as a Ninepin adapter does. Nothing was written to it. Give another port; if this is your adapter, unplug it and plug it in again first.',
  protocolNewer:
    'The adapter speaks version {spoken} of the link, this program knows {known}. Nothing was written to it. Update Ninepin and run this again.',
  protocolOlder:
    'The adapter speaks version {spoken} of the link, too old for this program ({known}). Nothing was written to it. Update the adapter’s firmware and run this again.',
  stoppedAnswering:
    'The adapter stopped answering. A bank holds its old content or the whole new one, never a part. Unplug the adapter, plug it in again and run this again.',
  nonsense:
    'The adapter sent an invalid reply. Unplug the adapter, plug it in again and run this again. If it happens again, update its firmware.',
  wrongLength: 'The adapter could not read the request. Update its firmware, or Ninepin, and run this again.',
  outOfRange:
    'The adapter refused a piece of the image. Update its firmware, or Ninepin, and run this again.',
  identifyFirst:
    'The adapter restarted during the operation. An unfinished bank keeps its old content. Run this again.',
  unlisted:
    'The adapter refused, for a reason this program does not know (code {code}). Update Ninepin and run this again.',
})

/** What is wrong, in JSON, where it is not a file: the same in every language. */
export const COMMAND_LINE = 'command line'
