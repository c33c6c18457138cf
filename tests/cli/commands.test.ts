import { readFileSync, readdirSync, writeFileSync } from 'node:fs'
import { crc32 } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { writeProfile } from '../../src/profile/file.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { readVcd } from '../title/vcd/read-vcd.ts'
import { listed } from '../title/vcd/arbitrary.ts'
import { builtCli, demoTitle } from './run-cli.ts'

const cli = builtCli()
const six = BUILT_IN_PROFILES['six-button']
const COMMANDS = [
  'check',
  'explain',
  'fix',
  'plan',
  'delay',
  'repeat',
  'symptom',
  'reply',
  'infer',
  'descriptor',
  'build',
  'unbuild',
  'flash',
  'met',
]
const BURST = demoTitle('copper-kite-rally')
const MOTHS = demoTitle('nine-moths')

/** The CRC that an image carries, over what stands before it; computed by zlib (its crc32, the one of RFC 1952). */
const crcOf = (profile: Profile): string =>
  crc32(encodeImage(profile).slice(0, -4)).toString(16).toUpperCase().padStart(8, '0')

describe('help and version', () => {
  it('the program tells its commands, its exit codes and the cautions', () => {
    const { code, out, err } = cli.run('--help')
    expect({ code, err }).toEqual({ code: 0, err: '' })
    for (const name of COMMANDS) expect(out).toMatch(new RegExp(`^  ${name} `, 'm'))
    expect(out).toContain(
      'Exit codes: 0 fine, 1 a title misreads or cannot be covered or an adapter refuses, 2 bad input, 3',
    )
    expect(out).toContain('qualified technicians')
    expect(cli.run('-h').out).toBe(out)
    expect(cli.run('help').out).toBe(out)
  })

  it.each([
    ['check', ['--title', '--margin', '--reply', '--reset', '--json', 'six-button-one-cycle']],
    [
      'reply',
      ['--select', '--signal', '--hold', '--out', '--json', 'up,down,left,right,a,b,c,start,x,y,z,mode'],
    ],
    [
      'build',
      ['--out', '--pad', '--uf2', '--bank', '--json', 'boot button', 'Unplug the adapter from the console'],
    ],
    ['unbuild', ['--out', '--pads', '--json']],
    ['flash', ['--bank', '--pad', '--port', '--emulated', '--json', 'Unplug the adapter from the console']],
  ])('%s tells its options', (name, words) => {
    const { code, out, err } = cli.run(name, '--help')
    expect({ code, err }).toEqual({ code: 0, err: '' })
    for (const word of words) expect(out).toContain(word)
    expect(cli.run('help', name).out).toBe(out)
  })

  it('the version is that of the package', () => {
    const { version } = JSON.parse(readFileSync('package.json', 'utf8')) as { version: string }
    expect(cli.run('--version')).toEqual({ code: 0, out: `${version}\n`, err: '' })
  })

  it('without a command it shows the help as an error', () => {
    const { code, out, err } = cli.run()
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toContain('Usage: ninepin')
  })
})

