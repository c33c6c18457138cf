import { Option } from 'commander'
import type { Command } from 'commander'
import { DEFAULT_PAD_INTERVAL_MS } from '../bench/delay/press.ts'
import { INPUTS } from '../port/pins.ts'
import { check } from './check.ts'
import { command, judging, profileNames } from './command.ts'
import type { End } from './command.ts'
import { delay, padIntervalMs } from './delay.ts'
import { explain } from './explain.ts'
import { fix } from './fix.ts'
import { t as faultTexts } from './fault-texts.ts'
import { t } from './help-texts.ts'
import { bankNumber, cableOption, fixNumber, padOption } from './options.ts'
import { plan } from './plan.ts'
import { probe } from './probe.ts'
import { repeat } from './repeat.ts'
import { symptom, symptomLines, symptomList } from './symptom.ts'

/** The commands that put a profile in front of titles. */
export function addBenchCommands(program: Command, end: End): void {
  const profileHelp = t.profile({ names: profileNames() })

  judging(
    command(program, 'check', t.check, [])
      .argument('<profile...>', profileHelp)
      .option('--title <title...>', t.checkTitles)
      .option('--capture <capture>', t.checkCapture)
      .option('--signal <name>', t.inferSignal)
      .option('--from-power-on', t.fromPowerOn)
      .hook('preAction', (_, action) => {
        const { title, capture, signal, fromPowerOn } = action.opts()
        if (title === undefined && capture === undefined)
          action.error(faultTexts.missing({ flag: '--title <title...>', about: t.checkTitles }))
        if (signal !== undefined && capture === undefined)
          action.error(faultTexts.alone({ flag: '--signal', other: '--capture <capture>' }))
        if (fromPowerOn !== undefined && capture === undefined)
          action.error(faultTexts.alone({ flag: '--from-power-on', other: '--capture <capture>' }))
      }),
  ).action(async (profiles: string[], options) => end(await check(profiles, options)))

  judging(
    command(program, 'explain', t.explain, ['--title'])
      .argument('<profile>', profileHelp)
      .option('--title <title>', t.title)
      .option('--out <wave.vcd>', t.explainOut),
  ).action((profile: string, options) => end(explain(profile, options)))

  judging(
    command(program, 'fix', t.fix, ['--title'])
      .argument('<profile>', profileHelp)
      .option('--title <title...>', t.titles)
      .option('--pick <n>', t.fixPick, fixNumber, 1)
      .option('--out <profile.json>', t.fixOut)
      .addHelpText('after', `\n${t.fixInterrupt}`),
  ).action(async (profile: string, options) => end(await fix(profile, options)))

  judging(
    command(program, 'plan', t.plan, ['--title'])
      .argument('<profile...>', profileHelp)
      .option('--title <title...>', t.titles)
      .option('--banks <1-4>', t.planBanks, bankNumber, 4)
      .option('--out-dir <folder>', t.planOutDir),
  ).action((profiles: string[], options) => end(plan(profiles, options)))

  command(program, 'delay', t.delay, ['--title'])
    .argument('<profile>', profileHelp)
    .option('--title <title>', t.title)
    .option('--pad-interval <ms>', t.delayPadInterval, padIntervalMs, DEFAULT_PAD_INTERVAL_MS)
    .addOption(new Option('--input <input>', t.delayInput).choices(INPUTS))
    .addOption(cableOption())
    .action((profile: string, options) => end(delay(profile, options)))

  command(program, 'repeat', t.repeat, ['--title', '--input'])
    .argument('<profile>', profileHelp)
    .option('--title <title>', t.title)
    .addOption(new Option('--input <input>', t.repeatInput).choices(INPUTS))
    .addOption(cableOption())
    .action((profile: string, options) => end(repeat(profile, options)))

  command(program, 'symptom', t.symptom, ['--saw'])
    .argument('<profile>', t.profileInUse({ names: profileNames() }))
    .addOption(new Option('--saw <words>', t.symptomSaw).argParser(symptomList))
    .option('--have <profile...>', t.symptomHave, [])
    .addOption(cableOption())
    .addHelpText('after', `\n${t.symptomWords}\n${symptomLines()}`)
    .action((profile: string, options) => end(symptom(profile, options)))

  judging(
    command(program, 'probe', t.probe, [])
      .argument('<title>', t.title)
      .option('--profile <profile>', t.probeProfile({ names: profileNames() }), 'six-button')
      .addOption(padOption())
      .option('--answers <file...>', t.probeAnswers, [])
      .option('--out-dir <folder>', t.probeOutDir)
      .option('--out <title.json>', t.probeOut)
      .addHelpText('after', `\n${t.probeHow}`)
      .hook('preAction', (_, action) => {
        const { outDir, out } = action.opts()
        if (outDir === undefined && out === undefined)
          action.error(faultTexts.missing({ flag: '--out-dir <folder>', about: t.probeOutDir }))
      }),
  ).action((title: string, options) => end(probe(title, options)))
}
