import { Option } from 'commander'
import type { Command } from 'commander'
import { DEFAULT_PAD_INTERVAL_MS } from '../bench/delay/press.ts'
import { INPUTS } from '../port/pins.ts'
import { check } from './check.ts'
import { PROFILE_HELP, TITLES_HELP, command, judging } from './command.ts'
import type { End } from './command.ts'
import { delay, padIntervalMs } from './delay.ts'
import { explain } from './explain.ts'
import { fix } from './fix.ts'
import { bankNumber, fixNumber } from './options.ts'
import { plan } from './plan.ts'
import { repeat } from './repeat.ts'
import { SYMPTOM_LINES, symptom, symptomList } from './symptom.ts'

/** The commands that put a profile in front of titles. */
export function addBenchCommands(program: Command, end: End): void {
  judging(
    command(program, 'check', 'judge profiles in front of titles', ['--title'])
      .argument('<profile...>', PROFILE_HELP)
      .option('--title <title...>', TITLES_HELP),
  ).action((profiles: string[], options) => end(check(profiles, options)))

  judging(
    command(program, 'explain', 'show why a title misreads a profile, as a timing diagram', ['--title'])
      .argument('<profile>', PROFILE_HELP)
      .option('--title <title>', 'the title file')
      .option('--out <wave.vcd>', 'write the diagram as IEEE 1364 VCD, for any viewer'),
  ).action((profile: string, options) => end(explain(profile, options)))

  judging(
    command(program, 'fix', 'look for the fewest changes that make titles read a profile right', ['--title'])
      .argument('<profile>', PROFILE_HELP)
      .option('--title <title...>', TITLES_HELP)
      .option('--pick <n>', 'which of the fixes to write, by its number', fixNumber, 1)
      .option('--out <profile.json>', 'where to write the profile with the fix'),
  ).action((profile: string, options) => end(fix(profile, options)))

  judging(
    command(program, 'plan', 'fit a shelf of titles into the banks, with as few profiles as can be', [
      '--title',
    ])
      .argument('<profile...>', PROFILE_HELP)
      .option('--title <title...>', TITLES_HELP)
      .option('--banks <1-4>', 'banks that may be filled', bankNumber, 4)
      .option('--out-dir <folder>', 'write the finished profiles here, bank-1.json and so on'),
  ).action((profiles: string[], options) => end(plan(profiles, options)))

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
}
