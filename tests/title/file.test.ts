import { readFileSync, readdirSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { documentSentence } from '../../src/document/document.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { readTitle, writeTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { TITLE_LIMITS } from '../../src/title/title-limits.ts'
import { arbTitle } from '../bench/arbitrary-title.ts'
import { CASES } from '../bench/steps-titles.ts'
import { bytesOf, bytesOfJson, changedJson } from './changed-json.ts'
import { HAND_TITLE } from './hand-title.ts'
import { draws } from '../draws.ts'

const DEMOS = new URL('../../static/demo/titles/', import.meta.url)
const HAND = `${JSON.stringify(HAND_TITLE, null, 2)}\n`

const read = (bytes: Uint8Array): Title => {
  const result = readTitle(bytes)
  if (!result.ok) throw new Error(documentSentence(result.error))
  return result.value
}
const sentence = (bytes: Uint8Array): string => {
  const result = readTitle(bytes)
  if (result.ok) throw new Error('this was to be refused')
  return documentSentence(result.error)
}

/** `r.` stands for the read, `s.` for its steps. */
const whole = (path: string): string =>
  path.replace(/^r\./, 'modes.0.reads.0.').replace(/^s\./, 'modes.0.reads.0.steps.')
const changed = (path: string, value: unknown): Uint8Array =>
  bytesOfJson(changedJson(HAND_TITLE, whole(path), value))
/** Several fields changed, one after the other. */
const changedAll = (changes: readonly (readonly [string, unknown])[]): Uint8Array =>
  bytesOfJson(
    changes.reduce<object>(
      (json, [path, value]) => changedJson(json, whole(path), value) as object,
      HAND_TITLE,
    ),
  )

const SOON = { minNs: 1_400, maxNs: 1_700 }
const AT_ONCE = { minNs: 0, maxNs: 0 }
const [MODE] = HAND_TITLE.modes
const [READ] = MODE.reads
const [{ steps: CYCLE }] = READ.steps
const readAt = (starts: object): unknown => ({ ...READ, starts: { ...READ.starts, ...starts } })
const polled = (after: object): unknown => ({ kind: 'interval', after })
/** Longest that the read takes, from its first step to its last: 8 steps of the repeat and 6 more. */
const LONGEST = 14 * 1_700
const FRAME = frameNs('525-line')

describe('a title file', () => {
  it('comes back as the title that was written', () => {
    const same = (title: Title) => {
      const text = writeTitle(title)
      expect(read(bytesOf(text))).toEqual(title)
      expect(writeTitle(read(bytesOf(text)))).toBe(text)
    }
    same(read(bytesOfJson(HAND_TITLE)))
    for (const { title } of CASES) same(title)
    fc.assert(fc.property(arbTitle, same), { numRuns: draws(500) })
  })

  it.each(readdirSync(DEMOS))('of the museum is read: %s', (name) => {
    expect(() => read(readFileSync(new URL(name, DEMOS)))).not.toThrow()
  })

  it('is read as READ.md writes it', () => {
    const page = readFileSync(new URL('../../src/title/READ.md', import.meta.url), 'utf8')
    const examples = [...page.matchAll(/```json\n(.*?)```/gs)].map(([, text = '']) => text)
    expect(examples.length).toBeGreaterThan(0)
    for (const text of examples) expect(read(bytesOf(text)).version).toBe(3)
  })

  it('may leave out what is nearly always the same', () => {
    const title = read(bytesOfJson(HAND_TITLE))
    expect(title.modes[0]).toMatchObject({ once: false })
    expect(title.modes[0]).not.toHaveProperty('name')
    expect(title.modes[0]?.reads[0]?.starts).toMatchObject({ everyFrames: 1, inFrame: 0 })
    expect(title.modes[0]?.reads[0]?.steps[0]).toMatchObject({
      steps: [
        { select: 'low', since: 'step', waits: false, when: 'always' },
        { since: 'step', when: 'always' },
        { select: 'high', since: 'step', waits: false, when: 'always' },
        { since: 'step', when: 'always' },
      ],
    })
    expect(title.sixButtons).toMatchObject({ by: [{ low: [1, 2, 3, 4], high: [] }] })
  })

  it('keeps where every figure comes from', () => {
    const source = { kind: 'found', trials: 12 }
    const measured = READ.steps[2].source
    const bytes = changedAll([
      ['r.starts.source', source],
      ['r.starts.late.source', measured],
      ['s.0.steps.0.after', { ...SOON, source }],
      ['s.0.steps.1.source', { kind: 'shown' }],
      ['s.0.steps.1.possible', [{ 1: 'up' }, { 1: 'up', 9: { input: 'start', ifAgrees: 'six' } }]],
      ['r.stretch', { byNs: 5_000, times: 2, source: { kind: 'guessed' } }],
      ['rise', { minNs: 1, maxNs: 2, source: { kind: 'preset' } }],
      ['sixButtons.source', { kind: 'typed-in' }],
      [
        'sources',
        { standard: source, clockPpm: { kind: 'not-recorded' }, idle: measured, takesOpposite: source },
      ],
    ])
    const title = read(bytes)
    expect(title).toMatchObject(JSON.parse(new TextDecoder().decode(bytes)) as object)
    expect(read(bytesOf(writeTitle(title)))).toEqual(title)
  })

  it.each<[string, unknown]>([
    ['name', 'n'.repeat(TITLE_LIMITS.nameLength)],
    ['name', 'Öllämpchen 灯 🪔'],
    ['notes', 'n'.repeat(TITLE_LIMITS.notesLength)],
    ['notes', 'two\nlines'],
    ['clockPpm', TITLE_LIMITS.maxClockPpm],
    ['rise', { minNs: 0, maxNs: 1_000_000 }],
    // A clock that is 100 ppm fast makes a frame 1669 ns shorter.
    ['r.starts.late.maxNs', FRAME - 1_669 - LONGEST - 1],
    ['r.starts.offsetsNs', [0, LONGEST + 2_000 + 4]],
    ['r.starts.offsetsNs', Array.from({ length: TITLE_LIMITS.readsPerFrame }, (_, k) => k * 100_000)],
    // Of four steps, with six after them: 510 in all.
    ['s.0.repeat', 126],
    ['s.2.name', 'six'],
    ['s.4.sample', { 9: 'up' }],
    ['s.4.sample', { select: 'up' }],
    ['s.4.sample', { 1: { input: 'z', ifAgrees: 'six' } }],
    ['modes.0.name', 'm'.repeat(TITLE_LIMITS.nameLength)],
    ['modes', Array.from({ length: TITLE_LIMITS.modes }, (_, k) => ({ ...MODE, name: `mode ${k}` }))],
    ['modes', [{ ...MODE, once: true }, MODE]],
    ['r.stretch', { byNs: 100_000, times: 1 }],
    ['r.starts', polled({ minNs: 1_000, maxNs: TITLE_LIMITS.maxGapNs })],
  ])('may go to the bounds: %s = %j', (path, value) => {
    expect(() => read(changed(path, value))).not.toThrow()
  })
})

describe('a wrong title is refused with its place', () => {
  it.each<[string, unknown, string]>([
    ['format', 'ninepin-profile', 'format: a title says "ninepin-title" here; this is "ninepin-profile"'],
    [
      'version',
      4,
      'version: this title was written by a newer Ninepin (version 4); this one reads up to version 3',
    ],
    ['version', '1', 'version: expected a whole number from 1 on, found "1"'],
    ['version', 2, 'readOffsetsNs: this is missing'],
    ['name', '', 'name: a name is needed'],
    ['name', ' \u00a0', 'name: a name is needed'],
    ['name', ' Nine Moths', 'name: a name cannot start or end with a space'],
    ['name', 'Nine\nMoths', 'name: a name stands on one line, without control characters'],
    ['name', 'Nine \u001b[7mMoths', 'name: a name stands on one line, without control characters'],
    ['name', 'Moth \ud83e', 'name: the name holds half a character; type it again'],
    ['name', 'n'.repeat(61), 'name: the name has 61 characters; 60 at most'],
    ['name', 5, 'name: expected a text, found 5'],
    ['notes', 'n'.repeat(2001), 'notes: the notes have 2001 characters; 2000 at most'],
    ['notes', '\udc00', 'notes: the notes hold half a character; type it again'],
    ['notes', undefined, 'notes: this is missing'],
    ['fragile', 'yes', 'fragile: expected true or false, found "yes"'],
    ['port', undefined, 'port: this is missing'],
    ['port', 'two-lines', 'port: expected "select-line", found "two-lines"'],
    ['standard', '524-line', 'standard: expected "525-line" or "625-line", found "524-line"'],
    [
      'clockPpm',
      10_001,
      'clockPpm: expected a whole number of parts per million from 0 to 10000, found 10001',
    ],
    ['idle', 'up', 'idle: expected "low" or "high", found "up"'],
    ['rise', undefined, 'rise: this is missing'],
    ['rise', 5, 'rise: expected an object, found 5'],
    ['rise', { minNs: 2, maxNs: 1 }, 'rise: minNs (2) is above maxNs (1)'],
    ['rise', { minNs: 2 }, 'rise.maxNs: this is missing'],
    [
      'rise',
      { minNs: 0, maxNs: 1_000_001 },
      'rise.maxNs: expected a whole number of ns from 0 to 1000000, found 1000001',
    ],
    ['rise', { minNs: 0, maxNs: 1, unit: 'ns' }, 'rise.unit: unknown key'],
    ['modes', [], 'modes: at least one mode is needed'],
    ['modes', {}, 'modes: expected a list, found an object'],
    ['modes', Array.from({ length: 9 }, () => MODE), 'modes: 8 modes at most'],
    ['modes.0.name', '', 'modes[0].name: a name is needed'],
    ['modes.0.reads', [], 'modes[0].reads: at least one read is needed'],
    [
      'modes.0.reads',
      Array.from({ length: 17 }, (_, k) => readAt({ offsetsNs: [k * 100_000] })),
      'modes[0].reads: 16 reads a frame at most; these are 17',
    ],
    ['r.starts', 5, 'modes[0].reads[0].starts: expected an object, found 5'],
    ['r.starts', {}, 'modes[0].reads[0].starts.kind: this is missing'],
    ['r.starts.kind', 'x', 'modes[0].reads[0].starts.kind: expected "frame" or "interval", found "x"'],
    ['r.starts.offsetsNs', [], 'modes[0].reads[0].starts.offsetsNs: at least one read is needed'],
    [
      'r.starts.offsetsNs',
      Array.from({ length: 17 }, (_, k) => k * 100_000),
      'modes[0].reads[0].starts.offsetsNs: 16 reads a frame at most; these are 17',
    ],
    [
      'r.starts.offsetsNs.0',
      1.5,
      'modes[0].reads[0].starts.offsetsNs[0]: expected a whole number of ns from 0 to 100000000, found 1.5',
    ],
    ['r.starts.late', undefined, 'modes[0].reads[0].starts.late: this is missing'],
    [
      'r.starts.everyFrames',
      65,
      'modes[0].reads[0].starts.everyFrames: expected a whole number from 1 to 64, found 65',
    ],
    ['r.steps', [], 'modes[0].reads[0].steps: at least one step is needed'],
    [
      'r.steps',
      Array.from({ length: 1_000 }, () => CYCLE[0]),
      'modes[0].reads[0].steps: a read has 512 steps at most',
    ],
    [
      'r.stretch',
      { byNs: 0, times: 1 },
      'modes[0].reads[0].stretch.byNs: expected a whole number of ns from 1 to 100000000, found 0',
    ],
    [
      'r.stretch',
      { byNs: 5, times: 513 },
      'modes[0].reads[0].stretch.times: expected a whole number from 1 to 512, found 513',
    ],
    ['sixButtons', null, 'sixButtons: expected an object, found null'],
    [
      'sixButtons',
      { kind: 'perhaps' },
      'sixButtons.kind: expected one of "never", "assumed", "told", found "perhaps"',
    ],
    ['sixButtons.holds', 'long', 'sixButtons.holds: expected "read" or "onwards", found "long"'],
    ['sixButtons.by', [], 'sixButtons.by: at least one condition is needed'],
    ['sixButtons.by.0.low', [1, 2, 1], 'sixButtons.by[0].low: a pin stands here twice'],
    ['sixButtons.by.0.low', [5], 'sixButtons.by[0].low[0]: expected one of 1, 2, 3, 4, 6, 9, found 5'],
    ['sixButtons.by.0.low', [], 'sixButtons.by[0]: at least one pin is needed'],
    ['sixButtons.by.0.high', [1], 'sixButtons.by[0]: a pin cannot be low and high at once'],
    ['captures.0.sha256', 'F'.repeat(64), 'captures[0].sha256: a SHA-256 in 64 hexadecimal digits is needed'],
    ['sources', { rest: { kind: 'preset' } }, 'sources.rest: unknown key'],
    [
      'sources',
      { idle: { kind: 'heard' } },
      'sources.idle.kind: expected one of "measured", "shown", "found", "typed-in", "preset", "guessed", "not-recorded", found "heard"',
    ],
    ['sources', { idle: { kind: 'measured', seen: 5, of: 3 } }, 'sources.idle: seen (5) is above of (3)'],
    ['colour', 'blue', 'colour: unknown key'],
  ])('%s = %j', (path, value, said) => {
    expect(sentence(changed(path, value))).toBe(said)
  })

  it.each<[string, unknown]>([
    ['s.1', 5],
    ['s.1', {}],
    ['s.1', []],
    ['s.1.select', 'up'],
    ['s.1.after', undefined],
    ['s.1.after', { minNs: 2, maxNs: 1 }],
    ['s.1.after.maxNs', TITLE_LIMITS.maxGapNs + 1],
    ['s.1.since', 'frame'],
    ['s.1.when', 'often'],
    ['s.1.colour', 'blue'],
    ['s.1', { sample: { 5: 'up' }, after: SOON }],
    ['s.1', { sample: { 6: 'upp' }, after: SOON }],
    ['s.1', { sample: { 6: 'up' }, after: SOON, name: 'Öl' }],
    ['s.1', { repeat: 0, steps: CYCLE }],
    ['s.1', { repeat: 2, steps: [] }],
    ['s.1', { repeat: 2, steps: [{ repeat: 2, steps: CYCLE }] }],
  ])('a step that is none, and the step is named: %s = %j', (path, value) => {
    expect(sentence(changed(path, value))).toMatch(/^modes\[0\]\.reads\[0\]\.steps\[1\]/)
  })

  const R = 'modes[0].reads[0]'
  it.each<[string, [string, unknown][], string]>([
    [
      'a thousand steps, written out',
      [['s.0.repeat', 250]],
      `${R}.steps[0].steps[0]: a read has 512 steps at most, with its repeats written out`,
    ],
    [
      'too much in all frames',
      [
        ['r.steps', Array.from({ length: 512 }, (_, k) => ({ select: k % 2 ? 'high' : 'low', after: SOON }))],
        ['r.starts.offsetsNs', [0, 2e6, 4e6, 6e6]],
        ['sixButtons', { kind: 'never' }],
      ],
      'modes[0].reads: with all frames until all comes again the title has more than 2048 edges and samples',
    ],
    [
      'reads of both kinds in one mode',
      [['modes.0.reads', [READ, { ...READ, starts: polled(SOON) }]]],
      'modes[0].reads[1].starts.kind: the reads of one mode are all tied to the frame, or none of them is: this needs a mode of its own',
    ],
    [
      'a frame that does not come',
      [
        ['r.starts.everyFrames', 2],
        ['r.starts.inFrame', 2],
      ],
      `${R}.starts.inFrame: frame 2 does not exist: 2 frames count from 0`,
    ],
    [
      'offsets that go back',
      [['r.starts.offsetsNs', [0, 900_000, 400_000]]],
      `${R}.starts.offsetsNs[2]: offsets are in ascending order, each once`,
    ],
    [
      'an offset twice',
      [['r.starts.offsetsNs', [5, 5]]],
      `${R}.starts.offsetsNs[1]: offsets are in ascending order, each once`,
    ],
    [
      'a read after the frame',
      [['r.starts.offsetsNs', [FRAME]]],
      `${R}.starts.offsetsNs[0]: this read begins at ${FRAME} ns, but a frame has ${FRAME} ns`,
    ],
    [
      'reads that hardly ever come together',
      [
        [
          'modes.0.reads',
          [READ, readAt({ offsetsNs: [1e6], everyFrames: 13 }), readAt({ offsetsNs: [2e6], everyFrames: 7 })],
        ],
      ],
      'modes[0].reads[2].starts.everyFrames: the reads of the mode come again together only after 91 frames; 64 at most',
    ],
    [
      'a second mode that comes once',
      [['modes', [MODE, { ...MODE, once: true }]]],
      'modes[1].once: only the first mode, the one at power-on, can come once',
    ],
    [
      'one mode, and that comes once',
      [['modes.0.once', true]],
      'modes[0].once: a mode that comes once needs another one to follow it',
    ],
    [
      'a first step that hangs on what is believed',
      [['s.0', { select: 'low', after: AT_ONCE, when: 'six-buttons' }]],
      `${R}.steps[0].when: a step at the very start of a read cannot hang on what is believed: give it a time after the start, or let it come always`,
    ],
    [
      'a step that hangs on what nobody has told',
      [['s.1.when', 'six-buttons']],
      `${R}.steps[1].when: nothing can have told six buttons by this step, so it never comes: let a sample before it tell them, or let it come always`,
    ],
    [
      'a step without six buttons where they are assumed',
      [
        ['s.1.when', 'three-buttons'],
        ['s.2.sample', { 1: 'up' }],
        ['sixButtons', { kind: 'assumed' }],
      ],
      `${R}.steps[1].when: six buttons are assumed, so this step never comes: leave it out`,
    ],
    [
      'an input that is none',
      [['s.0.steps.1.sample', { 1: 'turbo' }]],
      `${R}.steps[0].steps[1].sample.1: a pin is taken for an input (up, down, left, right, a, b, c, start, x, y, z, mode), or for an input with ifAgrees, the name of a sample`,
    ],
    [
      'edges too close',
      [
        ['s.2.after', { minNs: 50, maxNs: 50 }],
        ['s.3.after', { minNs: 49, maxNs: 60 }],
      ],
      `${R}.steps[3].after.minNs: edges are at least 100 ns apart; this one can follow after 99 ns`,
    ],
    [
      'a sample before its edge is done with',
      [['s.3.since', 'edge']],
      `${R}.steps[3]: this step can come at 1400 ns, before the sample before it, which can take until 1700 ns`,
    ],
    [
      'a sample before the sample before it',
      [
        ['s.2.since', 'edge'],
        ['s.2.after', { minNs: 1_000, maxNs: 2_000 }],
        ['s.3', { sample: { 1: 'up' }, since: 'edge', after: { minNs: 1_999, maxNs: 3_000 } }],
        // What follows counts from an edge, too, so that no step is an instant of its own.
        ['s.4', { select: 'high', since: 'edge', after: { minNs: 4_000, maxNs: 4_000 } }],
      ],
      `${R}.steps[3].after.minNs: this sample can come at 1999 ns, before the one before it, which can take until 2000 ns`,
    ],
    [
      'an edge from which nothing exact follows',
      [
        ['s.3', { sample: { 1: 'up' }, after: SOON }],
        ['s.4.since', 'edge'],
      ],
      `${R}.steps[4].since: a step before this one has no exact time after the edge, so count from that step: leave since out`,
    ],
    [
      'a release without a rise',
      [['s.3.select', 'release']],
      `${R}.steps[3].select: select is let go, but the title has no rise: say how long it takes`,
    ],
    [
      'a wait for what is driven',
      [['s.3.waits', true]],
      `${R}.steps[3].waits: only a line that is let go can be waited for`,
    ],
    [
      'a name in a repeat',
      [['s.0.steps.1.name', 'twice']],
      `${R}.steps[0].steps[1].name: a sample in a repeat comes more than once, so it has no name`,
    ],
    [
      'a name twice',
      [['s.4.name', 'six']],
      `${R}.steps[4].name: another sample of this read is called six already`,
    ],
    [
      'a condition on nothing',
      [['s.2.name', 'seven']],
      'sixButtons.by[0].sample: no sample is called six: give one that name',
    ],
    [
      'agreement with nothing',
      [['s.4.sample', { 1: { input: 'up', ifAgrees: 'echo' } }]],
      `${R}.steps[4].sample.1: no sample is called echo: give one that name`,
    ],
    [
      'a sample for nothing',
      [['s.4.sample', {}]],
      `${R}.steps[4].sample: a sample that nothing refers to has to take a pin for an input`,
    ],
    [
      'a sample that waits in vain',
      [
        ['s.2.sample', { 1: 'up' }],
        ['sixButtons', { kind: 'never' }],
      ],
      `${R}.steps[4].when: this sample waits for six buttons, but nothing tells them in this read: let one of its samples tell them, or let it count always`,
    ],
    [
      'reads that overlap',
      [['r.starts.offsetsNs', [0, 20_000]]],
      `${R}.starts.offsetsNs[1]: this read begins at 20000 ns, but the one before it can last until ${LONGEST + 2_000} ns`,
    ],
    [
      'reads that overlap by the clock',
      [['r.starts.offsetsNs', [0, LONGEST + 2_000 + 1]]],
      `${R}.starts.offsetsNs[1]: this read begins at ${LONGEST + 2_001} ns, but the one before it can last until ${LONGEST + 2_000} ns with a clock that is 100 ppm off`,
    ],
    [
      'two reads at one place',
      [['modes.0.reads', [READ, READ]]],
      `modes[0].reads[1].starts.offsetsNs[0]: this read begins at 180000 ns, but the one before it can last until ${180_000 + LONGEST + 2_000} ns`,
    ],
    [
      'a read past its frame',
      [['r.starts.late.maxNs', FRAME - LONGEST]],
      `${R}.starts.offsetsNs[0]: this read can last until ${180_000 + FRAME} ns, but the next one begins at ${180_000 + FRAME} ns`,
    ],
    [
      'a read past its frame by the clock',
      [['r.starts.late.maxNs', FRAME - LONGEST - 1]],
      `${R}.starts.offsetsNs[0]: this read can last until ${180_000 + FRAME - 1} ns, but the next one begins at ${180_000 + FRAME} ns with a clock that is 100 ppm off`,
    ],
    [
      'a stretch past the frame',
      [['r.stretch', { byNs: FRAME, times: 1 }]],
      `${R}.starts.offsetsNs[0]: this read can last until ${180_000 + 2_000 + LONGEST + FRAME} ns, but the next one begins at ${180_000 + FRAME} ns`,
    ],
  ])('what does not go together: %s', (_, changes, said) => {
    expect(sentence(changedAll(changes))).toBe(said)
  })

  describe('what comes once, at power-on, knows of nothing that is told later', () => {
    const ONCE: [string, unknown][] = [
      ['modes', [{ ...MODE, once: true }, MODE]],
      ['sixButtons.holds', 'onwards'],
    ]
    const TWICE: [string, unknown] = ['r.starts.offsetsNs', [180_000, 2_000_000]]
    const hangs = (step: object): object => ({ ...step, when: 'six-buttons' })
    const laterReadThatHangs = (): object => ({
      starts: { ...READ.starts, offsetsNs: [2_000_000] },
      steps: [{ select: 'low', after: SOON }, hangs({ select: 'high', after: SOON })],
    })
    const NEVER =
      'nothing can have told six buttons by this step, so it never comes: let a sample before it tell them, or let it come always'

    it.each<[string, [string, unknown][], string]>([
      [
        'a step, told after its mode',
        [
          ['s.2', { sample: { 1: 'up' }, after: SOON }],
          ['s.4.when', 'always'],
          ['s.5.when', 'six-buttons'],
        ],
        `${R}.steps[5].when: ${NEVER}`,
      ],
      ['a step, told after it', [['s.1.when', 'six-buttons']], `${R}.steps[1].when: ${NEVER}`],
      [
        'a sample, told after its mode',
        [['s.2', { sample: { 1: 'up' }, after: SOON }]],
        `${R}.steps[4].when: this sample waits for six buttons, but its mode comes once, and nothing tells them there by the end of this read: let a sample tell them, or let it count always`,
      ],
    ])('%s', (_, changes, said) => {
      expect(sentence(changedAll([...ONCE, ...changes]))).toBe(said)
    })

    it.each<[string, [string, unknown][]]>([
      ['a step, told before it', [['s.5.when', 'six-buttons']]],
      ['a step after a read that tells', [['modes.0.reads', [READ, laterReadThatHangs()]]]],
      ['a step before what tells, in a read that comes again', [['s.1.when', 'six-buttons'], TWICE]],
      [
        'a mode that comes again',
        [
          ['modes.0.once', false],
          ['s.1.when', 'six-buttons'],
        ],
      ],
      [
        'a sample, told after it in its read',
        [['s.0', { sample: { 1: 'up' }, after: SOON, when: 'six-buttons' }]],
      ],
    ])('%s, is read', (_, changes) => {
      expect(() => read(changedAll([...ONCE, ...changes]))).not.toThrow()
    })
  })

  it('polling that takes no time', () => {
    const bytes = changedAll([
      ['r.starts', polled(AT_ONCE)],
      ['r.steps', [{ sample: { 1: 'up' }, after: AT_ONCE }]],
      ['sixButtons', { kind: 'never' }],
    ])
    expect(sentence(bytes)).toMatch(/^modes\[0\]\.reads\[0\]/)
  })

  it('a source in a capture that the title does not list', () => {
    const source = { kind: 'measured', seen: 1, of: 1, capture: 'f'.repeat(64) }
    expect(sentence(changed('s.2.source', source))).toMatch(/^modes\[0\]\.reads\[0\]\.steps\[2\]\.source/)
    expect(sentence(changed('sources', { idle: source }))).toMatch(/^sources\.idle/)
  })

  it('cut off', () => {
    for (const length of [1, 20, 300, HAND.trimEnd().length - 1]) {
      const start = HAND.slice(0, length)
      expect(sentence(bytesOf(start))).toBe(
        `line ${start.split('\n').length}: the file is cut off: the JSON does not end`,
      )
    }
  })

  it('empty, too large, not UTF-8', () => {
    expect(sentence(bytesOf(''))).toBe('the file is empty')
    const full = bytesOf(HAND.padEnd(TITLE_LIMITS.fileBytes))
    expect(() => read(full)).not.toThrow()
    expect(sentence(bytesOf(HAND.padEnd(TITLE_LIMITS.fileBytes + 1)))).toBe(
      'the file has 262145 bytes; a title has 262144 at most',
    )
    const latin1 = Uint8Array.from(`{"name":"L\u00e4mpchen"}`, (character) => character.charCodeAt(0))
    expect(sentence(latin1)).toBe('byte 10: the file is not UTF-8 text')
  })
})

it('a title that could be read from a packed file can be read from the one that is written of it', () => {
  const steps = Array.from({ length: 500 }, () => ({ sample: { 1: 'up' }, after: AT_ONCE }))
  const reads = Array.from({ length: 9 }, (_, k) => ({
    ...(readAt({ offsetsNs: [k * 100_000] }) as object),
    steps,
  }))
  const packed = readTitle(
    changedAll([
      ['modes.0.reads', reads],
      ['sixButtons', { kind: 'never' }],
    ]),
  )
  if (packed.ok) expect(read(bytesOf(writeTitle(packed.value)))).toEqual(packed.value)
  else expect(packed.error.place).toMatch(/^modes/)
})