describe('check', () => {
  it('exits 1 when a pair misreads, with a counterexample', () => {
    const { code, out, err } = cli.run('check', 'six-button', '--title', BURST)
    expect({ code, err }).toEqual({ code: 1, err: '' })
    expect(out).toBe(
      [
        'misread Copper Kite Rally with Six buttons',
        '        Reads five cycles in one burst. Cycle 3 low carries the identification: it takes that for Up and Down.',
        '        Example: nothing held; first frame, read 1, cycle 3 low, 12.12 µs into the read (1.69 µs after its edge); pins 1, 2.',
        '        Never read by this title: X, Y, Z and Mode.',
        '1 pair: 0 clean, 0 tight, 1 misread.',
        'These verdicts hold if the figures of the titles are right: 38 of 38 were typed in, guessed or not recorded.',
        '',
      ].join('\n'),
    )
  })

  it('exits 0 when none does', () => {
    const { code, out } = cli.run('check', 'three-button', '--title', BURST)
    expect(code).toBe(0)
    expect(out).toMatch(/^clean {3}Copper Kite Rally with Three buttons\n/)
    expect(out).toMatch(/\n1 pair: 1 clean, 0 tight, 0 misread\.\nThese verdicts hold if /)
  })

  it('takes several profiles and titles, listed or one by one, and judges each pair in order', () => {
    const listed = cli.run('check', 'six-button', 'three-button', '--title', BURST, MOTHS, '--json')
    const oneByOne = cli.run(
      'check',
      'six-button',
      '--title',
      BURST,
      '--json',
      '--title',
      MOTHS,
      '--',
      'three-button',
    )
    expect(oneByOne).toEqual(listed)
    expect(listed.code).toBe(1)
    const { pairs, misreads } = JSON.parse(listed.out) as {
      pairs: Record<string, unknown>[]
      misreads: number
    }
    expect(pairs.map(({ profile, title, verdict }) => [profile, title, verdict])).toEqual([
      ['six-button', BURST, 'misread'],
      ['six-button', MOTHS, 'clean'],
      ['three-button', BURST, 'clean'],
      ['three-button', MOTHS, 'misread'],
    ])
    expect(misreads).toBe(2)
  })

  it('takes a profile as a file or as an image and says the same of it', () => {
    writeFileSync(cli.path('six.json'), writeProfile(six))
    expect(cli.run('build', 'six-button', '--out', 'six.image').code).toBe(0)
    const judged = (profile: string) => {
      const { pairs } = cli.json('check', profile, '--title', BURST, MOTHS) as {
        pairs: { profile: string }[]
      }
      return pairs.map((pair) => ({ ...pair, profile: '' }))
    }
    expect(judged('six.json')).toEqual(judged('six-button'))
    expect(judged('six.image')).toEqual(judged('six-button'))
  })

  it('prints JSON of this shape', () => {
    const told = cli.json('check', 'six-button', '--title', BURST)
    expect(told).toEqual({
      marginNs: 200,
      adapter: expect.objectContaining({
        replyNs: { minNs: 32, maxNs: 100 },
        idleResetNs: { minNs: 0, maxNs: 220 },
      }) as unknown,
      pairs: [
        {
          profile: 'six-button',
          profileName: 'Six buttons',
          title: BURST,
          titleName: 'Copper Kite Rally',
          inCapture: null,
          figures: { seen: 0, asSaid: 38 },
          verdict: 'misread',
          hangsOn: null,
          isWhole: true,
          marginNs: expect.any(Number) as unknown,
          unseen: ['x', 'y', 'z', 'mode'],
          sixButtons: null,
          tightest: expect.objectContaining({ by: 'edge', read: 1, cycle: 3, level: 'low' }) as unknown,
          counterexample: {
            held: [],
            place: {
              mode: 1,
              readOfMode: 1,
              frame: 1,
              read: 1,
              // Low first, and every phase is sampled: five edges and four samples come before it.
              step: 10,
              cycle: 3,
              level: 'low',
              rises: 2,
              shownLevel: 'low',
              // Four phases of 20 cycles of 130.37 ns, and 13 more: steps of 1695 and 913 ns.
              atNs: 4 * (1_695 + 913) + 1_695,
              afterEdgeNs: 1_695,
            },
            pins: [1, 2],
            phantom: ['up', 'down'],
            missed: [],
            cause: 'count',
            shortNs: null,
          },
          findings: expect.arrayContaining([
            expect.objectContaining({ kind: 'phantom', weight: 'misread' }),
            expect.objectContaining({ kind: 'missed', weight: 'misread' }),
            expect.objectContaining({ kind: 'torn', weight: 'note', example: null }),
            expect.objectContaining({ kind: 'short-press', weight: 'note', example: null }),
          ]) as unknown,
          reason: expect.stringContaining('Reads five cycles in one burst.') as unknown,
        },
      ],
      misreads: 1,
      undecided: 0,
      captured: null,
    })
  })

  it('judges by the margin, the reply time and the idle reset that it is given', () => {
    const verdict = (...options: string[]) => {
      const { pairs } = cli.json('check', 'six-button', '--title', demoTitle('tidewatch'), ...options) as {
        pairs: { verdict: string; marginNs: number }[]
      }
      return pairs.map(({ verdict, marginNs }) => `${verdict} ${marginNs}`).join()
    }
    // 22 630 ns from the release to the sample; the rise takes up to 22 400, the reply 100 and an unknown cable 78.
    expect(verdict()).toBe('tight 52')
    expect(verdict('--margin', '52')).toBe('clean 52')
    expect(verdict('--margin', '0', '--reply', '0..151')).toBe('clean 1')
    expect(verdict('--reply', '0..152')).toBe('misread 0')
    expect(cli.json('check', 'six-button', '--title', BURST, '--reset', '5..9')).toMatchObject({
      adapter: { idleResetNs: { minNs: 5, maxNs: 9 } },
    })
  })
})

describe('build and unbuild', () => {
  it('give the profile back without its notes, and the same bytes again', () => {
    writeFileSync(cli.path('noted.json'), writeProfile({ ...six, notes: 'Keep the brass one dry.' }))
    const size = encodeImage(six).length
    expect(cli.run('build', 'noted.json', '--out', 'noted.image')).toEqual({
      code: 0,
      out: `noted.image: image of Six buttons, ${size} bytes, CRC ${crcOf(six)}.\n`,
      err: '',
    })
    expect(cli.run('unbuild', 'noted.image', '--out', 'back.json')).toEqual({
      code: 0,
      out: 'back.json: Six buttons. Notes are not kept in an image.\n',
      err: '',
    })
    expect(JSON.parse(readFileSync(cli.path('back.json'), 'utf8'))).toEqual({ ...six, notes: '' })
    expect(cli.run('build', 'back.json', '--out', 'again.image').code).toBe(0)
    expect(readFileSync(cli.path('again.image'))).toEqual(readFileSync(cli.path('noted.image')))
    expect(readFileSync(cli.path('again.image'))).toEqual(Buffer.from(encodeImage(six)))
  })

  it('print JSON of this shape, with the CRC that is in the image', () => {
    const three = BUILT_IN_PROFILES['three-button']
    expect(cli.json('build', 'three-button', '--out', 'three.image')).toEqual({
      profile: 'Three buttons',
      pads: [],
      bytes: encodeImage(three).length,
      crc32: crcOf(three),
      out: 'three.image',
    })
    expect(crcOf(three)).not.toBe(crcOf(six))
    expect(cli.json('unbuild', 'three.image', '--out', 'three.json')).toEqual({
      profile: 'Three buttons',
      pads: [],
      out: 'three.json',
    })
  })
})

