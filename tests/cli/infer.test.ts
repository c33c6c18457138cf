import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { zipSync } from 'fflate'
import { beforeAll, describe, expect, it } from 'vitest'
import { readTitle } from '../../src/title/file.ts'
import { writeVcd } from '../../src/title/vcd/write.ts'
import { shortTitle } from '../bench/short-titles.ts'
import { simulate } from '../title/infer/simulate.ts'
import type { Circumstances, Edges } from '../title/infer/simulate.ts'
import { builtCli } from './run-cli.ts'

const cli = builtCli()

const LANTERNS = {
  standard: '525-line',
  offsetsNs: [200_000, 3_000_000],
  cycles: 4,
  spacingNs: { minNs: 3_000, maxNs: 3_400 },
  rest: 'high',
  jitterNs: 0,
} as const
const played = (circumstances: Circumstances) => simulate(LANTERNS, circumstances)

/** A dump in which the named lines do what the edges say, and one more never moves. */
const dump = ({ timesNs, values, endNs }: Edges, signals: readonly string[] = ['select']): string =>
  writeVcd({
    module: 'port',
    signals: [...signals, 'lamp'],
    initial: { ...Object.fromEntries(signals.map((signal) => [signal, values[0] ? '1' : '0'])), lamp: '0' },
    changes: [...timesNs].flatMap((atNs, k) =>
      signals.map((signal) => ({ atNs, signal, value: values[k] ? ('1' as const) : ('0' as const) })),
    ),
    endNs,
  })

const put = (name: string, content: string | Uint8Array): void => writeFileSync(cli.path(name), content)

/** Samples of lines at 1 MHz, in a session file. */
function session(edges: Edges, names: readonly string[], bit: number): Uint8Array {
  const samples = new Uint8Array(Math.floor(edges.endNs / 1_000))
  edges.timesNs.forEach((ns, k) => {
    const untilNs = edges.timesNs[k + 1] ?? edges.endNs
    samples.fill((edges.values[k] ?? 0) << bit, Math.ceil(ns / 1_000), Math.ceil(untilNs / 1_000))
  })
  const probes = names.map((name, k) => `probe${k + 1}=${name}\n`).join('')
  const metadata = `[device 1]\ncapturefile=logic-1\nsamplerate=1 MHz\n${probes}unitsize=1\n`
  const text = (words: string) => new TextEncoder().encode(words)
  return zipSync({ version: text('2'), metadata: text(metadata), 'logic-1-1': samples })
}

beforeAll(() => {
  const line = played({ frames: 60 })
  put('lanterns.vcd', dump(line))
  put('only.vcd', dump(line, []).replace('lamp', 'strobe'))
  put('sole.vcd', dump(line, ['strobe']).replace('$var wire 1 " lamp $end\n', '').replace('0"\n', ''))
  put('capitals.vcd', dump(line, ['SELECT']))
  put('twins.vcd', dump(line, ['select', 'SELECT']))
  put('unnamed.vcd', dump(line, ['d0', 'd1']))
  put('short.vcd', dump(played({ frames: 2 })))
  put('still.vcd', dump({ ...line, timesNs: line.timesNs.slice(0, 1), values: line.values.slice(0, 1) }))
  put('mixed.vcd', dump(line).replace('$timescale 1 ns $end', '$timescale 1 ns $end $timescale 10 ns $end'))
  put('cut.vcd', dump(line).slice(0, 60))
  put('lanterns.sr', session(line, ['lamp', 'Select'], 1))
  put('unnamed.sr', session(line, ['D0', 'D1'], 1))
  put('cut.sr', session(line, ['select'], 0).slice(0, -5))
})

const title = (name: string) => {
  const read = readTitle(readFileSync(cli.path(name)))
  if (!read.ok) throw new Error(read.error.message)
  return shortTitle(read.value)
}

