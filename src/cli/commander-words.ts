import type { CommanderError, HelpConfiguration, Option } from 'commander'
import { eitherWords, rowWords } from '../words/lists.ts'
import { t } from './fault-texts.ts'
import { headTexts } from './help-texts.ts'

/** What commander says in English by itself, in the words of the language. */

/** A form of a complaint and what it is said as: what stands in its brackets is handed over. What has no form here stays. */
type Form = readonly [form: RegExp, said: (...found: string[]) => string]

const FORMS: readonly Form[] = [
  [/^unknown command ('.*')$/s, (name = '') => t.unknownCommand({ name })],
  [/^unknown option ('.*')$/s, (name = '') => t.unknownOption({ name })],
  // `--title A B PROFILE` takes the profile for a title.
  [/^missing required argument ('.*')$/s, (name = '') => t.missingArgument({ name })],
  [/^option ('.*') argument missing$/s, (name = '') => t.missingValue({ name })],
  [
    /^too many arguments\. Expected (\d+) arguments? but got (\d+)\.$/,
    (most, n) => t.tooMany({ most: Number(most), n: Number(n) }),
  ],
  [
    /^too many arguments for ('.*')\. Expected (\d+) arguments? but got (\d+)\.$/s,
    (command = '', most, n) => t.tooManyFor({ command, most: Number(most), n: Number(n) }),
  ],
  [
    /^option ('.*?') argument ('.*') is invalid\. (.*)$/s,
    (name = '', value = '', why = '') => t.wrongValue({ name, value, why: valueWords(why) }),
  ],
]

const SUGGESTION = /\s*\(Did you mean (?:one of )?(.*)\?\)$/

/** What is wrong with a command line, in one line. */
export function complaintWords({ message }: CommanderError): string {
  const english = message.replace(/^error: /, '')
  const meant = SUGGESTION.exec(english)?.[1]?.split(', ')
  const complaint = saidAs(english.replace(SUGGESTION, ''))
  return meant === undefined ? complaint : t.didYouMean({ complaint, name: eitherWords(meant) })
}

function saidAs(english: string): string {
  for (const [form, said] of FORMS) {
    const found = form.exec(english)
    if (found !== null) return said(...found.slice(1))
  }
  return english
}

const valueWords = (why: string): string => {
  const choices = /^Allowed choices are (.*)\.$/s.exec(why)?.[1]
  return choices === undefined ? why : t.wrongChoice({ values: rowWords(choices.split(', ')) })
}

const HEADS: Readonly<Record<string, () => string>> = {
  'Usage:': () => headTexts.usage,
  'Arguments:': () => headTexts.arguments,
  'Options:': () => headTexts.options,
  'Commands:': () => headTexts.commands,
}

/** Heads of a help, and what is said of an option's values. */
export const helpInWords: HelpConfiguration = {
  styleTitle: (head) => HEADS[head]?.() ?? head,
  optionDescription: (option) => choicesWords(option, defaultWords(option)),
}

function defaultWords({ description: text, defaultValue, defaultValueDescription }: Option): string {
  if (defaultValue === undefined) return text
  return headTexts.default({ text, value: defaultValueDescription || JSON.stringify(defaultValue) })
}

const choicesWords = ({ argChoices }: Option, text: string): string =>
  argChoices === undefined
    ? text
    : headTexts.choices({ text, values: rowWords(argChoices.map((choice) => JSON.stringify(choice))) })
