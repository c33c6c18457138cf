import { existsSync, readFileSync, readdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { readProfile, writeProfile } from '../../src/profile/file.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { writeTitle } from '../../src/title/file.ts'
import { PLAIN } from '../bench/plain-titles.ts'
import { shortTitle, withShort } from '../bench/short-titles.ts'
import { builtCli, demoTitle } from './run-cli.ts'

const cli = builtCli()
const BURST = demoTitle('copper-kite-rally')
const MOTHS = demoTitle('nine-moths')
const LANTERNS = demoTitle('harbour-lanterns')
const three = BUILT_IN_PROFILES['three-button']

/** A title that takes B for C and C for B, and a profile that suits it, both made from ones that do not. */
function crossed(from = PLAIN.once, base: Profile = three): { title: string; profile: string } {
  const swap = { 6: 'c', 9: 'b' } as const
  const crossedTitle = withShort(from, {
    name: 'Crossed Lanterns',
    samples: shortTitle(from).samples.map((sample) =>
      sample.level === 'high' ? { ...sample, pins: { ...sample.pins, ...swap } } : sample,
    ),
  })
  const cycle = ({ high, low }: Profile['chart']['cycles'][number]) => ({ high: { ...high, ...swap }, low })
  const profile: Profile = {
    ...base,
    name: 'Crossed',
    chart: { cycles: base.chart.cycles.map(cycle), after: { kind: 'start-again' } },
  }
  writeFileSync(cli.path('crossed-title.json'), writeTitle(crossedTitle))
  writeFileSync(cli.path('crossed.json'), writeProfile(profile))
  return { title: 'crossed-title.json', profile: 'crossed.json' }
}

const profileIn = (path: string): Profile => {
  const read = readProfile(readFileSync(path))
  if (!read.ok) throw new Error(read.error.message)
  return read.value
}

describe('plan', () => {
  it('one bank for a shelf, with what to hold for the title that needs the first cycle only', () => {
    const { code, out, err } = cli.run('plan', 'three-button', 'six-button', '--title', BURST, MOTHS)
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toMatch(
      /^1 bank covers 2 of 2 titles\.\nBank 1: Six buttons\. Switch the console on with nothing held\.\n/,
    )
    expect(out).toMatch(/^ {2}clean {2}Copper Kite Rally, .* \*$/m)
    expect(out).toMatch(/^ {2}clean {2}Nine Moths, [^*]*$/m)
    expect(out).toContain('  * Hold Mode (centre-left) while power comes on.')
  })

  it('writes a finished profile a bank, with the holds that the plan tells', () => {
    const { title, profile } = crossed()
    const folder = join('plan', 'evening')
    const { code, out } = cli.run(
      ...['plan', 'six-button', profile, '--title', BURST, MOTHS, title, '--out-dir', folder],
    )
    expect(code).toBe(0)
    expect(out).toContain('Bank 2: Crossed. Hold B (face-south) while power comes on.')
    expect(out).toContain(`  Written to ${join(folder, 'bank-2.json')}.`)
    expect(readdirSync(cli.path(folder)).sort()).toEqual(['bank-1.json', 'bank-2.json'])
    const [first, second] = [1, 2].map((bank) => profileIn(cli.path(join(folder, `bank-${bank}.json`))))
    expect(first?.powerOn).toEqual([
      ...BUILT_IN_PROFILES['six-button'].powerOn,
      { held: ['face-south'], then: { kind: 'bank', bank: 2 } },
    ])
    expect(second?.powerOn).toEqual([{ held: ['face-west'], then: { kind: 'bank', bank: 1 } }])
    expect({ ...second, powerOn: [] }).toEqual(profileIn(cli.path(profile)))
  })

  it('without a folder it says that the profiles get rules, and writes nothing', () => {
    const { title, profile } = crossed()
    const { out } = cli.run('plan', 'six-button', profile, '--title', MOTHS, title)
    expect(out).toContain('These profiles get new rules: write them with --out-dir DIR')
    expect(existsSync(cli.path('bank-1.json'))).toBe(false)
  })

  it('the first cycle of another bank: a chord there, Mode at power-on, and the way back', () => {
    const { title, profile } = crossed(PLAIN.burst, BUILT_IN_PROFILES['six-button'])
    const { code, out } = cli.run('plan', 'six-button', profile, '--title', MOTHS, LANTERNS, title)
    expect(code).toBe(0)
    expect(out).toContain(
      '  * Hold C (face-east) and Start (centre-right) for 2 s while playing, then let go, switch the console off, and hold ' +
        'Mode (centre-left) while power comes on. The bank stays active until you leave it. Back to bank 1: hold C (face-east) and Start ' +
        '(centre-right) for 2 s while playing, then let go.',
    )
    expect(out).toContain('A hold is checked half a second after the pad’s first report.')
  })

  it('a chord that is there is used, and as the adapter remembers it, the way back is told', () => {
    const { title, profile } = crossed()
    const chord: Profile = {
      ...BUILT_IN_PROFILES['six-button'],
      bankChange: [{ held: ['centre-left', 'centre-right'], forMs: 1_500, bank: 'next' }],
    }
    writeFileSync(cli.path('chord.json'), writeProfile(chord))
    const { out } = cli.run('plan', 'chord.json', profile, '--title', MOTHS, title)
    expect(out).toContain(
      'Bank 2: Crossed. Hold Mode (centre-left) and Start (centre-right) for 1.5 s while playing, then let go. The ' +
        'bank stays active until you leave it. Back to bank 1: hold B (face-south), C (face-east) and shoulder-left for 2 s while playing, then let go.',
    )
  })

  it('exits 1 and says what would serve what is left, and why nothing serves the rest', () => {
    const { title, profile } = crossed()
    const few = cli.run('plan', 'six-button', profile, '--banks', '1', '--title', MOTHS, BURST, title)
    expect(few.code).toBe(1)
    expect(few.out).toContain('Not covered:\n  Crossed Lanterns: No bank is left for Crossed.')
    const none = cli.run('plan', 'three-button', '--title', title)
    expect(none.code).toBe(1)
    expect(none.out).toMatch(/^None of these profiles covers any of these titles\.\n/)
    expect(none.out).toContain(
      'Crossed Lanterns: No profile here reads it right; Three buttons comes closest. ',
    )
  })

  it('says it all in JSON', () => {
    const { title, profile } = crossed()
    expect(cli.json('plan', 'six-button', profile, '--title', MOTHS, BURST, title)).toMatchObject({
      banks: [
        {
          bank: 1,
          profile: 'six-button',
          file: null,
          back: null,
          firstCycle: { held: ['centre-left'], into: null },
          addedRules: {
            powerOn: [{ held: ['face-south'], then: { kind: 'bank', bank: 2 } }],
            bankChange: [],
          },
          titles: [
            { title: MOTHS, verdict: 'clean', firstCycle: false },
            { title: BURST, verdict: 'clean', firstCycle: true },
          ],
        },
        { bank: 2, profile, ways: [{ from: 1, way: { kind: 'power-on', held: ['face-south'] } }] },
      ],
      unserved: [],
    })
  })

  it('refuses bad input with 2 and writes nothing', () => {
    expect(cli.run('plan', 'six-button').err).toContain('missing --title <title...>')
    expect(cli.run('plan', 'six-button', '--banks', '5', '--title', MOTHS).code).toBe(2)
    const { code, err } = cli.run('plan', 'six-button', '--title', MOTHS, 'none.json', '--out-dir', 'nowhere')
    expect(code).toBe(2)
    expect(err).toContain('none.json')
    expect(existsSync(cli.path('nowhere'))).toBe(false)
    writeFileSync(cli.path('a-file'), '')
    const folder = cli.run('plan', 'six-button', '--title', MOTHS, '--out-dir', 'a-file')
    expect(folder.code).toBe(2)
    expect(folder.err).toContain('a-file: this folder cannot be made')
  })

  it('does not write over a profile that it was made from', () => {
    writeFileSync(cli.path('bank-1.json'), writeProfile(three))
    const { code, err } = cli.run('plan', 'bank-1.json', '--title', BURST, '--out-dir', '.')
    expect(code).toBe(2)
    expect(err).toContain('this is what was read')
  })
})
