import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { zipSync } from 'fflate'
import { beforeAll, describe, expect, it } from 'vitest'
import { writeVcd } from '../../src/title/vcd/write.ts'
import { builtCli, demoTitle } from './run-cli.ts'

const cli = builtCli()
const RALLY = join(
  fileURLToPath(new URL('../..', import.meta.url)),
  'static/demo/captures/copper-kite-rally.vcd',
)

/** Frames in each of which select falls and rises so often, from high, in phases of 3 µs. */
function reads(cycles: number, frames: number): { atNs: number; signal: string; value: '0' | '1' }[] {
  return Array.from({ length: frames }, (_, frame) => frame).flatMap((frame) =>
    Array.from({ length: 2 * cycles }, (_, k) => ({
      atNs: 1_000_000 + frame * 16_700_000 + k * 3_000,
      signal: 'select',
      value: k % 2 === 0 ? ('0' as const) : ('1' as const),
    })),
  )
}

const put = (
  name: string,
  changes: readonly { atNs: number; signal: string; value: '0' | '1' | 'x' }[],
): void =>
  writeFileSync(
    cli.path(name),
    writeVcd({
      module: 'port',
      signals: ['select'],
      initial: { select: '1' },
      changes: [...changes],
      endNs: 100_000_000,
    }),
  )

beforeAll(() => {
  put('plain.vcd', reads(2, 5))
  const known = reads(2, 5)
  put(
    'blurred.vcd',
    known.map((one, k) => (k === 9 ? { ...one, value: 'x' as const } : one)),
  )
  put('still.vcd', [])
  const metadata = '[device 1]\ncapturefile=logic-1\nsamplerate=1 MHz\nprobe1=select\nunitsize=1\n'
  const samples = Uint8Array.from({ length: 4_000 }, (_, k) => (k >= 1_000 && k < 1_010 ? 0 : 1))
  const bytes = (text: string) => new TextEncoder().encode(text)
  writeFileSync(
    cli.path('plain.sr'),
    zipSync({ version: bytes('2'), metadata: bytes(metadata), 'logic-1-1': samples }),
  )
})

describe('check --capture', () => {
  it('names the first edge at which the museum’s capture meets the identification, and leaves it undecided', () => {
    const { code, out, err } = cli.run('check', 'six-button', '--capture', RALLY)
    expect({ code, err }).toEqual({ code: 4, err: '' })
    expect(out).toMatch(/^undecided by count: \S*select in \S*copper-kite-rally\.vcd with /)
    const told =
      /At edge (\d+), (\d+\.\d+) µs into the capture, a low phase begins that can be cycle 3 low, which/.exec(
        out,
      )
    expect(out).toContain('which carries the identification')
    // The dump itself, read here by hand: the changes of select, whose code is !, with their stamps.
    const changes: { ns: number; value: string }[] = []
    let ns = 0
    for (const word of readFileSync(RALLY, 'utf8').split(/\s+/)) {
      if (/^#\d+$/.test(word)) ns = Number(word.slice(1))
      else if (/^[01]!$/.test(word)) changes.push({ ns, value: word.charAt(0) })
    }
    const edge = changes[Number(told?.[1])]
    expect(edge?.value).toBe('0')
    const falls = changes.slice(1, Number(told?.[1]) + 1).filter(({ value }) => value === '0')
    expect(falls.length).toBe(3)
    expect((edge?.ns ?? 0) - (changes[0]?.ns ?? 0)).toBe(Math.round(Number(told?.[2]) * 1e3))
    expect(out).toMatch(/edges do not show when the title samples, so the reply time is not judged\.\n$/)
  })

  it('is clean for a pad that always answers the same', () => {
    const { code, out, err } = cli.run('check', 'three-button', '--capture', RALLY)
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toMatch(/^clean by count: /)
    expect(out).toContain(
      'Every phase is answered as in the first cycle: whatever the title makes of its samples, no count can spoil it.',
    )
    expect(out).toContain('Whatever was counted before the capture, it is right from its first edge on.')
  })

  it('is clean for reads of two cycles, after what was counted before them', () => {
    const { code, out } = cli.run('check', 'six-button', '--capture', 'plain.vcd', '--signal', 'select')
    expect(code).toBe(0)
    expect(out).toMatch(/it is right after [1-4] edges? of 20\.$/m)
  })

  it('reads a session file, and says what its samples can have missed', () => {
    const { code, out } = cli.run('check', 'three-button', '--capture', 'plain.sr')
    expect(code).toBe(0)
    expect(out).toContain('The line was sampled every 1 µs: pulses that are shorter can be missing from it.')
  })

  it('takes every count to be possible where the level is not known', () => {
    const { code, out } = cli.run('check', 'six-button', 'three-button', '--capture', 'blurred.vcd')
    expect(code).toBe(4)
    expect(out).toMatch(/^undecided by count: [^\n]*\n +At 34\.403 ms into the capture the level/)
    expect(out).toMatch(/^clean by count: /m)
  })

  it('with a title beside it ends as the worse of the two', () => {
    const rally = demoTitle('copper-kite-rally')
    const both = cli.run('check', 'six-button', '--title', rally, '--capture', RALLY)
    expect(both.code).toBe(1)
    expect(both.out).toMatch(/^misread /)
    expect(both.out).toMatch(/^undecided by count: /m)
    const fine = ['three-button', '--title', rally, '--capture']
    expect(cli.run('check', ...fine, RALLY).code).toBe(0)
  })

  it('with --json it prints the same as data', () => {
    const told = cli.json('check', 'six-button', 'three-button', '--capture', RALLY)
    expect(told).toMatchObject({
      pairs: [],
      misreads: 0,
      undecided: 1,
      captured: {
        capture: RALLY,
        lines: [
          {
            profile: 'six-button',
            byCount: 'undecided',
            danger: { kind: 'later', level: 'low', row: 2 },
            edges: 600,
          },
          { profile: 'three-button', byCount: 'clean', danger: null, settlesAfterEdges: 0 },
        ],
      },
    })
  })

  it.each<[string[], RegExp]>([
    [['--capture', 'none.vcd'], /^ninepin: none\.vcd: there is no such file\n$/],
    [['--capture', 'still.vcd'], /^ninepin: still\.vcd: This line is high all the time/],
    [
      ['--capture', 'plain.vcd', '--signal', 'lamp'],
      /^ninepin: plain\.vcd: line \d+: No wire is called "lamp"/,
    ],
    [['--signal', 'select', '--title', 'x'], /--signal goes with --capture/],
    [[], /missing --title <title\.\.\.>: one title file or more/],
  ])('refuses %j', (args, sentence) => {
    const { code, out, err } = cli.run('check', 'six-button', ...args)
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(sentence)
  })
})
