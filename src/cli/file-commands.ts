import { Option } from 'commander'
import type { Command } from 'commander'
import { INPUTS } from '../port/pins.ts'
import { eitherWords } from '../words/lists.ts'
import { build, unbuild } from './build.ts'
import { command, profileNames } from './command.ts'
import type { End } from './command.ts'
import { descriptor, padNumbers } from './descriptor.ts'
import { t as faultTexts } from './fault-texts.ts'
import { flash } from './flash.ts'
import { t } from './help-texts.ts'
import { infer } from './infer.ts'
import { padHistory } from './pad-history.ts'
import { bankNumber, inputList, padNumber, padOption, pinNames } from './options.ts'
import { reply } from './reply.ts'
import { trial } from './trial.ts'

const PAD_NUMBERS = '--pad <VVVV:PPPP>'
const BANK = '--bank <1-4>'

/** The commands that turn one thing into another: captures, profiles, images, banks. */
export function addFileCommands(program: Command, end: End): void {
  const profileHelp = t.profile({ names: profileNames() })

  command(program, 'reply', t.answer, ['--select', '--out'])
    .argument('<profile>', profileHelp)
    .option('--select <in.vcd>', t.answerSelect)
    .option('--signal <name>', t.answerSignal)
    .addOption(
      new Option('--hold <inputs>', t.answerHold({ inputs: INPUTS.join(',') }))
        .argParser(inputList)
        .default([], t.none),
    )
    .option('--out <out.vcd>', t.answerOut)
    .action(async (profile: string, options) => end(await reply(profile, options)))

  command(program, 'infer', t.infer, ['--out'])
    .argument('<capture>', t.inferCapture)
    .option('--signal <name>', t.inferSignal)
    .addOption(new Option('--pins <names>', t.inferPins).argParser(pinNames).default(new Map(), t.none))
    .option('--from-power-on', t.fromPowerOn)
    .option('--out <title.json>', t.inferOut)
    .addHelpText('after', `\n${t.inferGuesses}`)
    .action(async (capture: string, options) => end(await infer(capture, options)))

  command(program, 'descriptor', t.descriptor, [])
    .argument('<file...>', t.descriptorFile)
    .option('--layout <layout.json>', t.descriptorLayout)
    .option(PAD_NUMBERS, t.descriptorPad, padNumbers)
    .hook('preAction', (_, action) => {
      const { layout, pad } = action.opts()
      if (layout !== undefined && pad === undefined)
        action.error(faultTexts.missing({ flag: PAD_NUMBERS, about: faultTexts.padNumbersOf }))
      if (layout === undefined && pad !== undefined)
        action.error(faultTexts.alone({ flag: '--pad', other: '--layout <layout.json>' }))
      if (layout !== undefined && action.args.length > 1) action.error(faultTexts.layoutForOne)
    })
    .addHelpText('after', `\n${t.descriptorGuesses}`)
    .action((files: string[], options) => end(descriptor(files, options)))

  command(program, 'build', t.build, ['--out'])
    .argument('<profile>', profileHelp)
    .option('--out <file>', t.buildOut)
    .addOption(padOption())
    .option('--uf2', t.buildUf2)
    .option(BANK, t.buildBank, bankNumber)
    .hook('preAction', (_, action) => {
      const { uf2, bank } = action.opts()
      if (uf2 && bank === undefined) action.error(faultTexts.missing({ flag: BANK, about: t.buildBank }))
      if (!uf2 && bank !== undefined) action.error(faultTexts.bankAlone)
    })
    .addHelpText('after', `\n${t.buildSteps}\n${t.uf2Steps}`)
    .action((profile: string, options) => end(build(profile, options)))

  command(program, 'unbuild', t.unbuild, ['--out'])
    .argument('<file>', t.unbuildFile)
    .option('--out <profile.json>', t.unbuildOut)
    .option('--pads <folder>', t.unbuildPads)
    .action((file: string, options) => end(unbuild(file, options)))

  command(program, 'flash', t.flash, [])
    .argument('<profile>', profileHelp)
    .option(BANK, t.flashBank, bankNumber)
    .option('--trial', t.flashTrial)
    .addOption(padOption())
    .option('--port <path>', t.flashPort)
    .option('--emulated', t.flashEmulated)
    .hook('preAction', (_, action) => {
      const { bank, trial: once } = action.opts()
      if (bank === undefined && once === undefined)
        action.error(faultTexts.missing({ flag: eitherWords([BANK, '--trial']), about: t.flashBank }))
      if (bank !== undefined && once !== undefined) action.error(faultTexts.bankOrTrial)
      onePlace(action, 'write')
    })
    .addHelpText('after', `\n${t.flashSafety}\n${t.trialOnce}`)
    .action(async (profile: string, options) => end(await flash(profile, options)))

  command(program, 'trial', t.trial, [])
    .option('--forget', t.trialForget)
    .option('--port <path>', t.metPort)
    .option('--emulated', t.metEmulated)
    .hook('preAction', (_, action) => onePlace(action, 'ask'))
    .addHelpText('after', `\n${t.trialOnce}`)
    .action(async (options) => end(await trial(options)))

  command(program, 'met', t.met, [])
    .option('--descriptor <number>', t.metDescriptor, padNumber)
    .option('--out <file>', t.metOut)
    .option('--seen', t.metSeen)
    .option('--forget', t.metForget)
    .option('--port <path>', t.metPort)
    .option('--emulated', t.metEmulated)
    .hook('preAction', (_, action) => {
      const { descriptor, out, seen, forget } = action.opts()
      if (descriptor !== undefined && out === undefined)
        action.error(faultTexts.missing({ flag: '--out <file>', about: faultTexts.descriptorOut }))
      if (descriptor === undefined && out !== undefined)
        action.error(faultTexts.alone({ flag: '--out', other: '--descriptor <number>' }))
      if ([descriptor, seen, forget].filter((wish) => wish !== undefined).length > 1)
        action.error(faultTexts.oneWish)
      onePlace(action, 'ask')
    })
    .addHelpText('after', `\n${t.metSafety}`)
    .action(async (options) => end(await padHistory(options)))
}

/** Exactly one way to an adapter has to be given. */
function onePlace(action: Command, purpose: 'write' | 'ask'): void {
  const { port, emulated } = action.opts()
  const writes = purpose === 'write'
  if (port === undefined && emulated === undefined) {
    const flags = eitherWords(['--port <path>', '--emulated'])
    action.error(writes ? faultTexts.whereToWrite({ flags }) : faultTexts.whomToAsk({ flags }))
  }
  if (port !== undefined && emulated !== undefined)
    action.error(writes ? faultTexts.oneToWrite : faultTexts.oneToAsk)
}
