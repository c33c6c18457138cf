import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { listWords } from '../../words/lists.ts'
import type { Control } from '../../pad/controls.ts'
import type { Bank, Profile } from '../../profile/schema.ts'

const chord = (controls: readonly Control[]): string =>
  listWords(controls.map((control) => CONTROL_WORDS[control]))

const held = (forMs: number): string => (forMs === 0 ? '' : ` for ${forMs / 1_000} s`)

/**
 * How a bank is chosen on the console, by the rules of the profile that is active there: one sentence part a way.
 *
 * @param active the bank whose rules hold until then
 */
export function waysToBank(
  rules: Pick<Profile, 'powerOn' | 'bankChange'>,
  active: Bank,
  bank: Bank,
): string[] {
  const next = (active % 4) + 1
  const previous = ((active + 2) % 4) + 1
  const atPowerOn = rules.powerOn
    .filter(({ then }) => then.kind === 'bank' && then.bank === bank)
    .map((rule) => `hold ${chord(rule.held)} while power comes on`)
  const whilePlaying = rules.bankChange
    .filter(
      ({ bank: to }) =>
        to === bank || (to === 'next' && next === bank) || (to === 'previous' && previous === bank),
    )
    .map((rule) => `hold ${chord(rule.held)}${held(rule.forMs)} while playing`)
  return [...atPowerOn, ...whilePlaying]
}

/**
 * The same as a whole statement about a bank.
 *
 * @param once the ways that the open profile would give, were it in the active bank
 */
export function wayWords(
  ways: readonly string[],
  bank: Bank,
  active: Bank | null,
  once: readonly string[] = [],
): string {
  if (bank === active) return 'It is the active bank: it answers as soon as power comes on.'
  if (ways.length === 0) {
    const none = 'No rule of the active bank leads to it: once it is flashed, make it the active one here.'
    return once.length > 0
      ? `${none} With this profile in bank ${active ?? 1} too, ${once.join(', or ')}.`
      : `${none} Or flash a profile with a power-on rule or a bank change to it into the active bank.`
  }
  const [first = '', ...others] = ways
  const sentence = [first.charAt(0).toUpperCase() + first.slice(1), ...others].join(', or ')
  return `${sentence}.`
}
