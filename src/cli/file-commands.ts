import { Option } from 'commander'
import type { Command } from 'commander'
import { INPUTS } from '../port/pins.ts'
import { UF2_STEPS, build, unbuild } from './build.ts'
import { PROFILE_HELP, command } from './command.ts'
import type { End } from './command.ts'
import { descriptor, padNumbers } from './descriptor.ts'
import { flash } from './flash.ts'
import { infer } from './infer.ts'
import { padHistory } from './pad-history.ts'
import { bankNumber, inputList, padNumber } from './options.ts'
import { reply } from './reply.ts'

/** A layout of a pad; every further one comes beside those before it. */
const padOption = () =>
  new Option('--pad <layout.json>', 'layout of a pad that goes in beside the profile; give it again for more')
    .argParser((path: string, before: readonly string[]) => [...before, path])
    .default([], 'none')

/** The commands that turn one thing into another: captures, profiles, images, banks. */
export function addFileCommands(program: Command, end: End): void {
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
    .action(async (profile: string, options) => end(await reply(profile, options)))

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
    .action(async (capture: string, options) => end(await infer(capture, options)))

  command(program, 'descriptor', 'tell what the report descriptor of a HID device describes', [])
    .argument('<file...>', 'report descriptors: as they are, or as text in hexadecimal')
    .option('--layout <layout.json>', 'where to write the pad layout that its usages suggest; needs --pad')
    .option('--pad <VVVV:PPPP>', 'vendor and product number of the pad, in hexadecimal', padNumbers)
    .hook('preAction', (_, action) => {
      const { layout, pad } = action.opts()
      if (layout !== undefined && pad === undefined)
        action.error('--pad <VVVV:PPPP> is needed: the numbers of the pad that the layout is for')
      if (layout === undefined && pad !== undefined) action.error('--pad goes with --layout <layout.json>')
      if (layout !== undefined && action.args.length > 1)
        action.error('--layout is for one report descriptor; give one file')
    })
    .addHelpText(
      'after',
      `
Usages do not say where on a pad a button is: what is guessed is marked so. Try each control before you rely on it.`,
    )
    .action((files: string[], options) => end(descriptor(files, options)))

  command(program, 'build', 'compile a profile, and layouts of pads, to the image that an adapter keeps', [
    '--out',
  ])
    .argument('<profile>', PROFILE_HELP)
    .option('--out <file>', 'where to write the image')
    .addOption(padOption())
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

  command(program, 'unbuild', 'bring the profile and the pads of an image back', ['--out'])
    .argument('<file>', 'an image')
    .option('--out <profile.json>', 'where to write the profile')
    .option('--pads <folder>', 'where to write the layouts of the pads, a file each')
    .action((file: string, options) => end(unbuild(file, options)))

  command(program, 'flash', 'write a profile and pads into a bank, read it back and compare every byte', [
    '--bank',
  ])
    .argument('<profile>', PROFILE_HELP)
    .option('--bank <1-4>', 'the bank to write', bankNumber)
    .addOption(padOption())
    .option('--port <path>', 'write into the adapter at this serial port, such as /dev/ttyACM0 or COM3')
    .option('--emulated', 'write into the real firmware on an emulated chip; nothing reaches a real box')
    .hook('preAction', (_, action) => onePlace(action, 'where to write', 'can be written to'))
    .addHelpText(
      'after',
      `
Unplug the adapter from the console before you plug it into a computer: two supplies on one board can feed each other.`,
    )
    .action(async (profile: string, options) => end(await flash(profile, options)))

  command(program, 'met', 'tell what an adapter keeps of the pads that were plugged into it', [])
    .option('--descriptor <number>', 'save the report descriptor of that pad; needs --out', padNumber)
    .option('--out <file>', 'where to write it: hexadecimal text when the name ends in .hex, else as it is')
    .option('--seen', 'tell what it saw last: reports of the pad, reads of the console')
    .option('--forget', 'have it forget the pads and what it saw last')
    .option('--port <path>', 'ask the adapter at this serial port, such as /dev/ttyACM0 or COM3')
    .option('--emulated', 'ask the real firmware on an emulated chip, new each time: it has met nothing')
    .hook('preAction', (_, action) => {
      const { descriptor, out, seen, forget } = action.opts()
      if (descriptor !== undefined && out === undefined)
        action.error('--out <file> is needed: where to write the report descriptor')
      if (descriptor === undefined && out !== undefined) action.error('--out goes with --descriptor <number>')
      if ([descriptor, seen, forget].filter((wish) => wish !== undefined).length > 1)
        action.error('only one of --descriptor, --seen and --forget can be asked for at a time')
      onePlace(action, 'whom to ask', 'can be asked')
    })
    .addHelpText(
      'after',
      `
An adapter is a pad's host while it gets its power from the console, and keeps the last eight pads that it met. Unplug it
from the console before you plug it into a computer: two supplies on one board can feed each other.`,
    )
    .action(async (options) => end(await padHistory(options)))
}

/** Exactly one way to an adapter has to be given. */
function onePlace(action: Command, what: string, deed: string): void {
  const { port, emulated } = action.opts()
  if (port === undefined && emulated === undefined)
    action.error(`--port <path> or --emulated is needed: ${what}`)
  if (port !== undefined && emulated !== undefined)
    action.error(`only one of --port and --emulated ${deed} at a time`)
}
