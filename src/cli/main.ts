#!/usr/bin/env node
import './language.ts'
import { inspect } from 'node:util'
import { Command, CommanderError } from 'commander'
import { addBenchCommands } from './bench-commands.ts'
import { AdapterRefused, BadInput, EXIT, OutputLost } from './fail.ts'
import { addFileCommands } from './file-commands.ts'
import type { End } from './command.ts'
import { aside, complain, say, sayJson } from './output.ts'
import { heedSignals } from './write.ts'

declare const __NINEPIN_VERSION__: string

function commandLine(end: End): Command {
  const program = new Command('ninepin')
    .description(
      'Puts a modern pad on original hardware: judges, builds and flashes profiles for a DE9 pad adapter.',
    )
    .version(__NINEPIN_VERSION__, '--version', 'print the version')
    .helpOption('-h, --help', 'show this help')
    .helpCommand('help [command]', 'show the help of a command')
    .exitOverride()
    // Errors are said in one place, below.
    .configureOutput({
      writeOut: (help) => say(help.replace(/\n$/, '')),
      writeErr: (help) => aside(help.replace(/\n$/, '')),
      outputError: () => undefined,
    })
    .addHelpText(
      'after',
      `
Exit codes: 0 fine, 1 a title misreads or cannot be served or an adapter refuses, 2 bad input, 3 a fault of ninepin itself or output that could not be written.
A file is written whole or not at all. A link that is given to write to is followed to its file; one that leads nowhere is refused.

Examples:
  ninepin check six-button --title static/demo/titles/copper-kite-rally.json
  ninepin fix six-button --title static/demo/titles/copper-kite-rally.json --out mended.json
  ninepin infer evening.vcd --signal select --out title.json
  ninepin reply six-button --select select.vcd --hold up,a --out pins.vcd
  ninepin descriptor pad.hex --layout pad.json --pad 1234:5678
  ninepin build six-button --out evening.image
  ninepin build six-button --uf2 --bank 2 --out evening.uf2
  ninepin flash six-button --bank 2 --emulated
  ninepin flash six-button --bank 2 --port /dev/ttyACM0
  ninepin met --port /dev/ttyACM0

Before you plug anything in: +5 V, ground and driven lines sit on different pins from machine to machine. Look into the
machine's manual, measure, follow the rules of the place, and leave work inside machines to qualified technicians.`,
    )

  addBenchCommands(program, end)
  addFileCommands(program, end)
  return program
}

const tellJson = (subject: string, place: string, message: string) =>
  sayJson({ error: { subject, place, message } })

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
    complain(complaint)
    return EXIT.badInput
  }
  if (fault instanceof BadInput) {
    if (json) tellJson(fault.subject, fault.place, fault.complaint)
    complain(fault.message)
    return EXIT.badInput
  }
  if (fault instanceof OutputLost) {
    complain(fault.message)
    return EXIT.broken
  }
  if (fault instanceof AdapterRefused) {
    if (json) tellJson('adapter', '', fault.message)
    complain(fault.message)
    return EXIT.no
  }
  if (json) tellJson('ninepin', '', String(fault))
  aside(`ninepin: this is a fault of ninepin, not of your files. What it says:\n${inspect(fault)}`)
  return EXIT.broken
}

/** The same where even that cannot be written: then that is the fault to tell. */
function toldFault(fault: unknown, json: boolean): number {
  try {
    return tellFault(fault, json)
  } catch (lost) {
    return tellFault(lost, false)
  }
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
    await heedSignals()
    return code
  } catch (fault) {
    return toldFault(fault, args.includes('--json'))
  }
}

process.exitCode = await run(process.argv.slice(2))
