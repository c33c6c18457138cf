import { Option } from 'commander'
import type { Command } from 'commander'
import { INPUTS } from '../port/pins.ts'
import { UF2_STEPS, build, unbuild } from './build.ts'
import { PROFILE_HELP, command } from './command.ts'
import type { End } from './command.ts'
import { flash } from './flash.ts'
import { infer } from './infer.ts'
import { bankNumber, inputList } from './options.ts'
import { reply } from './reply.ts'

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
}
