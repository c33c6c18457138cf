import { zipSync } from 'fflate'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { parseMetadata, parseSamplerate } from '../../../src/title/session/metadata.ts'
import { Session } from '../../../src/title/session/read.ts'
import type { SessionFault } from '../../../src/title/session/read.ts'
import { sampleClock } from '../../../src/title/session/samples.ts'
import { looksLikeZip, unpack, zipEntries } from '../../../src/title/session/zip.ts'
import { draws } from '../../draws.ts'

const text = (words: string): Uint8Array => new TextEncoder().encode(words)

interface Made {
  readonly samples: readonly Uint8Array[]
  readonly unitBytes?: number
  readonly samplerate?: string
  readonly probes?: readonly string[]
}

/** The files of a session, as sigrok-cli of libsigrok 0.5.2 lays them out (seen in one that it wrote). */
function files({
  samples,
  unitBytes = 1,
  samplerate = '1 MHz',
  probes = ['select'],
}: Made): Record<string, Uint8Array> {
  return {
    version: text('2'),
    metadata: text(
      [
        '[global]',
        'sigrok version=0.5.2',
        '',
        '[device 1]',
        'capturefile=logic-1',
        `total probes=${probes.length}`,
        `samplerate=${samplerate}`,
        'total analog=0',
        ...probes.map((name, k) => `probe${k + 1}=${name}`),
        `unitsize=${unitBytes}`,
        '',
      ].join('\n'),
    ),
    ...Object.fromEntries(samples.map((bytes, k) => [`logic-1-${k + 1}`, bytes])),
  }
}

const zip = (of: Record<string, Uint8Array>): Uint8Array => zipSync(of, { level: 6 })

function read(bytes: Uint8Array, channel = 0) {
  const session = Session.open(bytes)
  if (!session.ok) throw new Error(session.error.message)
  const changes: [number, number][] = []
  const chosen = session.value.channels[channel]
  if (chosen === undefined) throw new Error('no such channel')
  const span = session.value.read(chosen, (timesNs, values) => {
    timesNs.forEach((ns, k) => changes.push([ns, values[k] ?? -1]))
  })
  if (!span.ok) throw new Error(span.error.message)
  return { changes, ...span.value }
}

function fault(bytes: Uint8Array): SessionFault {
  const session = Session.open(bytes)
  if (!session.ok) return session.error
  const [channel] = session.value.channels
  const span = channel && session.value.read(channel, () => undefined)
  if (span === undefined || span.ok) throw new Error('the session was read')
  return span.error
}

