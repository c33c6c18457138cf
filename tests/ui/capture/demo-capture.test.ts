import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { replyTo } from '../../../src/bench/reply.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { readTitle } from '../../../src/title/file.ts'
import { writeVcd } from '../../../src/title/vcd/write.ts'
import { fetchDemoCapture } from '../../../src/ui/capture/demo-capture.ts'
import { driveTitle } from '../../title/infer/drive.ts'
import { describeWith, findTool } from '../../tools.ts'
import { fileOf, only, shortFound, told } from './captures.ts'

const DEMO = new URL('../../../static/demo/', import.meta.url)
const FRAMES = 60

/** The museum's title as a logic analyser on the port would have seen it: select, and what a six-button pad answers. */
function demoCapture(): string {
  const read = readTitle(new Uint8Array(readFileSync(new URL('titles/copper-kite-rally.json', DEMO))))
  if (!read.ok) throw new Error(read.error.message)
  const line = driveTitle(read.value, { frames: FRAMES, ppm: 35, seed: 9 })
  return writeVcd(replyTo(BUILT_IN_PROFILES['six-button'], [], { ...line, levels: line.values }))
}

it('is what a capture of the museum’s title would be, so that `vitest -u` makes it anew', async () => {
  await expect(demoCapture()).toMatchFileSnapshot(new URL('captures/copper-kite-rally.vcd', DEMO).pathname)
})

it('is fetched as a file, or the sentence says what to do', async () => {
  const asked: string[] = []
  const found = await fetchDemoCapture((path) => {
    asked.push(path)
    return Promise.resolve(new Uint8Array(readFileSync(new URL(path, DEMO))))
  })
  expect(asked).toEqual(['captures/copper-kite-rally.vcd'])
  expect(found.ok && found.value.name).toBe('copper-kite-rally.vcd')
  expect(found.ok && (await found.value.text())).toBe(demoCapture())
  expect(await fetchDemoCapture(() => Promise.resolve(null))).toEqual({
    ok: false,
    error: 'The museum’s capture could not be fetched. Check the network and try again.',
  })
})

// Source: sigrok-cli (Debian package sigrok-cli), which reads the dump and writes a session with its own samples.
describeWith('the museum’s capture, as another tool has it', ['sigrok-cli'], () => {
  it('gives the same read pattern as a session of 10 MHz', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'ninepin-demo-'))
    try {
      const path = join(folder, 'demo.sr')
      const dump = new URL('captures/copper-kite-rally.vcd', DEMO).pathname
      execFileSync(findTool('sigrok-cli') as string, ['-I', 'vcd:downsample=100', '-i', dump, '-o', path])
      const messages = await told(fileOf(readFileSync(path)))
      expect(only(messages, 'lines').lines.map(({ label }) => label)).toEqual([
        'select',
        'pin1',
        'pin2',
        'pin3',
        'pin4',
        'pin6',
        'pin9',
      ])
      const sampled = shortFound(messages)
      const exact = shortFound(await told(fileOf(demoCapture())))
      for (const field of ['rest', 'cyclesPerRead', 'standard', 'readOffsetsNs'] as const)
        expect(sampled[field], field).toEqual(exact[field])
      // A sample is 100 ns, so each edge is seen up to so much later.
      expect(sampled.edgeSpacingNs.minNs).toBeGreaterThanOrEqual(2_500)
      expect(sampled.edgeSpacingNs.maxNs).toBeLessThanOrEqual(2_700)
      expect([exact.cyclesPerRead, exact.edgeSpacingNs]).toEqual([5, { minNs: 2_608, maxNs: 2_608 }])
    } finally {
      rmSync(folder, { recursive: true, force: true })
    }
  })
})
