#!/usr/bin/env node
import './language.ts'
import { inspect } from 'node:util'
import { Command, CommanderError } from 'commander'
import { addBenchCommands } from './bench-commands.ts'
import { complaintWords, helpInWords } from './commander-words.ts'
import { AdapterRefused, BadInput, EXIT, OutputLost } from './fail.ts'
import { COMMAND_LINE, programTexts } from './fault-texts.ts'
import { addFileCommands } from './file-commands.ts'
import { EXAMPLES, t } from './help-texts.ts'
import type { End } from './command.ts'
import { aside, complain, say, sayJson } from './output.ts'
import { heedSignals } from './write.ts'

declare const __NINEPIN_VERSION__: string

function commandLine(end: End): Command {
  const program = new Command('ninepin')
    .description(t.program)
    .version(__NINEPIN_VERSION__, '--version', t.version)
    .helpOption('-h, --help', t.help)
    .helpCommand('help [command]', t.helpCommand)
    .configureHelp(helpInWords)
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
${t.afterAll}

${t.examples}
${EXAMPLES}

${t.safety}`,
    )

  addBenchCommands(program, end)
  addFileCommands(program, end)
  return program
}

const tellJson = (subject: string, place: string, message: string) =>
  sayJson({ error: { subject, place, message } })

/** Says what went wrong and gives the exit code. */
function tellFault(fault: unknown, json: boolean): number {
  if (fault instanceof CommanderError) {
    if (fault.exitCode === 0) return EXIT.fine
    const complaint = complaintWords(fault)
    if (json) tellJson(COMMAND_LINE, '', complaint)
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
  aside(`${programTexts.ownFault}\n${inspect(fault)}`)
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