const LANTERNS_TITLE = {
  name: 'lanterns',
  standard: '525-line',
  readOffsetsNs: [0, 2_800_000],
  cyclesPerRead: 4,
  edgeSpacingNs: { minNs: 3_000, maxNs: 3_400 },
  rest: 'high',
}

describe('infer', () => {
  it('writes a title that check takes, and says what it found and how sure it is', () => {
    const { code, out, err } = cli.run('infer', 'lanterns.vcd', '--out', 'found.json')
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toMatch(/^found\.json: lanterns, from the edges of port\.select\.\n/)
    expect(out).toMatch(/^ {2}Video standard {6}525-line, \d ppm (off|fast|slow) \(sure, 60 of 60 frames\)$/m)
    expect(out).toMatch(/^ {2}Cycles per read {5}4 \(sure, 120 of 120 reads\)$/m)
    expect(out).toMatch(
      /^ {2}Six buttons {9}never, .* in cycle 3 low, extra buttons in cycle 4 high \(guess\)$/m,
    )
    const found = title('found.json')
    expect({ ...found, readOffsetsNs: LANTERNS_TITLE.readOffsetsNs }).toMatchObject(LANTERNS_TITLE)
    // A first edge comes 0.4 µs sooner or later: from rest high it follows after the first, silent phase.
    expect(Math.abs((found.readOffsetsNs[1] ?? 0) - 2_800_000)).toBeLessThanOrEqual(400)
    expect(found.notes).toMatch(/^Inferred from the edges of port\.select in lanterns\.vcd\.\n/)
    // Its reads are long enough for six buttons, and edges do not show what it makes of them.
    const checked = cli.run('check', 'three-button', '--title', 'found.json')
    expect(checked.code).toBe(4)
    expect(checked.out).toMatch(/^undecided found|^undecided lanterns/)
  })

  it('points from each figure that it measured to the capture, by its SHA-256 (FIPS 180-4)', () => {
    expect(cli.run('infer', 'lanterns.vcd', '--out', 'out').code).toBe(0)
    const read = readTitle(readFileSync(cli.path('out')))
    if (!read.ok) expect.fail(read.error.message)
    const { captures, modes } = read.value
    const bytes = readFileSync(cli.path('lanterns.vcd'))
    const sha256 = createHash('sha256').update(bytes).digest('hex')
    expect(captures).toEqual([{ sha256, name: 'lanterns.vcd', bytes: bytes.length }])
    const edges = modes[0]?.reads[0]?.steps.filter((step) => 'select' in step)
    expect(new Set(edges?.map((edge) => 'after' in edge && JSON.stringify(edge.after.source)))).toEqual(
      new Set([JSON.stringify({ kind: 'measured', seen: 120, of: 120, capture: sha256 })]),
    )
  })

  it('with --json it prints the findings as data', () => {
    const told = cli.json('infer', 'lanterns.vcd', '--out', 'found.json')
    expect(told).toMatchObject({
      capture: 'lanterns.vcd',
      signal: 'port.select',
      out: 'found.json',
      title: 'lanterns',
    })
    const { findings } = told as { findings: { what: string }[] }
    expect(findings.find(({ what }) => what === 'cycles-per-read')).toEqual({
      what: 'cycles-per-read',
      value: 4,
      sureness: 'sure',
      evidence: { seen: 120, of: 120, things: 'reads' },
      words: '4',
    })
  })

  it('reads a session file, to the sample', () => {
    const { code, out } = cli.run('infer', 'lanterns.sr', '--out', 'sampled.json')
    expect(code).toBe(0)
    expect(out).toMatch(/from the edges of Select\.\n/)
    expect(out).toMatch(/^ {2}Sampled {13}every 1 µs; edges are known to within that time \(sure\)$/m)
    const { standard, cyclesPerRead, rest, edgeSpacingNs } = title('sampled.json')
    expect({ standard, cyclesPerRead, rest }).toEqual({
      standard: '525-line',
      cyclesPerRead: 4,
      rest: 'high',
    })
    expect(edgeSpacingNs).toEqual({ minNs: 3_000, maxNs: 4_000 })
  })

  it('takes the line that must be meant, or the one that is named', () => {
    const of = (...args: string[]) =>
      (cli.json('infer', ...args, '--out', 'found.json') as { signal: string }).signal
    expect(of('sole.vcd')).toBe('port.strobe')
    expect(of('capitals.vcd')).toBe('port.SELECT')
    expect(of('twins.vcd', '--signal', 'select')).toBe('port.select')
    expect(of('unnamed.vcd', '--signal', 'port.d1')).toBe('port.d1')
    expect(of('unnamed.sr', '--signal', 'D1')).toBe('D1')
  })

  it.skipIf(process.platform === 'win32')('reads from a pipe', () => {
    const { status } = spawnSync(
      'sh',
      ['-c', `cat lanterns.vcd | "${process.execPath}" "${cli.program}" infer /dev/stdin --out piped.json`],
      { cwd: cli.folder },
    )
    expect(status).toBe(0)
    expect(title('piped.json').name).toBe('stdin')
  })
})

