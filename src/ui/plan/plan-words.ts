import type { PlannedBank, ServedTitle, ShelfPlan, Unserved } from '../../bench/plan.ts'
import type { Way } from '../../bench/plan/ways.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { timeWord } from '../../words/figures.ts'
import { listWords } from '../../words/lists.ts'
import type { Control } from '../../pad/controls.ts'
import type { Bank } from '../../profile/schema.ts'

const IN_THE_APP = 'make it the active bank in the app'

/** "hold Face south and Centre left". */
export const holdWords = (held: readonly Control[]): string =>
  `hold ${listWords(held.map((control) => CONTROL_WORDS[control]))}`

const atPowerOn = (held: readonly Control[]): string => `${holdWords(held)} while power comes on`

function wayWords(way: Way | null): string {
  if (way === null) return IN_THE_APP
  if (way.kind === 'power-on') return atPowerOn(way.held)
  const forWords = way.forMs === 0 ? '' : ` for ${way.forMs / 1_000} s`
  return `${holdWords(way.held)}${forWords} while playing, then let go`
}

const sentence = (words: string): string => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`

/** A chord is remembered through power-off, so whoever takes it has to be told the way back. */
const backWords = ({ back }: PlannedBank): string =>
  `The bank stays active until you leave it. Back to bank 1: ${back === null ? 'choose it in the app' : wayWords(back)}.`

const wayFrom = ({ ways }: PlannedBank, bank: Bank): Way | null =>
  ways.find(({ from }) => from === bank)?.way ?? null

/** How a bank is chosen on the console while bank 1 is the active one, in sentences. */
export function chooseWords(planned: PlannedBank): string {
  if (planned.bank === 1) return 'Switch the console on with nothing held.'
  const way = wayFrom(planned, 1)
  if (way === null) return `No rule has room left for a hold or a chord: ${IN_THE_APP}.`
  const words = sentence(wayWords(way))
  return way.kind === 'power-on' ? words : `${words} ${backWords(planned)}`
}

/** How the bank is kept to its first cycle, for the titles that need it; empty where none does. */
export function firstCycleWords(planned: PlannedBank): string {
  if (planned.firstCycle === null) return ''
  const { held, into } = planned.firstCycle
  if (held === null) return 'No control is free for this hold. Take a rule out of the profile and plan again.'
  if (planned.bank === 1) return sentence(atPowerOn(held))
  return `${sentence(`${wayWords(into)}, switch the console off, and ${atPowerOn(held)}`)} ${backWords(planned)}`
}

/** Where a way is another one because another bank than the first is active; empty where none is. */
export function otherWays(banks: readonly PlannedBank[]): string[] {
  const ways = banks.flatMap((to) => {
    const usual = wayWords(wayFrom(to, 1))
    return to.ways
      .filter(({ from, way }) => from !== 1 && wayWords(way) !== usual)
      .map(({ from, way }) => sentence(`from bank ${from} to bank ${to.bank}: ${wayWords(way)}`))
  })
  return ways.length === 0 ? [] : ['While a chord or the app has made another bank the active one:', ...ways]
}

export const usesPowerOn = (banks: readonly PlannedBank[]): boolean =>
  banks.some(
    ({ ways, firstCycle }) => firstCycle !== null || ways.some(({ way }) => way?.kind === 'power-on'),
  )

export const POWER_ON_NOTE =
  'A hold counts half a second after the pad answers. If a title has looked for six buttons by then, press reset on the console.'

/** "2 banks serve 5 of 6 titles." */
export function summaryWords({ banks, unserved }: ShelfPlan, titles: number): string {
  const some = (n: number, noun: string) => `${n} ${noun}${n === 1 ? '' : 's'}`
  if (banks.length === 0) return 'None of these profiles serves any of these titles.'
  const serve = banks.length === 1 ? 'serves' : 'serve'
  return `${some(banks.length, 'bank')} ${serve} ${titles - unserved.length} of ${some(titles, 'title')}.`
}

export const spareWords = ({ marginNs }: ServedTitle): string =>
  marginNs === null ? 'no timing can hurt' : `${timeWord(marginNs)} to spare`

/** Why a title has found no bank. */
export function unservedWords({ servedBy, closest }: Unserved, profileName: (at: number) => string): string {
  if (closest === null)
    return `No bank is left for ${servedBy.map(profileName).join(' or ')}. Leave other titles out to make room.`
  return `No profile here reads it; ${profileName(closest.candidate)} comes closest. ${closest.reason}`
}
