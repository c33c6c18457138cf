import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { answerPlan } from '../bench/plan.ts'
import type { PlannedBank, ServedTitle, ShelfPlan } from '../bench/plan.ts'
import type { FirstCycleWay } from '../bench/plan/lay-out.ts'
import type { Way } from '../bench/plan/ways.ts'
import { timeWord } from '../words/figures.ts'
import { listWords } from '../words/lists.ts'
import type { Control } from '../pad/controls.ts'
import { workToEnd } from '../port/steps-of-work.ts'
import { writeProfile } from '../profile/file.ts'
import type { Bank, Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { controlWord } from './control-words.ts'
import { judgeOptions } from './command.ts'
import type { JudgingOptions } from './command.ts'
import { BadInput, EXIT } from './fail.ts'
import { loadProfile, loadTitle } from './files.ts'
import { writeAllWhole } from './write.ts'
import { jsonText, say } from './output.ts'

export interface PlanCliOptions extends JudgingOptions {
  readonly title: readonly string[]
  readonly banks: number
  readonly outDir?: string
  readonly json?: true
}

interface Named<T> {
  readonly path: string
  readonly value: T
}

/** Fits a shelf of titles into the banks. Everything is read before anything is written, and written before it is said. */
export function plan(profilePaths: readonly string[], options: PlanCliOptions): number {
  const profiles = profilePaths.map((path) => ({ path, value: loadProfile(path) }))
  const titles = options.title.map((path) => ({ path, value: loadTitle(path) }))
  const made = workToEnd(
    answerPlan({
      profiles: valuesOf(profiles),
      titles: valuesOf(titles),
      options: { ...judgeOptions(options), banks: options.banks },
    }),
  )
  const files = new Map<Bank, string>()
  if (options.outDir !== undefined) {
    makeFolder(options.outDir)
    for (const { bank } of made.banks) files.set(bank, join(options.outDir, `bank-${bank}.json`))
    writeAllWhole(
      made.banks.map(({ bank, profile }) => ({
        path: files.get(bank) ?? '',
        content: writeProfile(profile),
      })),
      [...profilePaths, ...options.title],
    )
  }
  say(
    options.json
      ? jsonText(planJson(made, profiles, titles, files))
      : planText(made, profiles, titles, files),
  )
  return made.unserved.length > 0 ? EXIT.no : EXIT.fine
}

const valuesOf = <T>(named: readonly Named<T>[]): T[] => named.map(({ value }) => value)

function makeFolder(path: string): void {
  try {
    mkdirSync(path, { recursive: true })
  } catch {
    throw new BadInput(path, '', 'this folder cannot be made; name one that you may write to')
  }
}

function planJson(
  { banks, unserved }: ShelfPlan,
  profiles: readonly Named<Profile>[],
  titles: readonly Named<Title>[],
  files: ReadonlyMap<Bank, string>,
) {
  const titleAt = (at: number) => ({ title: titles[at]?.path, titleName: titles[at]?.value.name })
  const profileAt = (at: number) => ({ profile: profiles[at]?.path, profileName: profiles[at]?.value.name })
  return {
    banks: banks.map(({ bank, candidate, ways, back, firstCycle, titles: served, profile }) => ({
      bank,
      ...profileAt(candidate),
      file: files.get(bank) ?? null,
      ways,
      back,
      firstCycle,
      addedRules: addedRules(profile, profiles[candidate]?.value),
      titles: served.map(({ title, ...fit }) => ({ ...titleAt(title), ...fit })),
    })),
    unserved: unserved.map(({ title, servedBy, closest }) => ({
      ...titleAt(title),
      servedBy: servedBy.map(profileAt),
      closest: closest && { ...profileAt(closest.candidate), reason: closest.reason },
    })),
  }
}

const addedRules = (finished: Profile, given: Profile | undefined) => ({
  powerOn: finished.powerOn.slice(given?.powerOn.length ?? 0),
  bankChange: finished.bankChange.slice(given?.bankChange.length ?? 0),
})

function planText(
  { banks, unserved }: ShelfPlan,
  profiles: readonly Named<Profile>[],
  titles: readonly Named<Title>[],
  files: ReadonlyMap<Bank, string>,
): string {
  const nameOf = (title: number): string => titles[title]?.value.name ?? ''
  const nameOfProfile = (candidate: number): string => profiles[candidate]?.value.name ?? ''
  const lines = [summary(banks.length, titles.length - unserved.length, titles.length)]
  for (const planned of banks) {
    lines.push(`Bank ${planned.bank}: ${planned.profile.name}. ${wayIn(planned, banks)}`)
    for (const served of planned.titles) lines.push(titleLine(served, nameOf(served.title)))
    if (planned.firstCycle !== null) lines.push(`  * ${firstCycleWords(planned, planned.firstCycle, banks)}`)
    const file = files.get(planned.bank)
    if (file !== undefined) lines.push(`  Written to ${file}.`)
  }
  if (unserved.length > 0) lines.push('Not served:')
  for (const { title, servedBy, closest } of unserved) {
    const why =
      closest === null
        ? `no bank is left for ${servedBy.map(nameOfProfile).join(' or ')}.`
        : `no profile reads it; ${nameOfProfile(closest.candidate)} comes closest. ${closest.reason}`
    lines.push(`  ${nameOf(title)}: ${why}`)
  }
  const notes = [
    ...betweenBanks(banks),
    ...(usesPowerOn(banks) ? [HELD_WHEN] : []),
    ...addedNote(banks, profiles, files),
  ]
  return [...lines, ...notes].join('\n')
}

const HELD_WHEN =
  'A hold at power-on is judged half a second after the pad answers. A title that has asked for six buttons by then ' +
  'keeps its answer: press reset on the console.'

const plural = (n: number, noun: string): string => `${n} ${noun}${n === 1 ? '' : 's'}`

const summary = (banks: number, served: number, all: number): string =>
  banks === 0
    ? 'No profile here serves any of these titles.'
    : `${plural(banks, 'bank')} ${banks === 1 ? 'serves' : 'serve'} ${served} of ${plural(all, 'title')}.`

const titleLine = ({ verdict, marginNs, firstCycle }: ServedTitle, name: string): string => {
  const spare = marginNs === null ? 'no timing can hurt' : `${timeWord(marginNs)} to spare`
  return `  ${verdict.padEnd(7)}${name}, ${spare}${firstCycle ? ' *' : ''}`
}

const holdWords = (held: readonly Control[], profile: Profile): string =>
  `hold ${listWords(held.map((control) => controlWord(control, profile)))}`

const wayWords = ({ kind, held, forMs }: Way, profile: Profile): string =>
  kind === 'power-on'
    ? `${holdWords(held, profile)} while power comes on`
    : `${holdWords(held, profile)}${forMs === 0 ? '' : ` for ${forMs / 1_000} s`} while playing, then let go`

const sentence = (words: string): string => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`

const wayFrom = ({ ways }: PlannedBank, bank: Bank): Way | null =>
  ways.find(({ from }) => from === bank)?.way ?? null

const NO_ROOM = 'Neither a hold nor a chord has room left: make it the active bank in the app.'

/** The profile whose rules hold while a bank is active. */
const profileIn = (banks: readonly PlannedBank[], bank: Bank): Profile =>
  (banks.find((planned) => planned.bank === bank) as PlannedBank).profile

function wayIn(planned: PlannedBank, banks: readonly PlannedBank[]): string {
  if (planned.bank === 1) return 'Power-on gives it, with nothing held.'
  const way = wayFrom(planned, 1)
  if (way === null) return NO_ROOM
  const words = sentence(wayWords(way, profileIn(banks, 1)))
  return way.kind === 'power-on' ? words : `${words} ${backWords(planned)}`
}

/** A bank that a chord has led to stays the active one. */
const backWords = ({ back, profile }: PlannedBank): string =>
  `It stays active; back to bank 1: ${back === null ? 'choose it in the app' : wayWords(back, profile)}.`

function firstCycleWords(
  planned: PlannedBank,
  { held, into }: FirstCycleWay,
  banks: readonly PlannedBank[],
): string {
  if (held === null) return 'Its first cycle only: no control is free for a hold; take a rule away first.'
  const hold = `${holdWords(held, planned.profile)} while power comes on`
  if (planned.bank === 1) return sentence(hold)
  const first = into === null ? 'make it the active bank in the app' : wayWords(into, profileIn(banks, 1))
  return `${sentence(`${first}, switch power off, and ${hold}`)} ${backWords(planned)}`
}

const usesPowerOn = (banks: readonly PlannedBank[]): boolean =>
  banks.some(
    ({ ways, firstCycle }) => firstCycle !== null || ways.some(({ way }) => way?.kind === 'power-on'),
  )

/** From which bank a way differs from the one that bank 1 has. */
function betweenBanks(banks: readonly PlannedBank[]): string[] {
  const others = banks.flatMap((to) =>
    to.ways
      .filter(({ from, way }) => from !== 1 && JSON.stringify(way) !== JSON.stringify(wayFrom(to, 1)))
      .map(({ from, way }) => {
        const how = way === null ? 'use the app' : wayWords(way, profileIn(banks, from))
        return sentence(`with bank ${from} active, for bank ${to.bank}: ${how}`)
      }),
  )
  return others.length === 0
    ? []
    : ['The adapter starts in the bank that was last made active by a chord or in the app.', ...others]
}

function addedNote(
  banks: readonly PlannedBank[],
  profiles: readonly Named<Profile>[],
  files: ReadonlyMap<Bank, string>,
): string[] {
  const added = banks.filter(({ profile, candidate }) => {
    const { powerOn, bankChange } = addedRules(profile, profiles[candidate]?.value)
    return powerOn.length + bankChange.length > 0
  })
  if (added.length === 0 || files.size > 0) return []
  return ['These profiles get new rules: write them with --out-dir DIR, and flash what is there.']
}
