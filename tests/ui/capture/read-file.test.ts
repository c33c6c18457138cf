import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { inferTitle } from '../../title/infer/infer-title.ts'
import { readFile } from '../../../src/ui/capture/read-file.ts'
import { simulate } from '../../title/infer/simulate.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { JUDGING, PATTERN, dump, fileOf, only, session, shortFound, told } from './captures.ts'

const FRAMES = { frames: 20 }

describe('a dump', () => {
  it('gives the title that its edges give, in the order in which it is read', async () => {
    const text = dump(FRAMES, PATTERN, ['select', 'pin1'])
    const messages = await told(fileOf(text))
    const kinds = messages.map(({ kind }) => kind)
    expect(kinds.filter((kind, k) => kind !== kinds[k - 1])).toEqual(['lines', 'reading', 'looking', 'found'])
    expect(only(messages, 'lines')).toEqual({
      kind: 'lines',
      lines: ['port.select', 'port.pin1'].map((path) => ({ id: path, label: path })),
      lineId: 'port.select',
      data: [{ pin: 1, lineId: 'port.pin1' }],
    })
    const inferred = inferTitle(simulate(PATTERN, FRAMES), {
      name: 'evening',
      source: 'port.select in evening.vcd',
      // By Node's SHA-256 (FIPS 180-4), not by the browser's.
      capture: {
        sha256: createHash('sha256').update(text).digest('hex'),
        name: 'evening.vcd',
        bytes: Buffer.byteLength(text),
      },
    })
    const { found } = only(messages, 'found')
    const ofTitle = found.findings.filter(({ what }) => !what.startsWith('pad-'))
    expect(inferred).toEqual({ ok: true, value: { title: found.title, findings: ofTitle } })
    // The line next to it is named as a data line, and never changes.
    expect(found.findings.slice(ofTitle.length).map(({ what }) => what)).toEqual(['pad-lines', 'pad-table'])
    expect(found.fault).toBe('')
  })

  it('says what the line does by itself to the open profile: its third low meets the identification', async () => {
    const text = dump(FRAMES)
    const { byItself } = only(await told(fileOf(text)), 'found')
    expect(byItself[0]).toMatch(/^At edge 5, .* which carries the identification/)
    const judging = { ...JUDGING, profile: BUILT_IN_PROFILES['three-button'] }
    const plain = only(await told(fileOf(text), null, judging), 'found')
    expect(plain.byItself[0]).toMatch(/^Every phase is answered as in the first cycle/)
  })

  it('shows one read as it was driven', async () => {
    const { reads } = simulate(PATTERN, FRAMES)
    const { read } = only(await told(fileOf(dump(FRAMES))), 'found').found
    const driven = reads.find(({ edgesNs }) => edgesNs[0] === read?.startNs)
    expect(driven).toBeDefined()
    expect(read).toEqual({
      rest: 'high',
      startNs: driven?.edgesNs[0],
      edgesNs: driven?.edgesNs.map((ns) => ns - (driven.edgesNs[0] ?? 0)),
    })
  })

  it('shows one of the usual reads, however many others there are around it', async () => {
    const odd = { frames: 21, cyclesOf: (frame: number) => (frame % 5 === 0 ? 2 : 3) }
    const { read } = only(await told(fileOf(dump(odd))), 'found').found
    expect(read?.edgesNs.length).toBe(6)
  })

  it('reads the line that is asked for', async () => {
    const messages = await told(fileOf(dump(FRAMES, PATTERN, ['clock', 'select'])), 'port.clock')
    expect(only(messages, 'lines').lineId).toBe('port.clock')
    expect(shortFound(messages).cyclesPerRead).toBe(3)
  })

  it('asks where no line must be select', async () => {
    const messages = await told(fileOf(dump(FRAMES, PATTERN, ['one', 'other'])))
    expect(messages.map(({ kind }) => kind)).toEqual(['lines', 'choose'])
    const { lineId, lines } = only(messages, 'lines')
    expect([lineId, lines.length]).toEqual([null, 2])
    expect(only(messages, 'choose').sentence).toBe(
      'No line is called select; choose one of port.one, port.other.',
    )
  })

  it('says why there is no title, beside what there is', async () => {
    const { found } = only(await told(fileOf(dump({ frames: 2 }))), 'found')
    expect(found.title).toBeNull()
    expect(found.fault).toMatch(/^2 frames cannot show what repeats/)
    expect(found.findings.map(({ what }) => what)).toContain('edge-spacing')
    expect(found.read?.edgesNs.length).toBe(6)
    const constant = only(
      await told(fileOf(dump(FRAMES, PATTERN, ['select', 'pin1'])), 'port.pin1'),
      'found',
    ).found
    expect([constant.title, constant.read]).toEqual([null, null])
    expect(constant.fault).toMatch(/^This line is low all the time/)
  })

  it('is refused with its line and what is wrong', async () => {
    const text = dump(FRAMES)
    const broken = text.replace('#0\n', '#nought\n')
    const { place, message } = only(await told(fileOf(broken)), 'refused')
    expect(place).toBe(`line ${broken.split('\n').indexOf('#nought') + 1}`)
    expect(message).toMatch(/nought/)
    expect(only(await told(fileOf('$timescale 3 ns $end', 'x.vcd')), 'refused').place).toBe('line 1')
  })

  it('is read in chunks, with progress up to its last byte', async () => {
    const text = dump({ frames: 400 })
    const [beginning, rest] = [text.slice(0, text.indexOf('#0')), text.slice(text.indexOf('#0'))]
    const filler = '$comment lamp $end\n'.repeat(60_000)
    const file = fileOf(beginning + filler + rest)
    const CHUNK = 1 << 16
    const bytes = new TextEncoder().encode(beginning + filler + rest)
    Object.defineProperty(file, 'stream', {
      value: () => {
        let at = 0
        return new ReadableStream<Uint8Array>({
          pull: (to) => {
            if (at >= bytes.length) return to.close()
            to.enqueue(bytes.subarray(at, (at += CHUNK)))
          },
        })
      },
    })
    Object.defineProperty(file, 'arrayBuffer', {
      value: () => Promise.reject(new Error('this was to be read in a stream')),
    })
    const messages = await told(file)
    const steps = messages.flatMap((message) => (message.kind === 'reading' ? [message.bytesRead] : []))
    expect(steps.length).toBeGreaterThan(2)
    expect(steps).toEqual([...steps].sort((a, b) => a - b))
    expect(steps.at(-1)).toBe(file.size)
    expect(only(messages, 'found').found.title).not.toBeNull()
  })

  it('says so when the file goes while it is read', async () => {
    const file = fileOf(dump(FRAMES))
    const text = new TextEncoder().encode(dump(FRAMES))
    let at = 0
    Object.defineProperty(file, 'stream', {
      value: () =>
        new ReadableStream<Uint8Array>({
          pull: (to) => {
            if (at > text.length / 2) throw new DOMException('gone', 'NotReadableError')
            to.enqueue(text.slice(at, (at += 4_096)))
          },
        }),
    })
    const messages = await told(file)
    expect(only(messages, 'lines').lineId).toBe('port.select')
    expect(only(messages, 'refused')).toEqual({
      kind: 'refused',
      place: '',
      message: 'the file could not be read to its end. Perhaps it has moved or changed: choose it again.',
    })
  })

  it('lets the file go when it is left in the midst', async () => {
    const file = fileOf(dump(FRAMES))
    let left = false
    Object.defineProperty(file, 'stream', {
      value: () =>
        new ReadableStream<Uint8Array>({
          start: (to) => to.enqueue(new TextEncoder().encode(dump(FRAMES))),
          cancel: () => void (left = true),
        }),
    })
    const reading = readFile({ file, choice: { by: 'itself' }, judging: JUDGING })
    expect((await reading.next()).value).toMatchObject({ kind: 'lines' })
    await reading.return({ kind: 'choose', sentence: '' })
    expect(left).toBe(true)
  })
})

