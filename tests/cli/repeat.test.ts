import { readFileSync, writeFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { writeProfile } from '../../src/profile/file.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { builtCli, demoTitle } from './run-cli.ts'

const cli = builtCli()
const TITLE = demoTitle('slack-water-signal')

function profileWith(repeat: Profile['repeat'], more: Partial<Profile> = {}): string {
  const path = cli.path('repeating.json')
  writeFileSync(path, writeProfile({ ...BUILT_IN_PROFILES['three-button'], ...more, repeat }))
  return path
}

describe('repeat', () => {
  it('prints the samples frame by frame, what they come to, and a table of rates', () => {
    const path = profileWith({ a: { kind: 'reads', pressedReads: 2, releasedReads: 3 } })
    const { code, out, err } = cli.run('repeat', path, '--title', TITLE, '--input', 'a')
    expect({ code, err }).toEqual({ code: 0, err: '' })
    // Two reads a frame, an idle reset after each: steps 0 1, 2 3, 4 0, 1 2, 3 4 of five; pressed below 2.
    const five = '## .. .# #. ..'
    const lines = out.split('\n')
    expect(lines.slice(0, 5)).toEqual([
      `frame  1  ${five} ${five} ${five} ##`,
      `frame 17  .. .# #. .. ${five} ${five} ## ..`,
      '',
      'A of Three buttons in front of Slack Water Signal, reads pressed 2, released 3; held from power-on, a group a frame, a sign a sample, # pressed.',
      'A is seen as asked: pressed in 4 of 10 samples, 23.97 Hz.',
    ])
    // 2 × 59.92 Hz over the reads of a turn.
    expect(lines.slice(6, 10)).toEqual([
      'Presses a second, by reads pressed (down) and released (across):',
      '        1       2       3       4       5       6       7       8',
      '1   59.92f  39.95   29.96   23.97   19.97   17.12   14.98   13.32',
      '2   39.95   29.96   23.97   19.97   17.12   14.98   13.32   11.98',
    ])
    expect(lines.at(-2)).toBe('Not as asked: f = same in each frame.')
  })

  it('says why a repeat stands still', () => {
    const path = profileWith(
      { a: { kind: 'reads', pressedReads: 1, releasedReads: 1 } },
      { idleResetNs: 100_000_000 },
    )
    const { code, out } = cli.run('repeat', path, '--title', TITLE, '--input', 'a')
    expect(code).toBe(0)
    expect(out).toContain(
      'A is never seen released. The title makes two reads a frame, but no idle reset ever comes',
    )
    expect(out).toMatch(/^8 {3}always( {2}always){7}$/m)
  })

  it('JSON: the samples and every rate; nothing asked where the profile does not repeat', () => {
    const path = profileWith({ a: { kind: 'reads', pressedReads: 1, releasedReads: 1 } })
    const told = cli.json('repeat', path, '--title', TITLE, '--input', 'a') as {
      asked: { finding: string; frames: { pressed: boolean }[][] }
      rates: { finding: string }[]
    }
    expect(told).toMatchObject({ input: 'a', titleReadsPerFrame: 2, countedReadsPerFrame: 2 })
    expect(told.asked.finding).toBe('same-each-frame')
    expect(told.asked.frames.map((looks) => looks.map(({ pressed }) => pressed))).toEqual(
      Array.from({ length: 32 }, () => [true, false]),
    )
    expect(told.rates.map(({ finding }) => finding).filter((finding) => finding !== 'as-asked')).toEqual([
      'same-each-frame',
    ])
    expect(cli.json('repeat', 'six-button', '--title', TITLE, '--input', 'b')).toMatchObject({ asked: null })
    expect(cli.run('repeat', 'six-button', '--title', TITLE, '--input', 'b').out).toMatch(
      /^B of Six buttons has no auto-repeat; this is what Slack Water Signal would read\.\n/,
    )
  })

  it('names the mode that is played, with and without an auto-repeat', () => {
    const title = JSON.parse(readFileSync(TITLE, 'utf8')) as { modes: object[] }
    const [mode] = title.modes
    const modes = [
      { ...mode, name: 'Menu' },
      { ...mode, name: 'In play' },
    ]
    const path = cli.path('two-modes.json')
    writeFileSync(path, JSON.stringify({ ...title, modes }))
    const said = 'The reads are those of “In play”, the last of its modes.'
    const repeating = profileWith({ a: { kind: 'reads', pressedReads: 2, releasedReads: 3 } })
    for (const profile of [repeating, 'six-button'])
      expect(cli.run('repeat', profile, '--title', path, '--input', 'a').out).toContain(said)
    expect(cli.json('repeat', 'six-button', '--title', path, '--input', 'a')).toMatchObject({ mode: 2 })
    expect(cli.run('repeat', repeating, '--title', TITLE, '--input', 'a').out).not.toContain('modes')
  })

  it.each([
    [['--title', TITLE, '--input', 'x'], 'Slack Water Signal never samples X; choose an input that it reads'],
    [['--title', TITLE], 'missing --input <input>: the input held'],
    [['--input', 'a'], 'missing --title <title>: the title file'],
  ])('refuses %j in one sentence', (options, sentence) => {
    const { code, out, err } = cli.run('repeat', 'six-button', ...options)
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toContain(sentence)
    expect(err.trim().split('\n')).toHaveLength(1)
  })
})
