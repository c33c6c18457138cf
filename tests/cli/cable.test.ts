import { writeFileSync } from 'node:fs'
import { beforeAll, describe, expect, it } from 'vitest'
import { writeTitle } from '../../src/title/file.ts'
import { PLAIN } from '../bench/plain-titles.ts'
import { withShort } from '../bench/short-titles.ts'
import { builtCli, demoTitle } from './run-cli.ts'

const cli = builtCli()
const TIDEWATCH = demoTitle('tidewatch')
const CABLES = ['short', 'long', 'unknown']

/** Every command whose answer hangs on the reply time, with what it needs. */
const COMMANDS = [
  ['check', 'three-button', '--title', 'early.json'],
  ['explain', 'three-button', '--title', 'early.json'],
  ['fix', 'three-button', '--title', 'early.json'],
  ['plan', 'three-button', '--title', 'early.json'],
  ['delay', 'three-button', '--title', 'early.json', '--input', 'a'],
  ['repeat', 'three-button', '--title', 'early.json', '--input', 'a'],
  ['symptom', 'three-button', '--saw', 'later'],
]

describe('--cable', () => {
  // Behind a short plug the reply takes 32 to 110 ns; it takes up to 178 in a long cable. From rest high the fall shows A.
  beforeAll(() => {
    const early = withShort(PLAIN.quick, { sampleAfterEdgeNs: { minNs: 104, maxNs: 104 } })
    writeFileSync(cli.path('early.json'), writeTitle(early))
  })

  it('adds to the reply that the adapter states', () => {
    const judged = (cable: string) => {
      const told = cli.json('check', 'six-button', '--title', TIDEWATCH, '--cable', cable) as {
        adapter: { cable: string; replyNs: unknown }
        pairs: { verdict: string; marginNs: number; reason: string }[]
      }
      expect(told.adapter).toMatchObject({ cable, replyNs: { minNs: 32, maxNs: 100 } })
      return told.pairs[0]
    }
    expect(judged('short')).toMatchObject({ verdict: 'tight', marginNs: 120 })
    for (const cable of ['long', 'unknown'])
      expect(judged(cable)).toMatchObject({
        verdict: 'tight',
        marginNs: 52,
        reason:
          'Samples 22.63 µs after releasing select. The line can take 22.40 µs to rise and the reply, cable included, 178 ns more: 52 ns margin, releases select.',
      })
  })

  it.each(COMMANDS)('%s takes it, tells of it, and takes it for not known without it', (...args) => {
    const { out } = cli.run(args[0] as string, '--help')
    // The help breaks its lines where it likes.
    expect(out.replace(/\s+/g, ' ')).toContain(
      'a short plug, a 1.5 m cable, or not known; its time is added to the reply time (default: "unknown") (choices: "short", "long", "unknown")',
    )
    const told = CABLES.map((cable) => cli.run(...args, '--cable', cable, '--json'))
    for (const { code } of told) expect([0, 1, 2]).toContain(code)
    expect(cli.run(...args, '--json')).toEqual(told[2])
    expect(told[0]?.out).not.toBe(told[2]?.out)
  })

  it.each(COMMANDS)('%s refuses another one', (...args) => {
    const { code, out, err } = cli.run(...args, '--cable', 'coax')
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toContain("option '--cable <which>' argument 'coax' is invalid. Allowed choices are")
  })
})
