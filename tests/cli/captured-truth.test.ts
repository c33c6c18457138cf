import { writeFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { writeProfile } from '../../src/profile/file.ts'
import { arbEvenSteps, arbUsualSteps } from '../bench/arbitrary-steps.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { allPlayed, PROFILES, TRUTHS, truthOf } from '../title/infer/truth.ts'
import { builtCli } from './run-cli.ts'

/**
 * Truth against verdict: titles are played as a select line, captured, inferred and judged by the plain command line. What is true of a title it
 * tells itself, in tests/bench/play-steps.ts, in front of a pad that shows it the very line that was captured.
 */

const cli = builtCli()
const isLong = process.env['NINEPIN_LONG'] === 'yes'

const ENDS = ['0', '1', '4', 'refused'] as const

/** Reads are as long as programs have them, or of each length as often as of the others. */
const WEIGHTS = [
  { lengths: 'usual', arbitrary: arbUsualSteps, seed: 12, others: false },
  { lengths: 'even', arbitrary: arbEvenSteps, seed: 2, others: true },
]

it.each(WEIGHTS)(
  'no title with reads of $lengths length that misreads in what was captured ends with 0 unless opposite directions do it and that is said, and of those that are clean in any case two thirds do',
  ({ lengths, arbitrary, seed, others }) => {
    const names = Object.keys(PROFILES)
    for (const name of names) writeFileSync(cli.path(`${name}.json`), writeProfile(PROFILES[name] as Profile))
    const played = allPlayed(isLong ? 400 : 40, seed, arbitrary, others).map((one, k) => ({
      ...one,
      file: `${lengths}-${k}`,
    }))
    const pairs = played.flatMap((one, k) => {
      const asked = names[k % names.length] as string
      const pairOf = (profile: string) => ({
        ...one,
        profile,
        truth: truthOf(PROFILES[profile] as Profile, one.captured),
      })
      // All that six buttons bring to light.
      const withSix =
        asked === 'six'
          ? []
          : [pairOf('six')].filter(({ truth }) => truth === 'misread' || truth === 'opposite')
      return [pairOf(asked), ...withSix]
    })
    for (const { file, captured } of played) writeFileSync(cli.path(`${file}.vcd`), captured.vcd)
    const inferred = cli.runAll(
      played.map(({ file, captured: { how } }) => [
        ...['infer', `${file}.vcd`, '--out', `title-${file}.json`],
        ...(how.fromNs === 0 ? ['--from-power-on'] : []),
      ]),
    )
    const isInferred = new Set(played.filter((_, k) => inferred[k]?.code === 0).map(({ file }) => file))
    const asked = pairs.filter(({ file }) => isInferred.has(file))
    const answers = cli.runAll(
      asked.map(({ file, profile }) => ['check', `${profile}.json`, '--title', `title-${file}.json`]),
    )
    const table = new Map<string, number>()
    const wrong: string[] = []
    /** What was written by infer and not taken by check. */
    const ended: string[] = []
    for (const pair of pairs) {
      const { name, captured, profile, truth } = pair
      const answer = answers[asked.indexOf(pair)]
      const end = answer === undefined ? 'refused' : String(answer.code)
      table.set(`${truth} ${end}`, (table.get(`${truth} ${end}`) ?? 0) + 1)
      if (answer !== undefined && !['0', '1', '4'].includes(end)) ended.push(`${name}: ${answer.err}`)
      const isSaid = truth === 'opposite' && answer?.out.includes('that it does is a guess')
      if ((truth === 'misread' || (truth === 'opposite' && !isSaid)) && end === '0')
        wrong.push(`${name} with ${profile}, ${JSON.stringify(captured.how)}\n${answer?.out}`)
    }
    const count = (truth: string, end: string): number => table.get(`${truth} ${end}`) ?? 0
    const row = (truth: string): string =>
      [truth.padEnd(8), ...ENDS.map((end) => String(count(truth, end)).padStart(8))].join('')
    console.log(
      [`\n${lengths}`.padEnd(9), ...ENDS.map((end) => end.padStart(8))].join(''),
      `\n${TRUTHS.map(row).join('\n')}`,
    )
    expect(wrong).toEqual([])
    expect(ENDS.reduce((sum, end) => sum + count('misread', end), 0)).toBeGreaterThan(10)
    const clean = ENDS.reduce((sum, end) => sum + count('clean', end), 0)
    expect(count('clean', '0') / clean).toBeGreaterThan(2 / 3)
    // With usual lengths, and samples so close that none of its edges can be missing, two thirds of all that is clean do, whether edges can decide it or not.
    const close = pairs.filter(
      ({ truth, captured }) => (truth === 'clean' || truth === 'open') && captured.how.gridNs <= 1_000,
    )
    const right = close.filter((pair) => answers[asked.indexOf(pair)]?.code === 0)
    if (lengths === 'usual') expect(right.length / close.length).toBeGreaterThan(2 / 3)
    expect(ended.filter((one) => one !== '')).toEqual([])
  },
)
