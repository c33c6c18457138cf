import { describe, expect, it } from 'vitest'
import { builtCli, demoTitle } from './run-cli.ts'

const cli = builtCli()
const TITLE = demoTitle('harbour-lanterns')

describe('delay', () => {
  it('prints the figures of each part and of the whole, and what they take for granted', () => {
    const { code, out, err } = cli.run(
      'delay',
      'six-button',
      '--title',
      TITLE,
      '--input',
      'a',
      '--pad-interval',
      '4',
    )
    expect({ code, err }).toEqual({ code: 0, err: '' })
    // A frame of 525 lines takes 16.69 ms; the sample of A stands 0.125 ms into it. All else is 4 + 4 + 0.05 ms at the most. The last 5 in 100
    // take y ms from the top of 4 + 4 + 16.69: (y³ − 2(y − 4)³) / (6·4·4·16.69) = 0.05 gives y = 4.31, and 0.025 ms of the adapter come on top.
    expect(out.split('\n').slice(0, 9)).toEqual([
      'A, from the finger to Harbour Lanterns with Six buttons; the pad reports every 4 ms.',
      '',
      '       min    median       p95       max',
      '      0 ns   2.00 ms   3.80 ms   4.00 ms  the pad scans its buttons',
      '      0 ns   2.00 ms   3.80 ms   4.00 ms  the pad’s next report',
      '      0 ns  25.00 µs  47.50 µs  50.00 µs  the adapter, from report to pins',
      '      0 ns   8.34 ms  15.85 ms  16.68 ms  the title’s next sample of A',
      '      0 ns  12.36 ms  20.40 ms  24.73 ms  total, to the sample',
      '  16.56 ms  28.93 ms  36.96 ms  41.30 ms  total, to the frame after that sample',
    ])
    expect(out).toContain('Taken for granted:\n- The finger, the pad and the console')
  })

  it('without --input it takes the first that is seen, and 8 ms for the pad', () => {
    expect(cli.json('delay', 'six-button', '--title', TITLE)).toMatchObject({
      profile: 'Six buttons',
      title: 'Harbour Lanterns',
      input: 'up',
      padIntervalMs: 8,
      looksPerFrame: 2,
      toLook: { total: { minNs: 0 }, density: { fromNs: 0 } },
    })
  })

  it.each([
    [['--title', TITLE, '--pad-interval', '0'], 'A whole number of ms from 1 to 255 is needed, such as 4.'],
    [['--title', TITLE, '--pad-interval', '256'], 'A whole number of ms from 1 to 255'],
    [['--title', TITLE, '--pad-interval', '1.5'], 'A whole number of ms from 1 to 255'],
    [['--title', TITLE, '--input', 'q'], 'Allowed choices are up, down'],
    [
      ['--title', TITLE, '--input', 'x'],
      'Harbour Lanterns never sees X pressed with this profile; choose an input',
    ],
    [[], 'missing --title <title>: the title file'],
  ])('refuses %j in one sentence', (options, sentence) => {
    const { code, out, err } = cli.run('delay', 'six-button', ...options)
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toContain(sentence)
    expect(err.trim().split('\n')).toHaveLength(1)
  })
})
