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
    expect(out).toMatch(/\n {2}\? phantom: /)
    expect(out).toMatch(/\n {2}samples .*\^/)
  })

  it('is covered by no plan, and fix says to decide first and what that brings', () => {
    const plan = cli.run('plan', 'six-button', '--title', 'burst.json')
    expect(plan.out).toContain('Not covered:\n  burst: ')
    const { code, out } = cli.run('fix', 'six-button', '--title', 'burst.json')
    expect(code).toBe(1)
    expect(out).toMatch(
      /decide first\. Use .* If it only uses its first 2 cycles, nothing has to change\.\n$/,
    )
  })
})
