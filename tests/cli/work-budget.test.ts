import { writeFileSync } from 'node:fs'
import { beforeAll, describe, expect, it } from 'vitest'
import { builtCli } from './run-cli.ts'

const cli = builtCli()

const exactly = (ns: number) => ({ minNs: ns, maxNs: ns })

/** At the limits of the format: eight modes of sixteen reads, each once in 64 frames, and from every frame into every mode. */
const manyWays = (): object => {
  const steps = [
    { select: 'low', after: exactly(0) },
    { sample: { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }, after: { minNs: 1_000, maxNs: 1_200 } },
    { select: 'high', after: exactly(1_500) },
    {
      sample: { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' },
      after: { minNs: 1_000, maxNs: 1_200 },
    },
  ]
  const modes = Array.from({ length: 8 }, (_, mode) => ({
    name: `Mode ${mode + 1}`,
    reads: Array.from({ length: 16 }, (_, read) => ({
      starts: {
        kind: 'frame',
        offsetsNs: [100_000 + mode * 10_000],
        everyFrames: 64,
        inFrame: 4 * read,
        late: { minNs: 0, maxNs: 1_000 },
      },
      steps,
    })),
  }))
  return {
    format: 'ninepin-title',
    version: 3,
    name: 'Many ways',
    notes: '',
    fragile: false,
    port: 'select-line',
    standard: '525-line',
    clockPpm: 100,
    idle: 'high',
    rise: null,
    modes,
    sixButtons: { kind: 'never' },
    takesOpposite: true,
  }
}

beforeAll(() => {
  writeFileSync(cli.path('many.json'), JSON.stringify(manyWays()))
})

/** Whoever would follow all of its ways worked for seconds; what is left open is said instead. */
describe('a title whose reads can go in more ways than are followed', () => {
  const OPEN = 'Not decided: its reads can go in more ways than are followed.'
  const SIMPLER = 'Its reads can go in more ways than are followed: a simpler description can be decided.'

  it('is not decided: check and explain say so and end with 4', () => {
    const { code, out } = cli.run('check', 'three-button', '--title', 'many.json')
    expect(code).toBe(4)
    expect(out).toContain(`undecided Many ways with Three buttons\n        ${OPEN}\n`)
    expect(out).toContain('1 pair: 0 clean, 0 tight, 1 undecided, 0 misread.')
    expect(cli.json('check', 'three-button', '--title', 'many.json')).toMatchObject({
      undecided: 1,
      pairs: [{ verdict: 'undecided', isWhole: false, marginNs: null, hangsOn: { kind: 'budget' } }],
    })
    const explained = cli.run('explain', 'three-button', '--title', 'many.json')
    expect(explained.code).toBe(4)
    expect(explained.out).toContain(OPEN)
  })

  it('has its figures worked out, as one that is not covered until it is decided', () => {
    for (const command of [['delay'], ['repeat', '--input', 'a']] as const) {
      const [name, ...options] = command
      const { code, out } = cli.run(name, 'three-button', '--title', 'many.json', ...options)
      expect(code, name).toBe(4)
      expect(out).toContain(`${OPEN}\n        Not covered until it is decided: `)
      expect(out).toContain(SIMPLER)
    }
  })

  it('is covered by no plan', () => {
    const { code, out } = cli.run('plan', 'three-button', '--title', 'many.json')
    expect(code).toBe(1)
    expect(out).toMatch(/Not covered:\n {2}Many ways: No profile here reads it right; .* Not decided: /u)
  })
})
