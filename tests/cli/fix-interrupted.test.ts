import { spawn } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { setTimeout as pause } from 'node:timers/promises'
import { beforeAll, describe, expect, it } from 'vitest'
import { readProfile } from '../../src/profile/file.ts'
import { writeTitle } from '../../src/title/file.ts'
import { PLAIN } from '../bench/plain-titles.ts'
import { shortTitle, withShort } from '../bench/short-titles.ts'
import { describeWith } from '../tools.ts'
import { builtCli, demoTitle } from './run-cli.ts'
import { onTerminal } from './terminal.ts'

const cli = builtCli()

/**
 * A search of minutes, in which a first fix is found soon: the title is mended by fewer cycles and stays tight, so all that could make it
 * clean is gone through, and it takes long to explore, as it reads eight times a frame, each read a little late now and then.
 */
beforeAll(() => {
  const slow = withShort(PLAIN.burst, {
    name: 'Slow Kite',
    readOffsetsNs: Array.from({ length: 8 }, (_, k) => 100_000 + k * 1_100_000),
    readJitterNs: 100_000,
    clockPpm: 2_000,
    edgeSpacingNs: { minNs: 30_000, maxNs: 40_000 },
    sampleAfterEdgeNs: { minNs: 300, maxNs: 500 },
  })
  writeFileSync(cli.path('slow.json'), writeTitle(slow))
  // Judging this one, which is one step of a search, takes a second.
  const slowest = withShort(PLAIN.burst, {
    readOffsetsNs: Array.from({ length: 8 }, (_, k) => 1_000 + k * 2_062_500),
    readJitterNs: 100_000,
    clockPpm: 2_000,
    cyclesPerRead: 12,
    edgeSpacingNs: { minNs: 55_400, maxNs: 79_000 },
    sampleAfterEdgeNs: { minNs: 39_800, maxNs: 47_000 },
    drive: { kind: 'released', riseNs: { minNs: 0, maxNs: 30_000 } },
    samples: shortTitle(PLAIN.burst).samples.slice(0, 2),
  })
  writeFileSync(cli.path('slowest.json'), writeTitle(slowest))
})

const LONG = ['fix', 'six-button', '--title', 'slow.json'] as const

describeWith('a long search on a terminal', ['socat'], () => {
  it('shows how far it is, then its best so far; Ctrl-C ends it with that, which is written', async () => {
    const terminal = onTerminal(cli, ...LONG, '--out', 'best.json')
    await terminal.shows('The search goes on.')
    terminal.pressControlC()
    const { code, out } = await terminal.ended
    expect(code).toBe(4)
    const lines = terminal.shown().split('\r\u001b[K')
    const tried = lines.flatMap(
      (line) => /^Looking for a fix: (\d+) combinations? of changes/.exec(line)?.[1] ?? [],
    )
    expect(tried[0]).toBe('0')
    expect(Number(tried.at(-1))).toBeGreaterThan(0)
    // A slow machine may have nothing to tell after so long; what it told is then what it ends with.
    const told = /Best so far: (.*); Slow Kite tight; .*\. The search goes on\./.exec(terminal.shown())?.[1]
    const isKnown = told !== undefined
    if (!isKnown) expect(terminal.shown()).toContain('No fix so far. The search goes on.')
    expect(out).toMatch(/^misread .*Slow Kite with Six buttons\n/)
    expect(out).toMatch(/Interrupted after \d+ combinations of changes: not searched to the end/)
    if (isKnown) expect(out).toContain(`1. ${told}.`)
    const written = existsSync(cli.path('best.json')) && readProfile(readFileSync(cli.path('best.json')))
    expect(written !== false && written.ok).toBe(out.includes('best.json: the profile with fix 1.'))
    if (isKnown) expect(cli.json('check', 'best.json', '--title', 'slow.json')).toMatchObject({ misreads: 0 })
  })

  it('a second Ctrl-C ends it at once: nothing is said, and the shell sees that a signal ended it', async () => {
    const terminal = onTerminal(cli, 'fix', 'six-button', '--title', 'slowest.json')
    await terminal.shows('0 combinations')
    // Both within one step, before the first of them is looked at, and not so close that the system makes one of them.
    terminal.pressControlC()
    await pause(30)
    terminal.pressControlC()
    expect(await terminal.ended).toEqual({ code: 130, out: '' })
  })

  it('a short one leaves nothing of its line', async () => {
    const terminal = onTerminal(cli, 'fix', 'six-button', '--title', demoTitle('copper-kite-rally'))
    const { code, out } = await terminal.ended
    expect(code).toBe(0)
    expect(out).toContain('1. Stop after the second cycle.')
    expect(terminal.shown().split('\r').at(-1)).toBe('\u001b[K')
  })
})

describe('a long search without a terminal', () => {
  it('says nothing of how far it is; SIGINT ends it with the best so far', async () => {
    // A signal that comes before the search has begun ends the program; then wait longer.
    for (let waitMs = 500; ; waitMs *= 2) {
      const child = spawn(process.execPath, [cli.program, ...LONG, '--json'], { cwd: cli.folder })
      const said = { out: '', err: '' }
      child.stdout.setEncoding('utf8').on('data', (text: string) => (said.out += text))
      child.stderr.setEncoding('utf8').on('data', (text: string) => (said.err += text))
      const ended = new Promise((resolve) => child.once('close', (code, by) => resolve(by ?? code)))
      await pause(waitMs)
      child.kill('SIGINT')
      const end = await ended
      expect(said.err).toBe('')
      if (end === 'SIGINT') continue
      expect(end).toBe(4)
      expect(JSON.parse(said.out)).toMatchObject({
        now: [{ title: 'Slow Kite', verdict: 'misread' }],
        isWhole: false,
        isInterrupted: true,
      })
      return
    }
  })

  it('is told in the help, beside the exit codes', () => {
    expect(cli.run('help', 'fix').out).toMatch(/Ctrl-C \(SIGINT\) ends it: .* exit code 4/)
    expect(cli.run('--help').out).toContain('a search was interrupted before its end')
    expect(cli.json('fix', 'six-button', '--title', demoTitle('copper-kite-rally'))).toMatchObject({
      isInterrupted: false,
    })
  })
})
