#!/usr/bin/env node
import { Command, CommanderError, Option } from 'commander'
import { DEFAULT_PAD_INTERVAL_MS } from '../bench/delay/press.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../bench/stated.ts'
import { INPUTS } from '../port/pins.ts'
import { BUILT_IN_PROFILES } from '../profile/built-in.ts'
import { UF2_STEPS, build, unbuild } from './build.ts'
import { check } from './check.ts'
import { delay, padIntervalMs } from './delay.ts'
import { AdapterRefused, BadInput, EXIT } from './fail.ts'
import { explain } from './explain.ts'
import { fix } from './fix.ts'
import { flash } from './flash.ts'
import { infer } from './infer.ts'
import { bankNumber, fixNumber, inputList, rangeNs, wholeNs } from './options.ts'
import { plan } from './plan.ts'
import { repeat } from './repeat.ts'
import { reply } from './reply.ts'
import { SYMPTOM_LINES, symptom, symptomList } from './symptom.ts'

declare const __NINEPIN_VERSION__: string

const PROFILE_HELP = `a profile file, an image, or one of ${Object.keys(BUILT_IN_PROFILES).join(', ')}`
const range = ({ minNs, maxNs }: { minNs: number; maxNs: number }) => `${minNs}..${maxNs}`

/**
 * Every command gets `--json`: one JSON value on standard output, an error included.
 *
 * @param needs what has to be given beside the arguments, as long flags. It is looked for last, so that a misspelt one is
 *   called by its name and not reported as absent.
 */
function command(program: Command, name: string, summary: string, needs: readonly string[]): Command {
  return program
    .command(name)
    .description(summary)
    .option('--json', 'print JSON instead of words')
    .hook('preAction', (_, action) => {
      for (const flag of needs) {
        const option = action.options.find(({ long }) => long === flag)
        if (option !== undefined && action.getOptionValue(option.attributeName()) === undefined)
          action.error(`${option.flags} is needed: ${option.description}`)
      }
    })
}