describe('a session file', () => {
  it('gives each change of a channel at the sample that shows it', () => {
    const { changes, endNs, startNs, signalPath, samplerateHz } = read(
      zip(files({ samples: [Uint8Array.of(1, 1, 0, 2, 3, 1)], probes: ['select', 'D0'] })),
    )
    expect(changes).toEqual([
      [0, 1],
      [2_000, 0],
      [4_000, 1],
    ])
    expect({ startNs, endNs, signalPath, samplerateHz }).toEqual({
      startNs: 0,
      endNs: 6_000,
      signalPath: 'select',
      samplerateHz: 1_000_000,
    })
  })

  it('is the same however its samples are cut into pieces, whatever their size and the bit', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 5 }),
        fc.uint8Array({ minLength: 5, maxLength: 3_000 }),
        fc.array(fc.nat(), { maxLength: 14 }),
        fc.nat(),
        (unitBytes, random, cuts, probe) => {
          const bytes = random.subarray(0, random.length - (random.length % unitBytes))
          const places = [0, ...cuts.map((cut) => cut % bytes.length).sort((a, b) => a - b)]
          const samples = places.map((from, k) => bytes.slice(from, places[k + 1] ?? bytes.length))
          const bit = probe % (8 * unitBytes)
          const probes = Array.from({ length: 8 * unitBytes }, (_, k) => `D${k}`)
          const { changes, endNs } = read(
            zip(files({ samples, unitBytes, probes, samplerate: '24 MHz' })),
            bit,
          )

          const levels = Array.from(
            { length: bytes.length / unitBytes },
            (_, k) => ((bytes[k * unitBytes + (bit >> 3)] ?? 0) >> (bit % 8)) & 1,
          )
          const expected = levels.flatMap((level, k) =>
            level === levels[k - 1] ? [] : [[Number((BigInt(k) * 1_000n) / 24n), level]],
          )
          expect(changes).toEqual(expected)
          expect(endNs).toBe(Number((BigInt(levels.length) * 1_000n) / 24n))
        },
      ),
      { numRuns: draws(150) },
    )
  })

  it('may have its samples in one file, as version 1 has', () => {
    const made = files({ samples: [] })
    const { changes } = read(zip({ ...made, version: text('1'), 'logic-1': Uint8Array.of(0, 1) }))
    expect(changes).toEqual([
      [0, 0],
      [1_000, 1],
    ])
  })

  it('has channels where not all are switched on', () => {
    const made = files({ samples: [Uint8Array.of(0, 4)] })
    const metadata = text(new TextDecoder().decode(made['metadata']).replace('probe1=', 'probe3='))
    expect(read(zip({ ...made, metadata })).changes).toEqual([
      [0, 0],
      [1_000, 1],
    ])
  })

  it('of ten million samples packs well and is read in pieces', () => {
    const piece = new Uint8Array(1_000_000)
    const samples = [
      piece,
      piece,
      piece,
      piece,
      piece,
      piece,
      piece,
      piece,
      piece,
      Uint8Array.from(piece).fill(1),
    ]
    const bytes = zip(files({ samples, samplerate: '10 MHz' }))
    expect(bytes.length).toBeLessThan(200_000)
    expect(read(bytes).changes).toEqual([
      [0, 0],
      [900_000_000, 1],
    ])
  })
})

describe('times of samples', () => {
  it('are exact, rounded down, for any rate and any sample', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.constantFrom(1, 1_000, 12_500_000, 24_000_000, 33_333_333, 1e9, 5e9),
          fc.integer({ min: 1, max: 1e9 }),
        ),
        fc.oneof(fc.nat(), fc.integer({ min: 0, max: 2 ** 34 })),
        (hz, sample) => {
          const exact = (BigInt(sample) * 1_000_000_000n) / BigInt(hz)
          fc.pre(exact <= BigInt(Number.MAX_SAFE_INTEGER))
          expect(sampleClock(hz)(sample)).toBe(Number(exact))
        },
      ),
      { numRuns: draws(2_000) },
    )
  })
})

describe('metadata', () => {
  it.each<[string, number | undefined]>([
    ['1 MHz', 1_000_000],
    ['24 MHz', 24_000_000],
    ['12.5 MHz', 12_500_000],
    ['500 kHz', 500_000],
    ['1 GHz', 1_000_000_000],
    ['1.8432 MHz', 1_843_200],
    ['200 Hz', 200],
    ['1000000', 1_000_000],
    ['0 Hz', undefined],
    ['', undefined],
    ['fast', undefined],
    ['-1 MHz', undefined],
    ['1 THz', undefined],
  ])('the samplerate "%s" is %s Hz', (words, hz) => {
    expect(parseSamplerate(words)).toBe(hz)
  })

  it.each<[string, string, RegExp]>([
    ['none', '', /names no logic samples/],
    ['analog only', '[device 1]\ntotal analog=2\nanalog1=A0\nsamplerate=1 MHz\n', /analog channels only/],
    ['no samplerate', '[device 1]\ncapturefile=logic-1\nunitsize=1\nprobe1=select\n', /no samplerate/],
    ['no unitsize', '[device 1]\ncapturefile=logic-1\nsamplerate=1 MHz\nprobe1=select\n', /unitsize/],
    ['unitsize 0', '[device 1]\ncapturefile=l\nsamplerate=1 MHz\nunitsize=0\nprobe1=select\n', /unitsize/],
    ['no channel', '[device 1]\ncapturefile=l\nsamplerate=1 MHz\nunitsize=1\n', /no logic channel/],
    [
      'a channel too many',
      '[device 1]\ncapturefile=l\nsamplerate=1 MHz\nunitsize=1\nprobe9=select\n',
      /no bit for its channel 9/,
    ],
  ])('that says too little is refused: %s', (_, words, sentence) => {
    const result = parseMetadata(words)
    expect(!result.ok && result.error).toMatch(sentence)
  })

  it('is read with any line ends and blanks, and of the device that has samples', () => {
    const words =
      '[device 1]\r\ntotal analog=1\r\n\r\n[ device 2 ]\r\n capturefile = logic-2 \r\nsamplerate = 1 kHz\r\nunitsize=2\r\nprobe16=Select\r\n'
    expect(parseMetadata(words)).toEqual({
      ok: true,
      value: {
        captureFile: 'logic-2',
        samplerateHz: 1_000,
        unitBytes: 2,
        channels: [{ name: 'Select', bit: 15 }],
      },
    })
  })
})