describe('infer refuses, in one sentence and with nothing written', () => {
  it.each<[string[], RegExp]>([
    [['none.vcd'], /^none\.vcd: there is no such file$/],
    [['.'], /^\.: this is a folder, not a file$/],
    [['only.vcd'], /^only\.vcd: This line is low all the time/],
    [
      ['twins.vcd'],
      /^twins\.vcd: Several lines are called select; choose one of port\.select, port\.SELECT\. Say which with --signal\.$/,
    ],
    [
      ['unnamed.vcd'],
      /^unnamed\.vcd: No line is called select; choose one of port\.d0, port\.d1, port\.lamp\. /,
    ],
    [['unnamed.vcd', '--signal', 'd9'], /^unnamed\.vcd: line 9: No wire is called "d9"/],
    [['unnamed.sr'], /^unnamed\.sr: No line is called select; choose one of D0, D1\. /],
    [['unnamed.sr', '--signal', 'd0'], /^unnamed\.sr: No line is called "d0"; choose one of D0, D1\. /],
    [['still.vcd'], /^still\.vcd: This line is high all the time/],
    [['mixed.vcd'], /^mixed\.vcd: line 3: The \$timescale "10 ns" contradicts the one before it\.$/],
    [['cut.vcd'], /^cut\.vcd: line \d: The file is cut off/],
    [['cut.sr'], /^cut\.sr: The file is cut off, or is no zip/],
  ])('%s', (args, sentence) => {
    const { code, out, err } = cli.run('infer', ...args, '--out', 'never.json')
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toMatch(/^ninepin: [^\n]+\n$/)
    expect(err.slice('ninepin: '.length, -1)).toMatch(sentence)
    expect(existsSync(cli.path('never.json'))).toBe(false)
  })

  it('after what could be found, where there is something', () => {
    const { code, out, err } = cli.run('infer', 'short.vcd', '--out', 'never.json')
    expect(code).toBe(2)
    expect(out).toMatch(/^ {2}Cycles per read {5}4 \(likely, 4 of 4 reads\)$/m)
    expect(err).toMatch(/^ninepin: short\.vcd: 2 frames cannot show what repeats; three are needed/)
    expect(existsSync(cli.path('never.json'))).toBe(false)

    const told = cli.json('infer', 'short.vcd', '--out', 'never.json') as {
      error: object
      findings: object[]
    }
    expect(told.error).toMatchObject({ subject: 'short.vcd', place: '' })
    expect(told.findings).toContainEqual(expect.objectContaining({ what: 'rest', value: 'high' }))
  })

  it('writes over nothing that it reads', () => {
    const before = readFileSync(cli.path('lanterns.vcd'))
    const { code, err } = cli.run('infer', 'lanterns.vcd', '--out', 'lanterns.vcd')
    expect(code).toBe(2)
    expect(err).toMatch(/this is what was read; choose another name/)
    expect(readFileSync(cli.path('lanterns.vcd'))).toEqual(before)
  })
})