function commandLine(end: (code: number) => void): Command {
  const program = new Command('ninepin')
    .description(
      'Puts a modern pad on original hardware: judges, builds and flashes profiles for a DE9 pad adapter.',
    )
    .version(__NINEPIN_VERSION__, '--version', 'print the version')
    .helpOption('-h, --help', 'show this help')
    .helpCommand('help [command]', 'show the help of a command')
    .exitOverride()
    // Errors are said in one place, below.
    .configureOutput({ outputError: () => undefined })
    .addHelpText(
      'after',
      `
Exit codes: 0 fine, 1 a title misreads or cannot be served or an adapter refuses, 2 bad input, 3 a fault of ninepin itself.

Examples:
  ninepin check six-button --title static/demo/titles/copper-kite-rally.json
  ninepin fix six-button --title static/demo/titles/copper-kite-rally.json --out mended.json
  ninepin infer evening.vcd --signal select --out title.json
  ninepin reply six-button --select select.vcd --hold up,a --out pins.vcd
  ninepin build six-button --out evening.image
  ninepin build six-button --uf2 --bank 2 --out evening.uf2
  ninepin flash six-button --bank 2 --emulated
  ninepin flash six-button --bank 2 --port /dev/ttyACM0

Before you plug anything in: +5 V, ground and driven lines sit on different pins from machine to machine. Look into the
machine's manual, measure, follow the rules of the place, and leave work inside machines to qualified technicians.`,
    )

  command(program, 'check', 'judge profiles in front of titles', ['--title'])
    .argument('<profile...>', PROFILE_HELP)
    .option('--title <title...>', 'one title file or more; all names up to the next option are titles')
    .option('--margin <ns>', 'time to spare, in ns, below which a read is tight', wholeNs, DEFAULT_MARGIN_NS)
    .addOption(
      new Option('--reply <min..max>', "the adapter's stated reply time in ns")
        .argParser(rangeNs)
        .default(REFERENCE_ADAPTER.replyNs, range(REFERENCE_ADAPTER.replyNs)),
    )
    .addOption(
      new Option('--reset <min..max>', 'how much later than asked for its idle reset comes, in ns')
        .argParser(rangeNs)
        .default(REFERENCE_ADAPTER.idleResetNs, range(REFERENCE_ADAPTER.idleResetNs)),
    )
    .action((profiles: string[], options) => end(check(profiles, options)))

  command(program, 'explain', 'show why a title misreads a profile, as a timing diagram', ['--title'])
    .argument('<profile>', PROFILE_HELP)
    .option('--title <title>', 'the title file')
    .option('--out <wave.vcd>', 'write the diagram as IEEE 1364 VCD, for any viewer')
    .action((profile: string, options) => end(explain(profile, options)))

  command(program, 'fix', 'look for the fewest changes that make titles read a profile right', ['--title'])
    .argument('<profile>', PROFILE_HELP)
    .option('--title <title...>', 'one title file or more; all names up to the next option are titles')
    .option('--margin <ns>', 'time to spare, in ns, below which a read is tight', wholeNs, DEFAULT_MARGIN_NS)
    .option('--pick <n>', 'which of the fixes to write, by its number', fixNumber, 1)
    .option('--out <profile.json>', 'where to write the profile with the fix')
    .action((profile: string, options) => end(fix(profile, options)))

  command(program, 'plan', 'fit a shelf of titles into the banks, with as few profiles as can be', [
    '--title',
  ])
    .argument('<profile...>', PROFILE_HELP)
    .option('--title <title...>', 'one title file or more; all names up to the next option are titles')
    .option('--banks <1-4>', 'banks that may be filled', bankNumber, 4)
    .option('--margin <ns>', 'time to spare, in ns, below which a read is tight', wholeNs, DEFAULT_MARGIN_NS)
    .option('--out-dir <folder>', 'write the finished profiles here, bank-1.json and so on')
    .action((profiles: string[], options) => end(plan(profiles, options)))

  command(program, 'delay', 'tell how long a press takes from the finger to a title', ['--title'])
    .argument('<profile>', PROFILE_HELP)
    .option('--title <title>', 'the title file')
    .option(
      '--pad-interval <ms>',
      'time from one report of the pad to the next, in ms',
      padIntervalMs,
      DEFAULT_PAD_INTERVAL_MS,
    )
    .addOption(
      new Option('--input <input>', 'the input pressed; without it, the first that is seen').choices(INPUTS),
    )
    .action((profile: string, options) => end(delay(profile, options)))

  command(program, 'repeat', "tell what a title sees of an input's steady repeat", ['--title', '--input'])
    .argument('<profile>', PROFILE_HELP)
    .option('--title <title>', 'the title file')
    .addOption(new Option('--input <input>', 'the input held').choices(INPUTS))
    .action((profile: string, options) => end(repeat(profile, options)))

  command(program, 'symptom', 'from what somebody saw in front of a title to what may be behind it', [
    '--saw',
  ])
    .argument('<profile>', `the profile that is in use: ${PROFILE_HELP}`)
    .addOption(new Option('--saw <words>', 'what was seen, such as walks,pauses').argParser(symptomList))
    .option('--have <profile...>', 'more profiles that could be turned to', [])
    .addHelpText('after', `\nWhat can be seen:\n${SYMPTOM_LINES}`)
    .action((profile: string, options) => end(symptom(profile, options)))

  command(program, 'reply', 'answer a captured select line: VCD in, VCD out', ['--select', '--out'])
    .argument('<profile>', PROFILE_HELP)
    .option('--select <in.vcd>', 'IEEE 1364 VCD with the select line')
    .option('--signal <name>', 'name or full path of the select line in it (without it: select)')
    .addOption(
      new Option('--hold <inputs>', `inputs held, pressed in this order before time 0: ${INPUTS.join(',')}`)
        .argParser(inputList)
        .default([], 'none'),
    )
    .option('--out <out.vcd>', 'where to write select and the six pins')
    .action((profile: string, options) => end(reply(profile, options)))

  command(program, 'infer', "read a title's pattern out of a captured select line", ['--out'])
    .argument('<capture>', 'an IEEE 1364 VCD, or a session file of sigrok (.sr)')
    .option(
      '--signal <name>',
      'name or full path of the select line in it (without it: the only line, or select)',
    )
    .option('--out <title.json>', 'where to write the title')
    .addHelpText(
      'after',
      `
Edges do not show all: what is guessed is marked so, in what is printed and in the title's notes. Look it through before you rely on it.`,
    )
    .action((capture: string, options) => end(infer(capture, options)))

  command(program, 'build', 'compile a profile to the image that an adapter keeps', ['--out'])
    .argument('<profile>', PROFILE_HELP)
    .option('--out <file>', 'where to write the image')
    .option('--uf2', 'write a UF2 that puts the image into a bank; needs --bank')
    .option('--bank <1-4>', 'the bank that the UF2 writes', bankNumber)
    .hook('preAction', (_, action) => {
      const { uf2, bank } = action.opts()
      if (uf2 && bank === undefined) action.error('--bank <1-4> is needed: the bank that the UF2 writes')
      if (!uf2 && bank !== undefined) action.error('--bank goes with --uf2; an image is not bound to a bank')
    })
    .addHelpText(
      'after',
      `
How a UF2 gets into the adapter, with nothing on the computer but its file manager:
${UF2_STEPS}`,
    )
    .action((profile: string, options) => end(build(profile, options)))

  command(program, 'unbuild', 'bring the profile of an image back', ['--out'])
    .argument('<file>', 'an image')
    .option('--out <profile.json>', 'where to write the profile')
    .action((file: string, options) => end(unbuild(file, options)))

  command(program, 'flash', 'write a profile into a bank, read it back and compare every byte', ['--bank'])
    .argument('<profile>', PROFILE_HELP)
    .option('--bank <1-4>', 'the bank to write', bankNumber)
    .option('--port <path>', 'write into the adapter at this serial port, such as /dev/ttyACM0 or COM3')
    .option('--emulated', 'write into the real firmware on an emulated chip; nothing reaches a real box')
    .option('--model', 'write into the model adapter, in memory; nothing reaches a real box')
    .hook('preAction', (_, action) => {
      const { port, emulated, model } = action.opts()
      const places = [port, emulated, model].filter((place) => place !== undefined).length
      if (places === 0) action.error('one of --port <path>, --emulated and --model is needed: where to write')
      if (places > 1) action.error('only one of --port, --emulated and --model can be written to at a time')
    })
    .addHelpText(
      'after',
      `
Unplug the adapter from the console before you plug it into a computer: two supplies on one board can feed each other.`,
    )
    .action(async (profile: string, options) => end(await flash(profile, options)))

  return program
}

