import { spawn } from 'node:child_process'
import { copyFileSync } from 'node:fs'
import { beforeAll, describe, expect, it } from 'vitest'
import { builtCli, demoTitle } from './run-cli.ts'

const cli = builtCli()

beforeAll(() => {
  copyFileSync('static/demo/captures/copper-kite-rally.vcd', cli.path('burst.vcd'))
  expect(cli.run('infer', 'burst.vcd', '--out', 'burst.json').code).toBe(0)
})

/** The museum's own capture is of a title that misreads a six-button pad; edges do not show that it uses what it samples. */
describe('a title that was found in a capture', () => {
  it('is not clean: check says what it hangs on and what decides, and ends with 4', () => {
    const { code, out } = cli.run('check', 'six-button', '--title', 'burst.json')
    expect(code).toBe(4)
    expect(out).toMatch(
      /^undecided burst with Six buttons\n {8}Clean if it only uses its first 2 cycles\. Misread if /,
    )
    expect(out).toMatch(
      /\n {8}To decide: Use Six buttons and hold .*: if Up or Down acts by itself, it misreads\.\n/,
    )
    expect(out).toMatch(/\n1 pair: 0 clean, 0 tight, 1 undecided, 0 misread\.\n/)
    const { undecided, pairs } = JSON.parse(
      cli.run('check', 'six-button', '--title', 'burst.json', '--json').out,
    ) as { undecided: number; pairs: { verdict: string; hangsOn: { misreadIf: unknown[] } }[] }
    expect(undecided).toBe(1)
    expect(pairs[0]?.hangsOn.misreadIf.length).toBeGreaterThan(1)
  })

  it('is told as a misread where another title is one', () => {
    const titles = ['burst.json', demoTitle('copper-kite-rally')]
    expect(cli.run('check', 'six-button', '--title', ...titles).code).toBe(1)
  })

  it('is drawn as it would go wrong', () => {
    const { code, out } = cli.run('explain', 'six-button', '--title', 'burst.json')
    expect(code).toBe(4)
    // What the verdict hangs on is told once, and of what it shares with others, too.
    expect(out).not.toMatch(/\n {2}\? phantom: /)
    expect(out.match(/takes that for Up and Down/g)).toHaveLength(1)
    expect(out).toMatch(/\n {8}Misread if it uses its sample in cycle 4 high: Cycle 4 high carries Z/)
    expect(out).toMatch(/\n {2}samples .*\^/)
    // Each figure with who says so and how often it was seen; with what the verdict depends on, what would change it.
    expect(out).toMatch(
      /\n {2}Samples {22}11 in a read, 11 of them left open \(guessed\)\n {31}Misread if it uses its sample in cycle 3 low, or does one of 2 other things\.\n/,
    )
    expect(out).toMatch(/\n {2}Edge to edge .* \(measured in burst\.vcd, 60 of 60\)\n/)
    const tight = cli.run('explain', 'six-button', '--title', demoTitle('tidewatch')).out
    // 22.4 µs of rise, 178 ns of reply and 200 ns of margin.
    expect(tight).toContain('Tight until it is 22.778 µs or more: then clean.')
    const { known } = cli.json('explain', 'six-button', '--title', demoTitle('harbour-lanterns')) as {
      known: readonly { name: string }[]
    }
    expect(known.filter(({ name }) => name === 'Step to sample')).toEqual([
      {
        name: 'Step to sample',
        value: '2.34 µs to 2.60 µs, 2 times',
        source: 'not recorded',
        change: 'Clean down to 378 ns; less is tight.',
      },
    ])
  })

  it('is covered by no plan', () => {
    const plan = cli.run('plan', 'six-button', '--title', 'burst.json')
    expect(plan.out).toContain('Not covered:\n  burst: ')
  })

  it('is to be decided before it is fixed: that is said at once, with what it brings, before a search that finds nothing', async () => {
    const child = spawn(process.execPath, [cli.program, 'fix', 'six-button', '--title', 'burst.json'], {
      cwd: cli.folder,
    })
    const chunks: string[] = []
    child.stdout.setEncoding('utf8').on('data', (chunk: string) => chunks.push(chunk))
    const code = await new Promise((resolve) => child.once('close', resolve))
    expect(code).toBe(1)
    const out = chunks.join('')
    expect(out).toMatch(
      /^undecided burst .*\n {8}Clean if .*\n {8}Decide first\. Use .* If it only uses its first 2 cycles, nothing has to change\.\n/,
    )
    expect(out).toMatch(/\nNo one change suits everything that an undecided title may be: all \d+ /)
    // Written before the search began, not with what it found.
    expect(chunks[0]).toContain('Decide first.')
    expect(chunks[0]).not.toContain('No one change')
  })

  it('has its latency and its auto-repeat worked out, as one that is not covered until it is decided', () => {
    for (const command of [['delay'], ['repeat', '--input', 'a']] as const) {
      const [name, ...options] = command
      const { code, out } = cli.run(name, 'six-button', '--title', 'burst.json', ...options)
      expect(code, name).toBe(4)
      expect(out).toMatch(
        /^undecided burst .*\n {8}Clean if .*\n {8}Not covered until it is decided: these figures .* Decide first\. Use .* nothing has to change\.\n\n/,
      )
      expect(cli.json(name, 'six-button', '--title', 'burst.json', ...options)).toMatchObject({
        verdict: 'undecided',
        decide: expect.stringMatching(/^Decide first\. Use /) as string,
      })
      const misread = cli.run(name, 'six-button', '--title', demoTitle('copper-kite-rally'), ...options)
      expect(misread.code, name).toBe(1)
      expect(misread.out).toMatch(/^misread .*\n.*\n {8}Not covered: these figures .*\n\n/)
      const clean = cli.run(name, 'three-button', '--title', demoTitle('copper-kite-rally'), ...options)
      expect(clean.code, name).toBe(0)
      expect(clean.out).not.toContain('ot covered')
    }
  })
})
