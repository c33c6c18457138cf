import { readFileSync, writeFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { readProfile } from '../../src/profile/file.ts'
import { writeTitle } from '../../src/title/file.ts'
import { PLAIN } from '../bench/plain-titles.ts'
import { withShort } from '../bench/short-titles.ts'
import { readVcd } from '../title/vcd/read-vcd.ts'
import { builtCli, demoTitle } from './run-cli.ts'

const cli = builtCli()
const BURST = demoTitle('copper-kite-rally')
const HARBOUR = demoTitle('harbour-lanterns')

/** A file of a title that samples sooner than any adapter answers. */
function early(): string {
  const path = cli.path('early.json')
  writeFileSync(path, writeTitle(withShort(PLAIN.quick, { sampleAfterEdgeNs: { minNs: 20, maxNs: 30 } })))
  return path
}

describe('explain', () => {
  it('draws the read, marks the sample and exits 1', () => {
    const { code, out, err } = cli.run('explain', 'six-button', '--title', BURST)
    expect({ code, err }).toEqual({ code: 1, err: '' })
    expect(out).toContain('Cycle 3 low carries the identification')
    expect(out).toMatch(/! phantom: .*\n.*! missed: /)
    expect(out).toMatch(/select {2}‾+_+‾+_+‾+_+‾+_+‾+_+‾+\n/)
    expect(out).toMatch(/samples.*\|.*\^.*\|/)
    expect(out).toContain('pins 1, 2.')
  })

  it('says how much too early a sample is', () => {
    const { out } = cli.run('explain', 'six-button', '--title', early())
    expect(out).toContain('too-early')
    expect(out).toMatch(/can be as late as .*, 158 ns short\./)
  })

  it('writes the same as VCD, in which the misread sample meets the pins that it names', () => {
    const { code, out } = cli.run('explain', 'six-button', '--title', BURST, '--out', 'wave.vcd')
    expect(code).toBe(1)
    expect(out).toContain('wave.vcd: the diagram as VCD.')
    const wire = (signal: string) => {
      const read = readVcd(readFileSync(cli.path('wave.vcd')), { signal })
      if (!read.ok) throw new Error(read.error.message)
      return read.value
    }
    const misread = wire('misread')
    const guiltyNs = misread.timesNs[1] ?? -1
    const levelAt = (signal: string): number | undefined => {
      const { timesNs, values } = wire(signal)
      const at = timesNs.reduce((last, ns, k) => (ns <= guiltyNs ? k : last), 0)
      return values[at]
    }
    expect(guiltyNs).toBeGreaterThan(0)
    expect(['pin1', 'pin2', 'pin9'].map(levelAt)).toEqual([0, 0, 1])
    expect(levelAt('select')).toBe(0)
  })

  it('has nothing to draw where all is well, and says so', () => {
    const { code, out } = cli.run('explain', 'three-button', '--title', HARBOUR, '--out', 'none.vcd')
    expect(code).toBe(0)
    expect(out).toContain('Nothing to draw, so none.vcd was not written.')
    expect(() => readFileSync(cli.path('none.vcd'))).toThrow()
    expect(cli.json('explain', 'three-button', '--title', HARBOUR)).toMatchObject({ diagram: null })
  })
})

describe('fix', () => {
  it('lists what helps and what it costs, and writes the first', () => {
    const { code, out } = cli.run('fix', 'six-button', '--title', BURST, '--out', 'mended.json')
    expect(code).toBe(0)
    expect(out).toContain('1. Stop after the second cycle.')
    expect(out).toContain('trade-off: six-button titles lose X, Y, Z and Mode')
    expect(cli.run('check', 'mended.json', '--title', BURST).code).toBe(0)
    const kept = readProfile(readFileSync(cli.path('mended.json')))
    expect(kept.ok && kept.value.chart.cycles).toHaveLength(2)
  })

  it('writes the one that is picked, and knows how many there are', () => {
    expect(cli.run('fix', 'six-button', '--title', BURST, '--pick', '2', '--out', 'hold.json').code).toBe(0)
    const kept = readProfile(readFileSync(cli.path('hold.json')))
    expect(kept.ok && kept.value.chart.cycles).toHaveLength(4)
    const none = cli.run('fix', 'six-button', '--title', BURST, '--pick', '9', '--out', 'no.json')
    expect(none).toMatchObject({ code: 2, err: 'ninepin: --pick: there is no fix 9; 2 were found\n' })
  })

  it('proves that nothing in the grid helps, exits 1 and writes nothing', () => {
    const { code, out } = cli.run('fix', 'six-button', '--title', early(), '--out', 'nothing.json')
    expect(code).toBe(1)
    expect(out).toMatch(/No fix found: all \d+ combinations/)
    expect(() => readFileSync(cli.path('nothing.json'))).toThrow()
  })

  it('has nothing to mend where all is clean, and writes the profile as it is', () => {
    const { code, out } = cli.run('fix', 'three-button', '--title', HARBOUR, '--out', 'same.json')
    expect(code).toBe(0)
    expect(out).toContain('Nothing to fix.')
    expect(readProfile(readFileSync(cli.path('same.json'))).ok).toBe(true)
  })

  it('prints JSON of this shape', () => {
    expect(cli.json('fix', 'six-button', '--title', BURST)).toMatchObject({
      now: [{ title: 'Copper Kite Rally', verdict: 'misread' }],
      fixes: [
        {
          what: 'Stop after the second cycle',
          changes: [{ kind: 'stop-after', cycles: 2 }],
          lost: ['x', 'y', 'z', 'mode'],
          lostHere: [],
          verdicts: [{ title: 'Copper Kite Rally', verdict: 'clean' }],
        },
        { changes: [{ kind: 'first-cycle', held: ['centre-left'] }] },
      ],
      isWhole: false,
    })
  })
})
