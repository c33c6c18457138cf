import { readFileSync, writeFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { isInput } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import { decodeImage, sweepOfImage } from '../../src/profile/decode-image.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { padOf, playSeen } from '../bench/play-steps.ts'
import { chanceOf } from '../title/infer/capture-of.ts'
import { builtCli, demoTitle } from './run-cli.ts'

const cli = builtCli()

function titleIn(path: string): Title {
  const read = readTitle(readFileSync(path))
  if (!read.ok) throw new Error(read.error.message)
  return read.value
}

function profileIn(image: string): Profile {
  const read = decodeImage(readFileSync(cli.path(image)))
  if (!read.ok) throw new Error(JSON.stringify(read.error))
  return read.value
}

/** What acts in a title: it is played step by step, as READ.md has it. */
function acts(truth: Title, profile: Profile, held: readonly Input[]): string {
  const { reply, idleReset } = boxOf(profile, truth, REFERENCE_ADAPTER)
  const chance = chanceOf(7)
  const pad = padOf(truth, profile.chart, { reply, idleReset }, new Set(held), chance)
  const seen = new Set(playSeen(truth, pad, chance, 32).flatMap(({ pressed }) => pressed))
  return seen.size === 0 ? 'nothing' : [...seen].join(', ')
}

/** Fills in a page as somebody in front of the title would. */
const filledIn = (page: string, truth: Title, profile: Profile): string =>
  page.replace(/^(hold ([^=#]+)=)$/gm, (_, line: string, holds: string) => {
    const held = holds.split(/[\s+]+/).filter(isInput)
    return `${line} ${acts(truth, profile, held)}`
  })

it('finds out with the adapter what the edges of the museum’s capture do not show', () => {
  const truth = titleIn(demoTitle('copper-kite-rally'))
  const capture = demoTitle('copper-kite-rally').replace('titles', 'captures').replace('.json', '.vcd')
  expect(cli.run('infer', capture, '--out', 'kite.json').code).toBe(0)
  expect(cli.run('check', 'six-button', '--title', 'kite.json').code).toBe(4)

  const answers: string[] = []
  for (;;) {
    const given = answers.length > 0 ? ['--answers', ...answers] : []
    const { code, out, err } = cli.run(
      'probe',
      'kite.json',
      '--out-dir',
      '.',
      '--out',
      'found.json',
      ...given,
    )
    expect({ code, err }).toEqual({ code: 0, err: '' })
    if (/nothing more to ask|Nothing more can be told/.test(out)) break
    const n = answers.length + 1
    expect(n).toBeLessThanOrEqual(4)
    const page = filledIn(
      readFileSync(cli.path(`probe-${n}.txt`), 'utf8'),
      truth,
      profileIn(`probe-${n}.image`),
    )
    writeFileSync(cli.path(`answers-${n}.txt`), page)
    answers.push(`answers-${n}.txt`)
  }
  expect(answers.length).toBeGreaterThan(0)
  // It believes every sample, so the identification walks.
  expect(cli.run('check', 'six-button', '--title', 'found.json').code).toBe(1)
  expect(cli.run('check', 'three-button', '--title', 'found.json').code).toBe(0)
  expect(JSON.stringify(titleIn(cli.path('found.json')))).toContain('"found"')
})

it('says that there is nothing to ask of a title that leaves nothing open, and names a folder that cannot be made', () => {
  const lanterns = demoTitle('harbour-lanterns')
  const asked = cli.run('probe', lanterns, '--out-dir', 'none')
  expect(asked).toMatchObject({ code: 0, err: '' })
  expect(asked.out).toContain('There is nothing more to ask.')
  writeFileSync(cli.path('a-file'), '')
  const kite = demoTitle('copper-kite-rally').replace('titles', 'captures').replace('.json', '.vcd')
  expect(cli.run('infer', kite, '--out', 'kite.json').code).toBe(0)
  const refused = cli.run('probe', 'kite.json', '--out-dir', 'a-file/inside')
  expect(refused.code).toBe(2)
  expect(refused.err).toContain('this folder cannot be made')
})

it.each([
  ['', 'line 1: not a file of answers'],
  ['ninepin-probe 2\nprobe x\n', 'line 1: not a file of answers'],
  ['ninepin-probe 1\nprobe start-again-6-1-key-0\n', 'line 2: these questions were asked with another title'],
])('refuses %j', (text, complaint) => {
  writeFileSync(cli.path('bad.txt'), text)
  const { code, err } = cli.run(
    'probe',
    demoTitle('copper-kite-rally'),
    '--out',
    'o.json',
    '--answers',
    'bad.txt',
  )
  expect(code).toBe(2)
  expect(err).toContain(complaint)
})

it.each([
  ['press x = a', 'line 4: expected'],
  ['hold q = a', 'line 4: expected inputs'],
  ['hold x = jump', 'line 4: expected inputs'],
  ['in mode 9 hold x = a', 'line 4: the title has no mode 9'],
])('refuses the line %j and names it', (line, complaint) => {
  const capture = demoTitle('copper-kite-rally').replace('titles', 'captures').replace('.json', '.vcd')
  expect(cli.run('infer', capture, '--out', 'kite.json').code).toBe(0)
  expect(cli.run('probe', 'kite.json', '--out-dir', '.').code).toBe(0)
  const [format, probe] = readFileSync(cli.path('probe-1.txt'), 'utf8').split('\n')
  writeFileSync(cli.path('bad.txt'), [format, probe, '', line, ''].join('\n'))
  const { code, err } = cli.run('probe', 'kite.json', '--out', 'o.json', '--answers', 'bad.txt')
  expect(code).toBe(2)
  expect(err).toContain(complaint)
})

it('tells by late replies when a title samples: an image, what to hold and to count, and the title with what was counted', () => {
  const SAMPLES_NS = 900
  const file = titleIn(demoTitle('harbour-lanterns'))
  const at = (select: 'low' | 'high', ns: number) => ({
    select,
    since: 'edge',
    after: { minNs: ns, maxNs: ns },
  })
  const takes = { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }
  const starts = { kind: 'frame', offsetsNs: [31_000], late: { minNs: 0, maxNs: 0 } }
  const sample = { sample: takes, after: { minNs: 40, maxNs: 4_000, source: { kind: 'guessed' } } }
  const modes = [{ reads: [{ starts, steps: [at('low', 0), sample, at('high', 5_000)] }] }]
  const title = { ...file, idle: 'high', rise: null, sixButtons: { kind: 'never' }, modes }
  writeFileSync(cli.path('horn.json'), JSON.stringify(title))
  const answers: string[] = []
  for (;;) {
    const given = answers.length > 0 ? ['--answers', ...answers] : []
    const told = cli.json(
      'probe',
      'horn.json',
      '--out-dir',
      'horn',
      '--out',
      'horn-found.json',
      ...given,
    ) as { late: boolean }
    if (!told.late) break
    const n = answers.length + 1
    expect(n).toBeLessThanOrEqual(3)
    const sweep = sweepOfImage(readFileSync(cli.path(`horn/probe-${n}.image`)))
    if (sweep === null) throw new Error('an image with late replies')
    // Some reply in the middle of what the adapter states.
    const acting = Array.from(
      { length: sweep.steps },
      (_, k) => 70 + sweep.firstNs + k * sweep.stepNs,
    ).filter((ns) => ns <= SAMPLES_NS).length
    const page = readFileSync(cli.path(`horn/probe-${n}.txt`), 'utf8')
    expect(page).toContain(`Hold ${sweep.input}`)
    writeFileSync(cli.path(`horn-${n}.txt`), page.replaceAll(/=$/gm, `= ${acting}`))
    answers.push(`horn-${n}.txt`)
  }
  expect(answers.length).toBeGreaterThan(0)
  const found = titleIn(cli.path('horn-found.json')).modes[0]?.reads[0]?.steps[1]
  if (found === undefined || !('sample' in found)) throw new Error('the sample is where it was')
  expect(found.after.minNs).toBeLessThanOrEqual(SAMPLES_NS)
  expect(found.after.maxNs).toBeGreaterThanOrEqual(SAMPLES_NS)
  expect(found.after.maxNs - found.after.minNs).toBeLessThan(800)
  expect(found.after.source).toEqual({ kind: 'found', trials: 2 })
  expect(cli.run('check', 'six-button', '--title', 'horn.json').code).toBe(4)
  expect(cli.run('check', 'six-button', '--title', 'horn-found.json').code).toBe(0)

  const wrong = readFileSync(cli.path('horn-1.txt'), 'utf8')
  writeFileSync(cli.path('wrong.txt'), wrong.replace(/= \d+$/m, '= 1'))
  expect(cli.run('probe', 'horn.json', '--answers', 'wrong.txt', '--out', 'never.json')).toMatchObject({
    code: 2,
    out: '',
  })
  expect(cli.run('probe', 'horn.json', '--answers', 'wrong.txt', '--out', 'never.json').err).toMatch(
    /count again/,
  )
  writeFileSync(cli.path('wrong.txt'), wrong.replace(/first \d+/, 'first 24'))
  expect(cli.run('probe', 'horn.json', '--answers', 'wrong.txt', '--out', 'never.json').err).toMatch(
    /another title, profile or adapter/,
  )
  writeFileSync(cli.path('wrong.txt'), wrong.replace('ninepin-probe 1', 'ninepin-probe 2'))
  expect(cli.run('probe', 'horn.json', '--answers', 'wrong.txt', '--out', 'never.json').err).toMatch(
    /its first line has to be/,
  )
  writeFileSync(cli.path('wrong.txt'), wrong.replaceAll(/= \d+$/gm, '= many'))
  expect(cli.run('probe', 'horn.json', '--answers', 'wrong.txt', '--out', 'never.json').err).toMatch(
    /expected a count/,
  )
})
