import { join } from 'node:path'
import { answerPlan } from '../bench/plan.ts'
import { addedRules } from '../bench/plan/lay-out.ts'
import type { PlannedBank, ServedTitle, ShelfPlan } from '../bench/plan.ts'
import {
  chooseWords,
  firstCycleWords,
  otherWays,
  powerOnNote,
  spareWords,
  summaryWords,
  unservedWords,
  usesPowerOn,
} from '../bench/plan/plan-words.ts'
import type { BankControlWords } from '../bench/plan/plan-words.ts'
import { workToEnd } from '../port/steps-of-work.ts'
import { writeProfile } from '../profile/file.ts'
import type { Bank, Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { outcomeTexts } from '../words/outcome-texts.ts'
import { subjectWords } from '../words/sentence-texts.ts'
import { controlWord } from './control-words.ts'
import { judgeOptions } from './command.ts'
import type { JudgingOptions } from './command.ts'
import { EXIT } from './fail.ts'
import { loadProfile, loadTitle } from './files.ts'
import { makeFolder, writeAllWhole } from './write.ts'
import { jsonText, say } from './output.ts'
import { planTexts as t } from './output-texts.ts'

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

function planText(
  plan: ShelfPlan,
  profiles: readonly Named<Profile>[],
  titles: readonly Named<Title>[],
  files: ReadonlyMap<Bank, string>,
): string {
  const { banks, unserved } = plan
  const nameOf = (title: number): string => titles[title]?.value.name ?? ''
  const nameOfProfile = (candidate: number): string => profiles[candidate]?.value.name ?? ''
  const controls: BankControlWords = (bank) => {
    const profile = banks.find((planned) => planned.bank === bank)?.profile
    return (control) => (profile === undefined ? control : controlWord(control, profile))
  }
  const lines = [summaryWords(plan, titles.length)]
  for (const planned of banks) {
    lines.push(
      t.bank({
        bank: planned.bank,
        profile: planned.profile.name,
        choose: chooseWords(planned, controls),
      }),
    )
    for (const served of planned.titles) lines.push(titleLine(served, nameOf(served.title)))
    if (planned.firstCycle !== null)
      lines.push(`  ${t.firstCycle({ how: firstCycleWords(planned, controls) })}`)
    const file = files.get(planned.bank)
    if (file !== undefined) lines.push(`  ${t.written({ file })}`)
  }
  if (unserved.length > 0) lines.push(t.notCovered)
  for (const one of unserved)
    lines.push(`  ${subjectWords([nameOf(one.title)], unservedWords(one, nameOfProfile))}`)
  const notes = [
    ...otherWays(banks, controls),
    ...(usesPowerOn(banks) ? [powerOnNote()] : []),
    ...addedNote(banks, profiles, files),
  ]
  return [...lines, ...notes].join('\n')
}

/** As a title stands in the list of its bank; a star for those that need the first cycle only. */
function titleLine(served: ServedTitle, title: string): string {
  const margin = spareWords(served)
  const line = served.firstCycle ? t.titleFirstCycle({ title, margin }) : t.title({ title, margin })
  return `  ${outcomeTexts[served.verdict].padEnd(7)}${line}`
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
  return [t.newRules]
}
