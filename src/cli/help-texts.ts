import { texts } from '../words/texts.ts'

/** What the commands, their arguments and their options are for. */
export const t = texts('cli-help', {
  program:
    'Puts a modern pad on original hardware: judges, builds and flashes profiles for a DE9 pad adapter.',
  version: 'print the version',
  help: 'show this help',
  helpCommand: 'show the help of a command',
  json: 'print JSON instead of words',
  none: 'none',
  afterAll: `Exit codes: 0 fine, 1 a title misreads or cannot be covered or an adapter refuses, 2 bad input, 3 a fault of ninepin itself or output that could not be written, 4 no title misreads but one is undecided or a count can spoil a capture, or a search was interrupted before its end.
A file is written whole or not at all. A link that is given to write to is followed to its file; one that leads nowhere is refused.`,
  examples: 'Examples:',
  safety: `Before you plug anything in: +5 V, ground and driven lines sit on different pins from console to console. Look into the
console’s manual, measure, follow the rules of the place, and leave work inside consoles to qualified technicians.`,

  profile: 'a profile file, an image, or one of {names}',
  profileInUse: 'the profile that is in use: a profile file, an image, or one of {names}',
  titles: 'one title file or more; all names up to the next option are titles',
  title: 'the title file',
  margin: 'margin in ns below which a read is tight',
  reply: 'the adapter’s stated reply time in ns, at its own connector',
  cable:
    'what joins adapter and console: a short plug, a 1.5 m cable, or not known; its time is added to the reply time',
  reset: 'how much later than asked for its idle reset comes, in ns',

  check: 'check profiles against titles, or against a captured select line by itself',
  checkTitles: 'one title file or more (all names up to the next option are titles); this or --capture',
  checkCapture:
    'a captured select line, as infer takes it: whatever the title makes of its samples, can a cycle count spoil one?',
  explain: 'show why a title misreads a profile, as a timing diagram',
  explainOut: 'write the diagram as IEEE 1364 VCD, for any viewer',
  fix: 'look for the fewest changes that make titles read a profile right',
  fixPick: 'which of the fixes to write, by its number',
  fixOut: 'where to write the profile with the fix',
  fixInterrupt: `A search can take long. Ctrl-C (SIGINT) ends it: the best fix so far is printed, and written to --out, with exit code 4, since the
search was not ended. A second Ctrl-C ends the program at once.`,
  plan: 'cover a set of titles with the fewest profiles',
  planBanks: 'banks that may be filled',
  planOutDir: 'write the finished profiles here, bank-1.json and so on',
  delay: 'show the latency from finger to title',
  delayPadInterval: 'time from one report of the pad to the next, in ms',
  delayInput: 'the input pressed; without it, the first that the title reads',
  repeat: 'show what a title reads of an input’s auto-repeat',
  repeatInput: 'the input held',
  probe: 'find out with the adapter what a title samples and how it detects six buttons',
  probeProfile: 'the profile to judge with in the end: a profile file, an image, or one of {names}',
  probeAnswers: 'what was filled in so far, all of it: the files of questions, with the answers',
  probeOutDir: 'write the next image and its questions here, probe-1.image and probe-1.txt and so on',
  probeOut: 'where to write the title as the answers leave it',
  probeHow: `Flash the image into the trial slot (ninepin flash IMAGE --trial) or into a bank, play with it, fill in the questions, and give the file back with --answers, together with those from before
and the same title. One answer settles nothing: two have to agree, and more once some have contradicted one another.`,
  symptom: 'narrow down the cause from symptoms seen on screen',
  symptomSaw: 'what was seen, such as walks,pauses',
  symptomHave: 'more profiles that could be used instead',
  symptomWords: 'What can be seen:',

  answer: 'answer a captured select line: VCD in, VCD out',
  answerSelect: 'IEEE 1364 VCD with the select line',
  answerSignal: 'name or full path of the select line in it (without it: select)',
  answerHold: 'inputs held, pressed in this order before time 0: {inputs}',
  answerOut: 'where to write select and the six pins',
  infer: 'read a title’s pattern out of a captured select line',
  inferCapture: 'an IEEE 1364 VCD, or a session file of sigrok (.sr)',
  inferSignal: 'name or full path of the select line in it (without it: the only line, or select)',
  inferPins:
    'data lines to measure the pad by, such as 1=D0,2=D1 (without it: lines called pin1, pin2 and so on)',
  fromPowerOn: 'the capture begins at power-on: nothing came before it (edges do not show that)',
  inferOut: 'where to write the title',
  inferGuesses:
    'Edges do not show all: what is guessed is marked so, in what is printed and in the title’s notes. Look it through before you rely on it. Where the capture has data lines, the pad in it is measured, too: its reply time, its idle reset, and what was held.',
  descriptor: 'show what the report descriptor of a HID device describes',
  descriptorFile: 'report descriptors: as they are, or as text in hexadecimal',
  descriptorLayout: 'where to write the pad layout that its usages suggest; needs --pad',
  descriptorPad: 'vendor and product number of the pad, in hexadecimal',
  descriptorGuesses:
    'Usages do not say where on a pad a button is: what is guessed is marked so. Try each control before you rely on it.',
  padLayout: 'layout of a pad that goes in with the profile; give it again for more',
  build: 'compile a profile, and layouts of pads, to the image that an adapter stores',
  buildOut: 'where to write the image',
  buildUf2: 'write a UF2 that puts the image into a bank; needs --bank',
  buildBank: 'the bank that the UF2 writes',
  buildSteps: 'How a UF2 gets into the adapter, with nothing on the computer but its file manager:',
  uf2Steps: `Unplug the adapter from the console first: two supplies on one board can feed each other. Hold its boot button
while you plug it into the computer, and drag the file onto the drive that appears; the drive goes away when it is
done. What that bank held before is lost; the other banks stay as they are.`,
  unbuild: 'extract the profile and the pad layouts from an image',
  unbuildFile: 'an image',
  unbuildOut: 'where to write the profile',
  unbuildPads: 'where to write the layouts of the pads, a file each',
  flash: 'write a profile and pads into a bank or the trial slot, read it back and compare every byte',
  flashBank: 'the bank to write',
  flashTrial: 'write into the trial slot instead, for one session with a console',
  trialOnce: `The trial slot: what is in it answers the next time that the adapter gets its power from a console and no computer is there;
after that the active bank has its turn again. No bank is touched.`,
  trial: 'say what is in the trial slot of an adapter and whether it has had its session, or empty it',
  trialForget: 'empty the trial slot',
  flashPort: 'write into the adapter at this serial port, such as /dev/ttyACM0 or COM3',
  flashEmulated: 'write into the real firmware on an emulated chip; nothing reaches a real adapter',
  flashSafety:
    'Unplug the adapter from the console before you plug it into a computer: two supplies on one board can feed each other.',
  met: 'show the pad history that an adapter keeps',
  metDescriptor: 'save the report descriptor of that pad; needs --out',
  metOut: 'where to write it: hexadecimal text when the name ends in .hex, else as it is',
  metSeen: 'show its last activity: reports of the pad, reads of the console',
  metForget: 'have it forget the pad history and the last activity',
  metPort: 'ask the adapter at this serial port, such as /dev/ttyACM0 or COM3',
  metEmulated: 'ask the real firmware on an emulated chip, new each time: its history is empty',
  metSafety: `An adapter is a pad’s host while it gets its power from the console, and keeps the last eight pads plugged into it. Unplug
it from the console before you plug it into a computer: two supplies on one board can feed each other.`,
})

/** Heads of a help, and what is said of an option's values. */
export const headTexts = texts('cli-help-heads', {
  usage: 'Usage:',
  arguments: 'Arguments:',
  options: 'Options:',
  commands: 'Commands:',
  default: '{text} (default: {value})',
  choices: '{text} (choices: {values})',
})

/** The same in every language. */
export const EXAMPLES = `  ninepin check six-button --title static/demo/titles/copper-kite-rally.json
  ninepin check six-button three-button --capture static/demo/captures/copper-kite-rally.vcd
  ninepin fix six-button --title static/demo/titles/copper-kite-rally.json --out mended.json
  ninepin infer evening.vcd --signal select --out title.json
  ninepin reply six-button --select select.vcd --hold up,a --out pins.vcd
  ninepin descriptor pad.hex --layout pad.json --pad 1234:5678
  ninepin build six-button --out evening.image
  ninepin build six-button --uf2 --bank 2 --out evening.uf2
  ninepin flash six-button --bank 2 --emulated
  ninepin flash six-button --bank 2 --port /dev/ttyACM0
  ninepin met --port /dev/ttyACM0`