describe('a session', () => {
  it('gives the title of its channel, whatever it is called', async () => {
    const zip = session(FRAMES, ['pin1', 'Select'], 1)
    const messages = await told(fileOf(zip.slice(), 'evening.vcd'))
    expect(only(messages, 'lines').lines).toEqual([
      { id: '0', label: 'pin1' },
      { id: '1', label: 'Select' },
    ])
    expect(only(messages, 'lines').lineId).toBe('1')
    const { findings } = only(messages, 'found').found
    const { cyclesPerRead, rest, standard } = shortFound(messages)
    expect([cyclesPerRead, rest, standard]).toEqual([3, 'high', '525-line'])
    expect(findings.find(({ what }) => what === 'sampled')?.value).toBe(100)
  })

  it('tells channels of one name apart', async () => {
    const zip = session(FRAMES, ['D', 'D', 'select'], 1)
    const first = await told(fileOf(zip.slice()))
    expect(only(first, 'lines').lines.map(({ label }) => label)).toEqual([
      'D (channel 1)',
      'D (channel 2)',
      'select',
    ])
    expect(shortFound(await told(fileOf(zip.slice()), '1')).cyclesPerRead).toBe(3)
    expect(only(await told(fileOf(zip.slice()), '0'), 'found').found.title).toBeNull()
  })

  it('is refused with the place in the zip', async () => {
    const zip = session(FRAMES, ['select'], 0)
    expect(only(await told(fileOf(zip.slice(0, 400), 'cut.sr')), 'refused').message).toMatch(
      /^The file is cut off/,
    )
    const tooLarge = fileOf(zip.slice(), 'large.sr')
    Object.defineProperty(tooLarge, 'size', { value: 2 ** 28 + 1 })
    expect(only(await told(tooLarge), 'refused').message).toMatch(/^a session may have 256 MiB/)
  })
})