const tellJson = (subject: string, place: string, message: string) =>
  console.log(JSON.stringify({ error: { subject, place, message } }, null, 2))

/** What is wrong with a command line, in one line. */
function commandLineComplaint({ code, message }: CommanderError): string {
  const said = message.replace(/^error: /, '').replace(/\s*\(Did you mean (.*)\?\)$/, '; did you mean $1?')
  if (code !== 'commander.missingArgument') return said
  // `--title A B PROFILE` takes the profile for a title.
  return `${said}; it stands before the options`
}

/** Says what went wrong and gives the exit code. */
function tellFault(fault: unknown, json: boolean): number {
  if (fault instanceof CommanderError) {
    if (fault.exitCode === 0) return EXIT.fine
    const complaint = commandLineComplaint(fault)
    if (json) tellJson('command line', '', complaint)
    console.error(`ninepin: ${complaint}`)
    return EXIT.badInput
  }
  if (fault instanceof BadInput) {
    if (json) tellJson(fault.subject, fault.place, fault.complaint)
    console.error(`ninepin: ${fault.message}`)
    return EXIT.badInput
  }
  if (fault instanceof AdapterRefused) {
    if (json) tellJson('adapter', '', fault.message)
    console.error(`ninepin: ${fault.message}`)
    return EXIT.no
  }
  if (json) tellJson('ninepin', '', String(fault))
  console.error('ninepin: this is a fault of ninepin, not of your files. What it says:')
  console.error(fault)
  return EXIT.broken
}

/** Runs one command line. @returns the exit code */
export async function run(args: readonly string[]): Promise<number> {
  let code: number = EXIT.fine
  const program = commandLine((given) => (code = given))
  for (const each of [program, ...program.commands]) each.exitOverride()
  if (args.length === 0) {
    program.outputHelp({ error: true })
    return EXIT.badInput
  }
  try {
    await program.parseAsync(args, { from: 'user' })
    return code
  } catch (fault) {
    return tellFault(fault, args.includes('--json'))
  }
}

// A reader that has seen enough closes the pipe; that is no fault, and the exit code still tells the outcome.
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', (cause: NodeJS.ErrnoException) => {
    if (cause.code !== 'EPIPE') throw cause
  })
}

process.exitCode = await run(process.argv.slice(2))