describe('a bad session file is refused with its place', () => {
  const made = files({ samples: [Uint8Array.of(1, 0, 1)] })
  const without = (name: string) => Object.fromEntries(Object.entries(made).filter(([key]) => key !== name))
  const at = (bytes: Uint8Array, name: string, offset: number, value: number): Uint8Array => {
    const changed = bytes.slice()
    // The directory stands at the end, so the last of its name is the directory's.
    const place = new TextDecoder('latin1').decode(bytes).lastIndexOf(name)
    new DataView(changed.buffer).setUint32(place + offset, value, true)
    return changed
  }
  /** From the name in a directory record back to its fields (PKWARE APPNOTE.TXT 4.3.12). */
  const SIZE = 24 - 46
  const PACKED = 20 - 46
  const CRC = 16 - 46
  const METHOD = 10 - 46
  const LOCAL = 42 - 46
  const sound = zip(made)

  it('sound to begin with', () => {
    expect(read(sound).changes).toHaveLength(3)
    expect(looksLikeZip(sound)).toBe(true)
    expect(looksLikeZip(text('$timescale'))).toBe(false)
  })

  it.each<[string, Uint8Array, string, RegExp]>([
    ['nothing', new Uint8Array(), '', /cut off, or is no zip/],
    ['no zip', text('PK and then something else'), '', /cut off, or is no zip/],
    ['no version', zip(without('version')), '', /no "version"/],
    ['no metadata', zip(without('metadata')), '', /no "metadata"/],
    ['no samples', zip(without('logic-1-1')), '', /"logic-1" are missing/],
    ['version 3', zip({ ...made, version: text('3') }), 'version', /version 1 and 2/],
    ['poor metadata', zip({ ...made, metadata: text('hello') }), 'metadata', /names no logic/],
    ['large metadata', zip({ ...made, metadata: new Uint8Array(70_000) }), 'metadata', /70000 bytes/],
    [
      'a piece missing between others',
      zip({ ...made, 'logic-1-3': Uint8Array.of(1) }),
      '',
      /"logic-1-2" of the samples is missing/,
    ],
    [
      'half a sample',
      zip(files({ samples: [new Uint8Array(3)], unitBytes: 2 })),
      'logic-1-1',
      /last sample is cut/,
    ],
    ['a size that is too small', at(sound, 'logic-1-1', SIZE, 2), 'logic-1-1', /damaged or cut/],
    ['a size that is too large', at(sound, 'logic-1-1', SIZE, 4), 'logic-1-1', /damaged or cut/],
    ['a packed size that is too small', at(sound, 'logic-1-1', PACKED, 1), 'logic-1-1', /damaged or cut/],
    ['a packed size past the end', at(sound, 'logic-1-1', PACKED, 1e6), 'logic-1-1', /damaged or cut/],
    ['a wrong check sum', at(sound, 'logic-1-1', CRC, 1), 'logic-1-1', /damaged or cut/],
    ['a wrong place', at(sound, 'logic-1-1', LOCAL, 7), 'logic-1-1', /damaged or cut/],
    ['another way of packing', at(sound, 'logic-1-1', METHOD, 12), 'logic-1-1', /packed in a way \(12\)/],
    ['64-bit sizes', at(sound, 'logic-1-1', SIZE, 0xffffffff), '', /64-bit kind/],
  ])('%s', (_, bytes, entry, sentence) => {
    const { entry: place, message } = fault(bytes)
    expect(message).toMatch(sentence)
    expect(place).toBe(entry)
  })

  it('a bomb: more samples than are ever unpacked, or than were announced', () => {
    const bomb = zip(files({ samples: [new Uint8Array(50_000_000)] }))
    expect(bomb.length).toBeLessThan(100_000)
    const small = at(bomb, 'logic-1-1', SIZE, 10)
    expect(fault(small).message).toMatch(/damaged or cut/)
    const entries = zipEntries(small)
    const entry = entries.ok ? entries.value.get('logic-1-1') : undefined
    let handed = 0
    expect(entry && unpack(small, entry, (piece) => (handed += piece.length)).ok).toBe(false)
    expect(handed).toBeLessThanOrEqual(10)
    // Five pieces that say 4 GB each.
    const many = files({ samples: [1, 2, 3, 4, 5].map((byte) => Uint8Array.of(byte)) })
    const lying = [1, 2, 3, 4, 5].reduce((bytes, k) => at(bytes, `logic-1-${k}`, SIZE, 0xfffffff0), zip(many))
    expect(fault(lying).message).toMatch(/unpack to 21474836400 bytes; 4294967296 at most/)
  })

  describe('one that uses the same bytes twice', () => {
    const twice = zip({ ...made, 'logic-1-2': Uint8Array.of(9, 9, 9) })
    const [one, other] = ['logic-1-1', 'logic-1-2'].map((name) => {
      const entries = zipEntries(twice)
      return entries.ok ? (entries.value.get(name)?.at ?? 0) : 0
    }) as [number, number]
    /** As the names are in local headers: the content of an entry begins behind its name and what is called extra. */
    const withExtra = (bytes: Uint8Array, header: number, extraBytes: number): Uint8Array => {
      const changed = bytes.slice()
      new DataView(changed.buffer).setUint16(header + 28, extraBytes, true)
      return changed
    }

    it.each<[string, Uint8Array]>([
      ['two entries at one place', at(twice, 'logic-1-2', LOCAL, one)],
      ['an entry that ends in the next', at(twice, 'logic-1-1', PACKED, 40)],
      ['the last entry, which ends in the directory', at(twice, 'logic-1-2', PACKED, 20)],
      ['two entries that begin apart', withExtra(twice, one, other - one)],
    ])('%s', (_, bytes) => {
      expect(fault(bytes)).toEqual({
        entry: '',
        message: expect.stringMatching(/^Entries of the zip overlap/) as string,
      })
    })

    it('is refused before anything is unpacked, and one whose entries only touch is not', () => {
      expect(zipEntries(at(twice, 'logic-1-2', LOCAL, one)).ok).toBe(false)
      expect(zipEntries(twice).ok).toBe(true)
    })
  })

  it('cut anywhere', () => {
    fc.assert(
      fc.property(fc.nat(sound.length - 1), (length) => {
        expect(fault(sound.slice(0, length)).message).toMatch(/cut off/)
      }),
      { numRuns: draws(200) },
    )
  })

  it('with any bytes changed it is refused, or says what it said; nothing is thrown', () => {
    const names = read(sound).changes
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(sound.length - 1), fc.nat(255)), { minLength: 1, maxLength: 4 }),
        (changes) => {
          const bytes = sound.slice()
          for (const [place, value] of changes) bytes[place] = value
          const session = Session.open(bytes)
          const [channel] = session.ok ? session.value.channels : []
          if (!session.ok || channel === undefined) return
          const seen: [number, number][] = []
          const span = session.value.read(channel, (timesNs, values) =>
            timesNs.forEach((ns, k) => seen.push([ns, values[k] ?? -1])),
          )
          // Check sums guard the samples; the metadata, too.
          if (span.ok) expect(seen).toEqual(names)
        },
      ),
      { numRuns: draws(3_000) },
    )
  })
})
