import { copyFileSync, readFileSync, writeFileSync } from 'node:fs'
import { beforeAll, describe, expect, it } from 'vitest'
import { capturedOf } from '../../src/title/captured-of.ts'
import { readTitle, writeTitle } from '../../src/title/file.ts'
import { withoutOpen } from '../../src/title/leave-open.ts'
import { simulate } from '../title/infer/simulate.ts'
import { capturedPad } from '../title/replies/pad-lines.ts'
import type { Line } from '../title/replies/pad-lines.ts'
import { builtCli } from './run-cli.ts'

const cli = builtCli()

/** Two reads of four cycles a frame, so close now and then that an idle reset of 1.5 ms does not come between them. */
function line(): Line {
  const apartNs = [900_000, 1_300_000, 1_700_000, 2_600_000]
  const parts = apartNs.map((ns) =>
    simulate(
      {
        standard: '525-line',
        offsetsNs: [200_000, 200_000 + ns],
        cycles: 4,
        spacingNs: { minNs: 3_000, maxNs: 3_300 },
        rest: 'high',
        jitterNs: 3_000,
      },
      { frames: 15, seed: ns },
    ),
  )
  let fromNs = 0
  const edgesNs: number[] = []
  for (const { timesNs, endNs } of parts) {
    for (const ns of timesNs.slice(1)) edgesNs.push(fromNs + ns)
    fromNs += endNs
  }
  return { startsHigh: true, edgesNs, endNs: fromNs }
}

beforeAll(() => {
  copyFileSync('static/demo/captures/copper-kite-rally.vcd', cli.path('museum.vcd'))
  const pad = { kind: 'six-stay', replyNs: 250, idleResetNs: 1_500_000 } as const
  const holds = [
    { fromNs: 0, held: new Set<string>() },
    { fromNs: 305_000_000, held: new Set(['left', 'x']) },
    { fromNs: 405_000_000, held: new Set<string>() },
  ]
  const vcd = capturedPad(pad, line(), holds, 0)
  writeFileSync(cli.path('original.vcd'), vcd)
  writeFileSync(cli.path('probes.vcd'), vcd.replaceAll(/\bpin(\d) /g, 'D$1 '))
})

const PROBES = '1=D1,2=D2,3=D3,4=D4,6=D6,9=D9'

describe('infer measures the pad in a capture', () => {
  it('the museum’s, by itself', () => {
    const { code, out } = cli.run('infer', 'museum.vcd', '--out', 'title.json')
    expect(code).toBe(0)
    expect(out.slice(out.indexOf('The pad'))).toBe(
      [
        'The pad in the capture, from its data lines:',
        '  Data lines          pins 1, 2, 3, 4, 6 and 9; pins 6 and 9 never change (sure)',
        '  Replies as          a six-button pad; what it does after its last cycle does not show (sure, 60 of 60 reads)',
        '  Reply time          0 ns to 1 ns after an edge of select; every time is known to within 1 ns (sure, 416 of 600 phases)',
        '  Idle reset          16.633328 ms without a rising edge at most: 59 rests with a reset (sure)',
        '  Held inputs         none of Up, Down, Left, Right, A, B, C, Start, X, Y, Z and Mode (likely)',
        '',
      ].join('\n'),
    )
  })

  it('an original one: table, reply time, idle reset, and what was held', () => {
    const told = cli.json('infer', 'original.vcd', '--out', 'title.json') as {
      findings: { what: string; value: Record<string, number | string>; words: string }[]
    }
    const of = (what: string) => told.findings.find((finding) => finding.what === what)
    expect(of('pad-table')?.value).toEqual({ table: 'six-buttons', after: 'stay' })
    expect(of('pad-reply')?.value).toEqual({ minNs: 249, maxNs: 251, stepNs: 1 })
    const { minNs, maxNs, contradicts } = of('pad-idle-reset')?.value ?? {}
    // From the last rise of one read to the first of the next: 0.9 ms and so on, less the time of a read.
    expect(contradicts).toBe(false)
    expect(minNs).toBeGreaterThan(1_250_000)
    expect(minNs).toBeLessThanOrEqual(1_500_000)
    expect(maxNs).toBeGreaterThanOrEqual(1_500_000)
    expect(maxNs).toBeLessThan(1_720_000)
    expect(of('pad-idle-reset')?.words).toMatch(
      /^between 1\.\d+ ms and 1\.\d+ ms without a rising edge: \d+ rests without a reset and \d+ rests with a reset$/,
    )
    expect(of('pad-held')?.words).toMatch(/^Left in \d+ of 120 reads, X in \d+ of \d+ reads$/)
  })

  it('and the title keeps which pad it had in front of it, for whoever judges it', () => {
    expect(cli.run('infer', 'original.vcd', '--out', 'title.json').code).toBe(0)
    const found = readTitle(readFileSync(cli.path('title.json')))
    if (!found.ok) throw new Error(found.error.message)
    expect(found.value.captures).toMatchObject([{ name: 'original.vcd', pad: 'six-buttons' }])
    expect(capturedOf(found.value)?.pads).toEqual(['six-buttons'])
    // With nothing left open it is clean in front of a pad that answers every cycle alike.
    writeFileSync(cli.path('closed.json'), writeTitle(withoutOpen(found.value)))
    const { code, out } = cli.run('check', 'three-button', '--title', 'closed.json')
    expect({ code, out }).toMatchObject({ code: 0 })
    expect(out).toContain(
      'The pad in the capture replied with six buttons: if original reads a three-button pad in another way, that is not in it.',
    )
  })

  it('with lines that go by other names, where they are said', () => {
    const all = (file: string, ...args: string[]) => {
      const { out } = cli.run('infer', file, ...args, '--out', 'title.json')
      return out.slice(out.indexOf('The pad'))
    }
    expect(all('probes.vcd', '--pins', PROBES)).toBe(all('original.vcd'))
    expect(cli.run('infer', 'probes.vcd', '--out', 'title.json').out).not.toContain('The pad')
  })

  it.each([
    [['--pins', '5=D1'], /expected pins and the lines of the capture that are theirs/],
    [['--pins', '1=D1,1=D2'], /expected pins/],
    [['--pins', '1='], /expected pins/],
    [['--pins', '1=D8'], /^ninepin: probes\.vcd: No line is called "D8"; choose one of /],
  ])('%s is refused, and nothing is written', (args, sentence) => {
    const { code, err } = cli.run('infer', 'probes.vcd', ...args, '--out', 'never.json')
    expect(code).toBe(2)
    expect(err).toMatch(sentence)
  })
})
