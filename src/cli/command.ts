import { Option } from 'commander'
import type { Command } from 'commander'
import type { CabledAdapter } from '../bench/judgement.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../bench/stated.ts'
import { BUILT_IN_PROFILES } from '../profile/built-in.ts'
import { rowWords } from '../words/lists.ts'
import { t as faultTexts } from './fault-texts.ts'
import { t } from './help-texts.ts'
import { cableOption, rangeNs, wholeNs } from './options.ts'

/** What the commands have in common. */

/** Takes the exit code of a command. */
export type End = (code: number) => void

/** The profiles that are built in, by the names that stand for their files. */
export const profileNames = (): string => rowWords(Object.keys(BUILT_IN_PROFILES))

/**
 * Every command gets `--json`: one JSON value on standard output, an error included.
 *
 * @param needs what has to be given beside the arguments, as long flags. It is looked for last, so that a misspelt one is
 *   called by its name and not reported as absent.
 */
export function command(program: Command, name: string, summary: string, needs: readonly string[]): Command {
  return program
    .command(name)
    .description(summary)
    .option('--json', t.json)
    .hook('preAction', (_, action) => {
      for (const flag of needs) {
        const option = action.options.find(({ long }) => long === flag)
        if (option !== undefined && action.getOptionValue(option.attributeName()) === undefined)
          action.error(faultTexts.missing({ flag: option.flags, about: option.description }))
      }
    })
}

/** What judging takes: the margin that is asked for, what an adapter states, and its cable. */
export interface JudgingOptions {
  readonly margin: number
  readonly reply: CabledAdapter['replyNs']
  readonly reset: CabledAdapter['idleResetNs']
  readonly cable: CabledAdapter['cable']
}

const range = ({ minNs, maxNs }: { minNs: number; maxNs: number }) => `${minNs}..${maxNs}`

/** Gives a command the options of judging. */
export const judging = (judges: Command): Command =>
  judges
    .option('--margin <ns>', t.margin, wholeNs, DEFAULT_MARGIN_NS)
    .addOption(
      new Option('--reply <min..max>', t.reply)
        .argParser(rangeNs)
        .default(REFERENCE_ADAPTER.replyNs, range(REFERENCE_ADAPTER.replyNs)),
    )
    .addOption(
      new Option('--reset <min..max>', t.reset)
        .argParser(rangeNs)
        .default(REFERENCE_ADAPTER.idleResetNs, range(REFERENCE_ADAPTER.idleResetNs)),
    )
    .addOption(cableOption())

/** The options of judging, as the bench takes them. */
export const judgeOptions = ({ margin, reply, reset, cable }: JudgingOptions) => ({
  adapter: { ...REFERENCE_ADAPTER, replyNs: reply, idleResetNs: reset, cable },
  marginNs: margin,
})