describe('reply', () => {
  /** Five falls of select in a scope in a scope, on a clock of 100 ps. */
  const capture = [
    '$timescale 100 ps $end',
    '$scope module board $end $scope module port $end',
    '$var wire 1 ! select $end $var wire 1 " strobe $end',
    '$upscope $end $upscope $end $enddefinitions $end',
    '#5 x! 0"',
    '#10009 1!',
    ...[2, 3, 4, 5, 6].map((k) => `#${k}0009 ${k % 2 === 0 ? '0!' : '1!'}`),
    '#70009 1"',
    '',
  ].join('\n')

  const levelAt = (wire: string, atNs: number): string | undefined => {
    const read = readVcd(readFileSync(cli.path('pins.vcd')), { signal: wire })
    if (!read.ok) throw new Error(read.error.message)
    expect(read.value.endNs).toBe(7_000)
    return listed(read.value)
      .changes.filter((change) => change.atNs <= atNs)
      .pop()?.value
  }

  it('answers a select line with what stands on the pins, up to the last stamp', () => {
    writeFileSync(cli.path('select.vcd'), capture)
    const { code, out, err } = cli.run(
      'reply',
      'six-button',
      '--select',
      'select.vcd',
      '--hold',
      'up,a',
      '--out',
      'pins.vcd',
    )
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toBe('pins.vcd: the pins of Six buttons for 7 changes of board.port.select, up to 7000 ns.\n')
    expect(levelAt('select', 0)).toBe('x')
    expect(levelAt('pin1', 999)).toBe('x')
    const stands = (atNs: number) =>
      ['select', 'pin1', 'pin2', 'pin3', 'pin4', 'pin6', 'pin9'].map((wire) => levelAt(wire, atNs)).join('')
    expect(stands(1_000)).toBe('1011111')
    expect(stands(2_000)).toBe('0010001')
    expect(stands(6_000)).toBe('0000001')
  })

  it('leaves pulses under 100 ns out, as infer does, and says that a pad can count them', () => {
    // Low for 40 ns at 3.5 us and for 99 ns at 5.2 us.
    const pulses = capture.replace('#40009', '#35009 0!\n#35409 1!\n#40009')
    writeFileSync(cli.path('pulses.vcd'), pulses.replace('#60009', '#52009 0!\n#52999 1!\n#60009'))
    const args = ['reply', 'six-button', '--select', 'pulses.vcd', '--out', 'pins.vcd']
    expect(cli.run(...args).out.split('\n')[1]).toBe(
      '2 pulses of board.port.select are shorter than 100 ns, the first at 3.5 µs. They are left out. A pad can count each as a rising edge or miss it, so the reply after each is undecided until the next idle reset.',
    )
    const told = cli.json(...args)
    expect(told).toMatchObject({ selectChanges: 7, shortPulses: { count: 2, firstNs: 3_500 } })
    const answered = readFileSync(cli.path('pins.vcd'), 'utf8')
    writeFileSync(cli.path('select.vcd'), capture)
    cli.run('reply', 'six-button', '--select', 'select.vcd', '--out', 'pins.vcd')
    expect(answered).toBe(readFileSync(cli.path('pins.vcd'), 'utf8'))
  })

  it('takes the line that --signal names, by name or by path, and prints JSON of this shape', () => {
    writeFileSync(cli.path('select.vcd'), capture)
    for (const signal of ['strobe', 'board.port.strobe']) {
      expect(
        cli.json('reply', 'three-button', '--select', 'select.vcd', '--signal', signal, '--out', 'pins.vcd'),
      ).toEqual({
        profile: 'Three buttons',
        signal: 'board.port.strobe',
        selectChanges: 2,
        shortPulses: { count: 0, firstNs: 0 },
        endNs: 7_000,
        out: 'pins.vcd',
      })
    }
    expect(levelAt('pin3', 6_999)).toBe('0')
    expect(levelAt('pin3', 7_000)).toBe('1')
  })

  it('takes held inputs in any letters, with blanks, and none at all', () => {
    writeFileSync(cli.path('select.vcd'), capture)
    expect(
      cli.run('reply', 'six-button', '--select', 'select.vcd', '--hold', 'Up, B', '--out', 'pins.vcd').code,
    ).toBe(0)
    expect(levelAt('pin6', 1_000)).toBe('0')
    expect(
      cli.run('reply', 'six-button', '--select', 'select.vcd', '--hold', '', '--out', 'pins.vcd').code,
    ).toBe(0)
    expect(levelAt('pin6', 1_000)).toBe('1')
  })
})

it('no command leaves anything behind but what it was asked for', () => {
  expect(readdirSync(cli.folder).filter((name) => name.startsWith('.'))).toEqual([])
})
